"""Corners: whether both rails can be fixed to the corner post as it stands."""

from __future__ import annotations

from schemas.job import Job
from schemas.site import Corner, Option, Question
from services.intake.corner_posts import WORDS, usual, why_not
from services.intake.cross_checks.asking import legs, set_to


def check(job: Job) -> tuple[Question, ...]:
    """Corner posts to which a rail cannot be fixed."""
    return tuple(
        _ask(job, leg.name, leg.corner, why=why, pointer=pointer)
        for pointer, _, leg in legs(job)
        if leg.corner and (why := why_not(leg.corner, system=job.system, step=job.step))
    )


def _ask(job: Job, name: str, corner: Corner, *, why: str, pointer: str) -> Question:
    stands = corner.post or usual(corner)
    options = _other_ways(job, corner, pointer=pointer)
    says = (
        f"The corner at the end of leg {name} turns {corner.turn_deg:g} degrees. With its post "
        f"{WORDS[stands]}, {why}."
    )
    if not options:
        says += (
            f" No way of standing one post works there; two posts, less than a sphere apart, "
            f"each square to its leg, would: end leg {name} at one and start a line at the other."
        )
    return Question(
        key=f"corner.{name}",
        severity="stop",
        place=f"Corner at the end of leg {name}",
        says=says,
        ask="Is the angle right (measured by three sides), and how may the post stand?",
        options=options,
    )


def _other_ways(job: Job, corner: Corner, *, pointer: str) -> tuple[Option, ...]:
    return tuple(
        set_to(way, f"The post stands {says}", pointer=f"{pointer}/corner/post", value=way)
        for way, says in WORDS.items()
        if not why_not(corner.model_copy(update={"post": way}), system=job.system, step=job.step)
    )
