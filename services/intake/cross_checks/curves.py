"""Curved edges: nothing is bent on site, so straight chords are offered."""

from __future__ import annotations

from math import ceil, pi

from schemas.job import Job
from schemas.lengths import FOOT, Length
from schemas.site import Leg, Question
from schemas.wording import either, row, say
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
    curved = say(
        "Leg {leg} is curved, {length} along it at a radius of {radius}.",
        leg=leg.name,
        length=text_with_unit(leg.length, step),
        radius=text(radius, step),
    )
    if leg.length > 2 * pi * radius:
        more = say("That is more than a full circle; one of the two is likely misread.")
    else:
        counts = sorted({ceil(leg.length / longest) for longest in _CHORDS})
        ways = (chords_of(arc=leg.length, radius=radius, count=count) for count in counts)
        more = say("Straight chords would be: {ways}.", ways=either(_way(w, step) for w in ways))
    return Question(
        key=f"curve.{leg.name}",
        severity="stop",
        place=say("Leg {leg}", leg=leg.name),
        says=row((curved, more), " "),
        ask=say(
            "Are straight chords sold there, to be sent as legs with their corners, or "
            "bent rails by special order?"
        ),
    )


def _way(way: Chords, step: Length) -> str:
    return say(
        "{count} of {length}, {turn_deg} degrees from one to the next, {inside} "
        "inside the curve at their middle",
        count=way.count,
        length=text_with_unit(way.length, step),
        turn_deg=f"{way.turn_deg:.1f}",
        inside=text(way.inside, step),
    )
