"""What every record of Dawnpack has in common: strict, frozen, nothing extra.

A record is read and checked once, at the edge; inside it is trusted and never
changed. The text under a field is its meaning, unit and origin, and travels
into the published JSON Schema.
"""

from __future__ import annotations

import unicodedata
from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, Field


class Record(BaseModel):
    """A finished fact: keyword-only, unchangeable, with no field unaccounted for."""

    model_config = ConfigDict(
        frozen=True,
        strict=True,
        extra="forbid",
        allow_inf_nan=False,
        use_attribute_docstrings=True,
        ser_json_inf_nan="constants",
    )


Key = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]{0,39}$")]
"""A short name for use in addresses and file names: letters, digits, `.`, `_`, `-`."""

_TURNS_TEXT = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def _printable(text: str) -> str:
    """Refuse what would break or disguise a line: controls, overrides, half characters."""
    for sign in text:
        if unicodedata.category(sign) in {"Cc", "Cs"} or sign in _TURNS_TEXT:
            msg = f"holds U+{ord(sign):04X}, which cannot be printed in a line; take it out"
            raise ValueError(msg)
    if not text.strip():
        msg = "is blank; write something or leave the field out"
        raise ValueError(msg)
    return unicodedata.normalize("NFC", text)


Line = Annotated[str, Field(min_length=1, max_length=200), AfterValidator(_printable)]
"""One line of outside text, printed literally."""

Degrees = Annotated[float, Field(ge=-360, le=360)]
"""An angle. [degrees]"""

Grams = Annotated[int, Field(ge=0)]
"""A mass. [g]"""

Cents = Annotated[int, Field(ge=0)]
"""Money, in hundredths of the company's currency."""
