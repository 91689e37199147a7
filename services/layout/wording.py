"""Questions the layout asks, in tape marks."""

from __future__ import annotations

from schemas.lengths import Length
from schemas.site import Correction, Option
from services.tape import as_written


def mend(key: str, says: str, *, pointer: str, value: Length, step: Length) -> Option:
    """An option which puts one measure right."""
    sets = (Correction(pointer=pointer, value=as_written(value, step)),)
    return Option(key=key, says=says, sets=sets)
