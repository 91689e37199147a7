"""Questions the layout asks, in tape marks."""

from __future__ import annotations

from schemas.lengths import INCH, PER_MM, Length
from schemas.site import Correction, Option
from services.tape import is_metric, text_with_unit


def written(length: Length, step: Length) -> str:
    """A length as it would stand in the submission, exact."""
    if length % step == 0:
        return text_with_unit(length, step)
    return f"{length / PER_MM:g} mm" if is_metric(step) else f"{length / INCH:.6f} in"


def mend(key: str, says: str, *, pointer: str, value: Length, step: Length) -> Option:
    """An option which puts one measure right."""
    sets = (Correction(pointer=pointer, value=written(value, step)),)
    return Option(key=key, says=says, sets=sets)


def listed(parts: tuple[str, ...]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    return " and ".join(filter(None, (", ".join(parts[:-1]), parts[-1])))
