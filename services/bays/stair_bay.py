"""A stair bay on one side of a flight, from its opening to the finished record."""

from __future__ import annotations

from dataclasses import dataclass

from schemas.bays import StairBay
from schemas.job import Job
from schemas.layout import Bay
from schemas.site import Question
from services.bays import stair_questions
from services.bays.stair_checks import open_questions, stop_questions, why_no_stair
from services.bays.stair_parts import stair_parts
from services.bays.stair_record import stair_record


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeStair:
    """A stair bay, or why there is none, and what it leaves open."""

    bay: StairBay | None
    questions: tuple[Question, ...]


def make_stair(job: Job, bay: Bay, *, mids: frozenset[str] = frozenset()) -> MadeStair:
    """Choose the count, place the line and work out every number of one stair bay.

    Args:
        job: With its stairs as measured.
        bay: As laid out.
        mids: Names of the job's mid posts.
    """
    stair = next(stair for stair in job.stairs if stair.name == bay.leg)
    rail, section = job.stair_system.stair, job.stair_height
    if rail is None or section is None:
        asked = stair_questions.no_stair_rail(
            stair=stair.name, system=job.stair_system.key, height_missing=rail is not None
        )
        return MadeStair(bay=None, questions=(asked,))
    parts = stair_parts(job, bay, stair=stair, rail=rail, section_height=section, mids=mids)
    stops = tuple(stop_questions(parts))
    fits = parts.rule.fits(opening=parts.opening)
    if not fits and not stops:
        stops = (why_no_stair(parts),)
    if stops:
        return MadeStair(bay=None, questions=stops)
    made = stair_record(parts, fits)
    return MadeStair(bay=made, questions=tuple(open_questions(parts, made)))
