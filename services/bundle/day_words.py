"""Words of the day sheet: hours, weights, jobs."""

from __future__ import annotations

from schemas.wording import Said, say
from services.tape import is_metric

_GRAMS_A_POUND = 453.59237
"""International yard and pound agreement (1959)."""


def hours_words(hours: float) -> str:
    """Hours to a hundredth, as they are added up, e.g. ``6.05 h``: rows make their sum."""
    return f"{round(hours, 2):g} h"


def job_words(job: str, revision: int) -> Said:
    """A job at its revision."""
    return say("{job} rev {revision}", job=job, revision=revision)


def weight_words(grams: int, step: int) -> str:
    """In pounds for paper in inches, in kilograms for paper in millimetres."""
    if is_metric(step):
        return f"{grams / 1000:.1f} kg"
    return f"{grams / _GRAMS_A_POUND:.0f} lb"
