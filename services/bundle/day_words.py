"""Words of the day sheet: days, hours, weights, jobs."""

from __future__ import annotations

from datetime import date

from services.tape import is_metric

_GRAMS_A_POUND = 453.59237
"""International yard and pound agreement (1959)."""
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def day_words(day: date) -> str:
    """A day in words, e.g. ``Thursday 3 December 2026``."""
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def hours_words(hours: float) -> str:
    """Hours to a quarter, e.g. ``6.25 h``."""
    return f"{round(hours * 4) / 4:g} h"


def job_words(job: str, revision: int) -> str:
    """A job at its revision."""
    return f"{job} rev {revision}"


def weight_words(grams: int, step: int) -> str:
    """In pounds for paper in inches, in kilograms for paper in millimetres."""
    if is_metric(step):
        return f"{grams / 1000:.1f} kg"
    return f"{grams / _GRAMS_A_POUND:.0f} lb"
