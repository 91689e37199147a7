"""Corners: whether both rails can be fixed to the corner post as it stands."""

from __future__ import annotations

from schemas.job import Job
from schemas.site import Corner, Option, Question
from schemas.wording import row, say
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
    turns = say(
        "The corner at the end of leg {name} turns {turn_deg} degrees. With its post "
        "{stands}, {why}.",
        name=name,
        turn_deg=f"{corner.turn_deg:g}",
        stands=WORDS[stands],
        why=why,
    )
    two = say(
        "No way of standing one post works there; two posts, less than a sphere apart, each "
        "square to its leg, would: end leg {leg} at one and start a line at the other.",
        leg=name,
    )
    return Question(
        key=f"corner.{name}",
        severity="stop",
        place=say("Corner at the end of leg {name}", name=name),
        says=turns if options else row((turns, two), " "),
        ask=say("Is the angle right (measured by three sides), and how may the post stand?"),
        options=options,
    )


def _other_ways(job: Job, corner: Corner, *, pointer: str) -> tuple[Option, ...]:
    return tuple(
        set_to(
            way,
            say("The post stands {how}", how=says),
            pointer=f"{pointer}/corner/post",
            value=way,
        )
        for way, says in WORDS.items()
        if not why_not(corner.model_copy(update={"post": way}), system=job.system, step=job.step)
    )
