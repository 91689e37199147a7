"""Lengths: read as the trade writes them, kept in one unit.

Inside Dawnpack a length is a whole number of 1/320 mm. That unit is exact for
both rulers: 1/64 in is 127 of them and 1 mm is 320, so "equal to the limit
fails" is decided without rounding. Only this module knows pint.

Source:
    International yard and pound agreement (1959): 1 in = 25.4 mm exactly.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from functools import cache
from math import floor
from typing import Annotated, Literal

import pint
from pydantic import BeforeValidator, Field, ValidationInfo, WithJsonSchema

PER_MM = 320
"""Inside units in a millimetre."""
PER_64TH = 127
"""Inside units in 1/64 in."""
INCH = 64 * PER_64TH
"""Inside units in an inch (25.4 x 320)."""
FOOT = 12 * INCH
"""Inside units in a foot."""
LONGEST = 400 * FOOT
"""The longest single measure that is believed: 400 ft, about 122 m."""

Unit = Literal["in", "ft", "mm", "cm", "m"]
"""The unit in which a document's bare numbers stand."""

Length = Annotated[int, Field(ge=-LONGEST, le=LONGEST)]
"""A length inside Dawnpack. [1/320 mm]"""

Total = Annotated[int, Field(ge=0)]
"""A sum of lengths, however many a large job has. [1/320 mm]"""

_PINT: pint.UnitRegistry[Fraction] = pint.UnitRegistry(non_int_type=Fraction)
_UNITS = {
    "in": "in", "in.": "in", "inch": "in", "inches": "in", '"': "in",
    "ft": "ft", "ft.": "ft", "foot": "ft", "feet": "ft", "'": "ft",
    "mm": "mm", "cm": "cm", "m": "m",
}  # fmt: skip
_SPELLED = str.maketrans(
    {
        "\N{RIGHT SINGLE QUOTATION MARK}": "'",
        "\N{LEFT SINGLE QUOTATION MARK}": "'",
        "\N{PRIME}": "'",
        "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
        "\N{LEFT DOUBLE QUOTATION MARK}": '"',
        "\N{DOUBLE PRIME}": '"',
        "\N{MINUS SIGN}": "-",
        "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
    }
)  # fmt: skip
_NUMBER = r"(?:\d+(?:\.\d+)?|\.\d+)"
_AMOUNT = (
    r"(?:(?P<whole>\d+)\s+(?P<num>\d+)/(?P<den>\d+)"
    rf"|(?P<num1>\d+)/(?P<den1>\d+)|(?P<dec>{_NUMBER}))"
)
_ONE_UNIT = re.compile(rf"(?P<sign>-?)\s*{_AMOUNT}\s*(?P<unit>[a-z.\"']*)", re.IGNORECASE)
_FEET_FIRST = re.compile(
    rf"(?P<sign>-?)\s*(?P<feet>\d+)\s*(?:'|ft\.?|feet|foot)\s*-?\s*{_AMOUNT}\s*(?:\"|in\.?|inches|inch)?",
    re.IGNORECASE,
)
_DASHED = re.compile(rf"(?P<feet>\d+)-{_AMOUNT}\s*(?:\"|in\.?|inches|inch)?", re.IGNORECASE)
_MEND = "write it like 12' 4 1/2\", 148 1/2 in, 148.5 in or 3772 mm"


def read_length(written: str | float | Decimal, unit: Unit | None = None) -> int:
    """Read a length as the trade writes it.

    Feet and inches (``12' 4 1/2"``, ``12-4 1/2``), inches with a fraction
    (``148 1/2 in``), decimals (``148.5"``), mm, cm and m are read; a bare number
    only under a declared unit. The result is the nearest whole inside unit,
    half away from zero; every 1/64 in and every whole mm is exact.

    Args:
        written: The text or number as it was sent.
        unit: The document's declared unit, for bare numbers. [in, ft, mm, cm, m]

    Returns:
        The length. [1/320 mm]

    Raises:
        ValueError: Not a length, no unit, a fraction over one (71/4 for 7 1/4),
            a dash that can be read two ways (7-1/4), or longer than is believed.
    """
    if isinstance(written, bool):
        msg = f"not a length; {_MEND}"
        raise ValueError(msg)  # noqa: TRY004 a wrong value in a document is a ValueError
    if not isinstance(written, str):
        return _checked(_exact(written) * _per(_declared(unit)))
    text = written.translate(_SPELLED).replace("''", '"').strip()
    if len(text) > 40:  # the longest honest measure is half as long
        msg = f"not a length; {_MEND}"
        raise ValueError(msg)
    if found := _DASHED.fullmatch(text):
        if found["num1"]:
            msg = "a dash before a fraction can be read two ways; write 7 1/4 or 7' 0 1/4\""
            raise ValueError(msg)
        return _checked(int(found["feet"]) * FOOT + _inches_under_a_foot(found))
    if found := _FEET_FIRST.fullmatch(text):
        size = int(found["feet"]) * FOOT + _inches_under_a_foot(found)
        return _checked(-size if found["sign"] else size)
    if found := _ONE_UNIT.fullmatch(text):
        named = found["unit"].lower()
        if named and named not in _UNITS:
            msg = f"{found['unit']!r} is not a unit of length here; {_MEND}"
            raise ValueError(msg)
        size = _amount(found) * _per(_UNITS[named] if named else _declared(unit))
        return _checked(-size if found["sign"] else size)
    msg = f"not a length; {_MEND}"
    raise ValueError(msg)


@cache
def _per(unit: str) -> Fraction:
    """Inside units in one of ``unit``, by pint."""
    return Fraction(_PINT.Quantity(Fraction(1), unit).to("mm").magnitude) * PER_MM


def _declared(unit: Unit | None) -> str:
    if unit is None:
        msg = f"a bare number without a declared unit; {_MEND}"
        raise ValueError(msg)
    return unit


def _exact(number: float | Decimal) -> Fraction:
    try:
        return Fraction(str(number))
    except ValueError:
        msg = "not a finite number"
        raise ValueError(msg) from None


def _amount(found: re.Match[str]) -> Fraction:
    if found["dec"]:
        return Fraction(found["dec"])
    num, den = (int(found[a] or found[b]) for a, b in (("num", "num1"), ("den", "den1")))
    if den not in {2, 4, 8, 16, 32, 64}:
        msg = f"{num}/{den} is not a tape fraction; use halves to 64ths"
        raise ValueError(msg)
    if num >= den:
        msg = f"{num}/{den} is a fraction over one; was a space lost, as in 7 1/4?"
        raise ValueError(msg)
    return Fraction(int(found["whole"] or 0)) + Fraction(num, den)


def _inches_under_a_foot(found: re.Match[str]) -> Fraction:
    inches = _amount(found)
    if inches >= 12:
        msg = "after feet the inches stay under 12"
        raise ValueError(msg)
    return inches * INCH


def _checked(size: Fraction | int) -> int:
    nearest = floor(abs(Fraction(size)) + Fraction(1, 2))
    if nearest > LONGEST:
        msg = "longer than 400 ft; are these millimetres under the unit in?"
        raise ValueError(msg)
    return -nearest if size < 0 else nearest


INSIDE = {"inside": True}
"""Validation context for reading our own records back: whole numbers stand in the inside unit."""


def _read_in_document(written: object, info: ValidationInfo) -> int:
    context = info.context if isinstance(info.context, dict) else {}
    if context.get("inside") and isinstance(written, int) and not isinstance(written, bool):
        return written
    unit = context.get("unit")
    if not isinstance(written, str | int | float | Decimal):
        msg = f"not a length; {_MEND}"
        raise ValueError(msg)  # noqa: TRY004 a wrong value in a document is a ValueError
    return read_length(written, unit)


def _read_positive(written: object, info: ValidationInfo) -> int:
    size = _read_in_document(written, info)
    if size <= 0:
        msg = "must be more than nothing"
        raise ValueError(msg)
    return size


def _read_from_zero(written: object, info: ValidationInfo) -> int:
    size = _read_in_document(written, info)
    if size < 0:
        msg = "must not be negative"
        raise ValueError(msg)
    return size


_WRITTEN = {
    "description": 'A length as the trade writes it (12\' 4 1/2", 12-4 1/2, 148 1/2 in, 148.5", '
    "3772 mm), or a bare number in the document's unit.",
    "anyOf": [{"type": "string", "minLength": 1, "maxLength": 40}, {"type": "number"}],
    "examples": ["12' 4 1/2\"", "148 1/2 in", "3772 mm"],
}

WrittenLength = Annotated[
    int, BeforeValidator(_read_in_document), WithJsonSchema(_WRITTEN, mode="validation")
]
"""A measure in a document, of either sign. Read from text, kept in 1/320 mm."""
WrittenSize = Annotated[
    int, BeforeValidator(_read_positive), WithJsonSchema(_WRITTEN, mode="validation")
]
"""A measure in a document, more than nothing. Read from text, kept in 1/320 mm."""
WrittenOffset = Annotated[
    int, BeforeValidator(_read_from_zero), WithJsonSchema(_WRITTEN, mode="validation")
]
"""A measure in a document, nothing or more. Read from text, kept in 1/320 mm."""
