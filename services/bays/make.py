"""All bays and posts of a job, one after the other; a bay that cannot be made asks."""

from __future__ import annotations

from dataclasses import dataclass

from schemas.bays import Bays, LevelBay
from schemas.job import Job
from schemas.layout import Layout
from schemas.lengths import INCH
from schemas.site import Question
from services.bays import level_questions
from services.bays.level_bay import make_level
from services.bays.movement import of_the_day
from services.bays.neighbours import unlike_neighbours
from services.bays.posts import ask_of_posts, post_heights
from services.bays.stair_bay import make_stair

VISIBLE_STEP = INCH // 8
"""A step between two rails at a post that the eye sees. Common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BaysMade:
    """The bays of a job, if every one could be made, and what must be asked."""

    bays: Bays | None
    questions: tuple[Question, ...]


def make_bays(job: Job, layout: Layout) -> BaysMade:
    """Work out every bay and every post of a laid-out job.

    A bay with no legal build is never left out in silence: it asks, and without it there
    are no bays.
    """
    levels = [make_level(job, layout, bay) for bay in layout.bays if bay.kind == "level"]
    mids = frozenset(post.name for post in layout.posts if post.where == "stair-mid")
    stairs = [make_stair(job, bay, mids=mids) for bay in layout.bays if bay.kind == "stair"]
    level = tuple(made.bay for made in levels if made.bay)
    stair = tuple(made.bay for made in stairs if made.bay)
    asked = [question for made in levels for question in made.questions]
    asked.extend(question for made in stairs for question in made.questions)
    asked.extend(_job_questions(job, layout, level))
    if len(level) < len(levels) or len(stair) < len(stairs):
        return BaysMade(bays=None, questions=_each_once(asked))
    posts = post_heights(job, layout, level, stair)
    asked.extend(ask_of_posts(job, layout, posts))
    asked.extend(of_the_day(job, (*level, *stair)))
    return BaysMade(
        bays=Bays(level=level, stair=stair, posts=posts, spacer=job.system.spacer_block),
        questions=_each_once(asked),
    )


def _job_questions(job: Job, layout: Layout, level: tuple[LevelBay, ...]) -> tuple[Question, ...]:
    asked = [level_questions.no_profile()] if job.profile is None else []
    for leg in layout.legs:
        steps = [bay.sweep_low - bay.sweep for bay in level if bay.leg == leg.name]
        asked.extend(unlike_neighbours(job, layout, leg.name))
        if max(steps, default=0) > VISIBLE_STEP:
            asked.append(
                level_questions.stepped_rails(
                    leg=leg.name, fall=leg.fall, each=max(steps), step=job.step
                )
            )
    return tuple(asked)


def _each_once(asked: list[Question]) -> tuple[Question, ...]:
    """Both sides of a stair ask the same; it is asked once."""
    return tuple({question.key: question for question in asked}.values())
