"""What every record of Dawnpack has in common: strict, frozen, nothing extra.

A record is read and checked once, at the edge; inside it is trusted and never
changed. The text under a field is its meaning, unit and origin, and travels
into the published JSON Schema.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field


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

Line = Annotated[str, Field(min_length=1, max_length=200)]
"""One line of outside text, printed literally."""

Degrees = Annotated[float, Field(ge=-360, le=360)]
"""An angle. [degrees]"""

Grams = Annotated[int, Field(ge=0)]
"""A mass. [g]"""

Cents = Annotated[int, Field(ge=0)]
"""Money, in hundredths of the company's currency."""
