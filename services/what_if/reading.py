"""What is tried, read from the words of a command."""

from __future__ import annotations

from typing import Final

from pydantic import ValidationError

from schemas.errors import BadInput, Problem
from schemas.lengths import Unit, read_length
from schemas.what_if import Try

_NAMES: Final = ("system", "height", "colour", "stock", "max-bay")
_KEYS: Final = ("system", "height", "colour")
_MEND: Final = (
    "write system=KEY, height=NAME, colour=KEY, stock=KIT or stock=KIT+KIT, max-bay=LENGTH; "
    "several at once with commas between"
)


def read_try(text: str, *, unit: Unit) -> Try:
    """Read one alternative, e.g. ``system=tern,height=900`` or ``max-bay=72``.

    Args:
        text: Changes with commas between.
        unit: Of a bare length; the submission's.

    Raises:
        BadInput: A change that is not one of those, given twice, or not readable.
    """
    given: dict[str, str] = {}
    for change in text.split(","):
        name, equals, value = (part.strip() for part in change.partition("="))
        if not equals or not value or name not in _NAMES:
            raise _bad(text, f"{change.strip()!r} is not a change that can be tried")
        if name in given:
            raise _bad(text, f"{name} stands there twice")
        given[name] = value
    fields: dict[str, object] = {
        k: v for k, v in given.items() if k in {"system", "height", "colour"}
    }
    if "stock" in given:
        fields["stock"] = tuple(kit.strip() for kit in given["stock"].split("+"))
    if "max-bay" in given:
        fields["max_bay"] = _length(text, given["max-bay"], unit)
    try:
        return Try.model_validate({"named": text, **fields})
    except ValidationError as no:
        raise _bad(text, str(no.errors()[0]["msg"])) from None


def _length(text: str, written: str, unit: Unit) -> int:
    try:
        length = read_length(written, unit)
    except ValueError as no:
        raise _bad(text, f"max-bay: {no}") from None
    if length <= 0:
        raise _bad(text, "max-bay must be more than nothing")
    return length


def _bad(text: str, says: str) -> BadInput:
    return BadInput([Problem(pointer="/try", value=text[:80], says=says, mend=_MEND)])
