"""A job ready to be laid out: the site, with everything it refers to found.

In: a submission that reads. Out: the same facts with the rail systems, the rules and
the company's ways beside them, what was assumed, and what must be asked.
"""

from __future__ import annotations

from datetime import date
from typing import Literal

from schemas.code_profile import CodeProfile
from schemas.company import Company, FixingDetail
from schemas.lengths import Length
from schemas.rail_system import RailSystem, SectionHeight
from schemas.record import Key, Line, Record
from schemas.site import (
    Address,
    Answer,
    Assumed,
    Gate,
    GuardLine,
    LocalChange,
    MeasuredBy,
    PostSpec,
    Question,
    Stair,
)


class Job(Record):
    """One job at one revision, with all that is needed to compute it."""

    job: Key
    revision: int
    crew: Key
    install_date: date
    use: Literal["one-family", "two-family", "multi-family", "commercial"]
    site: Address
    measured: MeasuredBy
    post: PostSpec
    detail: FixingDetail | None
    """The approved fixing; none is unknown."""
    lines: tuple[GuardLine, ...]
    stairs: tuple[Stair, ...]
    gates: tuple[Gate, ...]
    remove_feet: float
    permit: Line | None
    promises: tuple[Line, ...]
    colour: Key
    system: RailSystem
    """For level bays, posts and sleeves."""
    stair_system: RailSystem
    """For stair bays; often the same."""
    level_height: SectionHeight
    stair_height: SectionHeight | None
    """None when the system has no stair rail or the job no stair."""
    profile: CodeProfile | None
    """With the local changes already put in; none is unknown."""
    local_changes: tuple[LocalChange, ...]
    company: Company
    step: Length
    """Graduation of this job's paper: the company's for inches, 1 mm for a metric job."""
    questions: tuple[Question, ...] = ()
    """All that was found by checking the measure, answered or not."""
    answers: tuple[Answer, ...] = ()
    assumed: tuple[Assumed, ...] = ()


class Library(Record):
    """The company's own documents: its file, its rail systems, the code profiles."""

    company: Company
    systems: tuple[RailSystem, ...]
    profiles: tuple[CodeProfile, ...]
