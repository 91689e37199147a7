"""Days so far from today that one of their digits must be wrong."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final

from schemas.errors import Problem

AHEAD: Final = timedelta(days=731)
"""Farthest day of work from today that is taken: two years."""

BEHIND: Final = timedelta(days=3653)
"""The same backwards: ten years, so that old jobs may be planned again."""

DAYS: Final = ("/install_date", "/part/install_date")
"""Where a submission names a day of work."""


def far_day(day: date, *, today: date, pointer: str) -> Problem | None:
    """What is wrong with a day that is out of reach; nothing if it is not.

    Args:
        day: The day.
        today: In the company's time zone.
        pointer: Where it was named.
    """
    if -BEHIND <= day - today <= AHEAD:
        return None
    first, last = today - BEHIND, today + AHEAD
    return Problem(
        pointer=pointer,
        value=day.isoformat(),
        says=f"is too far from today, {today}",
        mend=f"a day from {first} to {last}; is the year right?",
    )


def far_days(tree: object, *, today: date) -> tuple[Problem, ...]:
    """The same for every day that a submission names, readable or not."""
    found = (_day_at(tree, pointer) for pointer in DAYS)
    far = (
        far_day(day, today=today, pointer=at) for at, day in zip(DAYS, found, strict=True) if day
    )
    return tuple(problem for problem in far if problem)


def _day_at(tree: object, pointer: str) -> date | None:
    for step in pointer.strip("/").split("/"):
        tree = tree.get(step) if isinstance(tree, dict) else None
    try:
        return date.fromisoformat(tree) if isinstance(tree, str) else None
    except ValueError:
        return None
