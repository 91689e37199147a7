"""Curved edges: nothing is bent on site, so straight chords are offered."""

from __future__ import annotations

from math import ceil, pi

from schemas.job import Job
from schemas.lengths import FOOT, Length
from schemas.site import Leg, Question
from services.geometry.arc import Chords, chords_of
from services.intake.cross_checks.asking import legs
from services.tape import text, text_with_unit

_CHORDS = (4 * FOOT, 3 * FOOT)
"""Chords along a curve are no longer than these. Source: common practice, 3 to 4 ft."""


def check(job: Job) -> tuple[Question, ...]:
    """Legs that are curved."""
    return tuple(
        _ask(job, leg, radius=leg.curve) for _, _, leg in legs(job) if leg.curve is not None
    )


def _ask(job: Job, leg: Leg, *, radius: Length) -> Question:
    step = job.step
    says = (
        f"Leg {leg.name} is curved, {text_with_unit(leg.length, step)} along it at a radius of "
        f"{text(radius, step)}."
    )
    if leg.length > 2 * pi * radius:
        says += " That is more than a full circle; one of the two is likely misread."
    else:
        counts = sorted({ceil(leg.length / longest) for longest in _CHORDS})
        ways = (chords_of(arc=leg.length, radius=radius, count=count) for count in counts)
        says += " Straight chords would be: " + "; or ".join(_way(w, step) for w in ways) + "."
    return Question(
        key=f"curve.{leg.name}",
        severity="stop",
        place=f"Leg {leg.name}",
        says=says,
        ask=(
            "Are straight chords sold there, to be sent as legs with their corners, or bent rails "
            "by special order?"
        ),
    )


def _way(way: Chords, step: Length) -> str:
    return (
        f"{way.count} of {text_with_unit(way.length, step)}, {way.turn_deg:.1f} degrees from one "
        f"to the next, {text(way.inside, step)} inside the curve at their middle"
    )
