"""Cross checks: the measure against itself, before anything is computed from it.

In: a job. Out: questions. A disagreement is asked about, never averaged away; each
question keeps its key, so that the same disagreement asks the same question.
"""

from __future__ import annotations

from collections.abc import Callable

from schemas.job import Job
from schemas.site import Question
from services.intake.cross_checks import (
    closing,
    corners,
    curves,
    edges,
    flights,
    gates,
    guards,
    landings,
    openings,
    paperwork,
    posts,
    sold,
    stair_parts,
    units,
    weather,
)

_CHECKS: tuple[Callable[[Job], tuple[Question, ...]], ...] = (
    units.check,
    openings.check,
    closing.check,
    corners.check,
    curves.check,
    edges.check,
    posts.check,
    flights.check,
    stair_parts.check,
    landings.check,
    gates.check,
    guards.check,
    sold.check,
    paperwork.check,
    weather.check,
)


def check_measure(job: Job) -> tuple[Question, ...]:
    """Everything in a job's measure that is open or in disagreement, stops first."""
    found = [question for check in _CHECKS for question in check(job)]
    order = ("stop", "hold", "note")
    return tuple(sorted(found, key=lambda question: order.index(question.severity)))
