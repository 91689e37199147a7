"""A level bay, from the opening between its faces to the finished record."""

from __future__ import annotations

from dataclasses import dataclass

from schemas.bays import LevelBay
from schemas.job import Job
from schemas.layout import Bay, Layout
from schemas.site import Question
from services import tape
from services.bays.level_checks import (
    bracket_questions,
    gap_questions,
    sweep_questions,
    why_no_level,
)
from services.bays.level_rail import Leans
from services.bays.level_record import level_record
from services.bays.rules import level_rule


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeLevel:
    """A level bay, or why there is none, and what it leaves open."""

    bay: LevelBay | None
    questions: tuple[Question, ...]


def make_level(job: Job, layout: Layout, bay: Bay) -> MadeLevel:
    """Choose the count and work out every number of one level bay."""
    if asked := bracket_questions(job, bay):
        return MadeLevel(bay=None, questions=asked)
    opening = tape.down(bay.clear, job.step)
    rule = level_rule(
        job,
        left=bay.left.bracket,
        right=bay.right.bracket,
        top_more=tape.down(bay.clear_top, job.step) - opening,
        leans=_leans(job, layout, bay),
        left_deg=bay.left.mitre_deg,
        right_deg=bay.right.mitre_deg,
    )
    assert rule is not None, bay.name
    fits = rule.fits(opening=opening)
    if not fits:
        return MadeLevel(bay=None, questions=(why_no_level(job, layout, bay, rule),))
    made = level_record(job, layout, bay, rule=rule, opening=opening, fits=fits)
    return MadeLevel(
        bay=made,
        questions=(
            *sweep_questions(job, layout, made),
            *gap_questions(job, layout, bay, made, clearance=rule.clearance),
        ),
    )


def _leans(job: Job, layout: Layout, bay: Bay) -> Leans:
    """Where the opening gets wider at the top: walls as they were read, the rest at a post.

    A wall not read with a level takes all that the opening differs; two posts take half each.
    """
    more = tape.down(bay.clear_top, job.step) - tape.down(bay.clear, job.step)
    line = job.lines[next(leg.line for leg in layout.legs if leg.name == bay.leg)]
    if bay.left.post is not None and bay.right.post is not None:
        return "both"
    if bay.left.post is None and line.start.out_of_plumb is not None:
        return line.start.out_of_plumb
    if bay.right.post is None and line.end.out_of_plumb is not None:
        return more - line.end.out_of_plumb
    walls = (bay.left.post is None, bay.right.post is None)
    return "both" if all(walls) else "left" if walls[0] else "right"
