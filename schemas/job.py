"""A job ready to be laid out: the site, with everything it refers to found.

In: a submission that reads. Out: the same facts with the rail systems, the rules and
the company's ways beside them, what was assumed, and what must be asked.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal, Protocol

from pydantic import Field

from schemas.code_profile import CodeProfile
from schemas.company import Company, FixingDetail
from schemas.lengths import PER_MM, Length
from schemas.rail_system import RailSystem, SectionHeight
from schemas.record import Key, Line, Record
from schemas.site import (
    Address,
    Answer,
    Assumed,
    Forecast,
    Gate,
    GuardLine,
    JobPart,
    LocalChange,
    MeasuredBy,
    OpenEdge,
    PostSpec,
    Question,
    Reserved,
    Stair,
)

_LEAD_YEAR = 1978
"""Paint on houses built before this year may hold lead: 40 CFR 745.82, United States."""
_LEAD_YEAR_ELSEWHERE = 1998
"""The cautious year under other laws: paint for houses was still sold with more lead than
0.1 percent until 1992 in Britain and until the end of 1997 in Australia (from memory)."""


class Standing(Protocol):
    """A post, as far as its fixing goes by it."""

    @property
    def leg(self) -> str:
        """Leg it is named after; the stair for a foot or a mid post."""
        ...

    @property
    def where(self) -> str:
        """What it does there."""
        ...


class Job(Record):
    """One job at one revision, with all that is needed to compute it."""

    job: Key
    """The office's job number."""
    revision: int
    """Counts up; a higher one replaces all lower ones."""
    crew: Key
    """Key of the crew it is for."""
    install_date: date
    """Day of work, in the company's time zone."""
    use: Literal["one-family", "two-family", "multi-family", "commercial"]
    """What the building is."""
    site: Address
    """Where it is."""
    measured: MeasuredBy
    """Who measured."""
    post: PostSpec
    """The structural posts."""
    detail: FixingDetail | None
    """The approved fixing of the posts along the legs; none is unknown."""
    lines: tuple[GuardLine, ...]
    """Guard lines as measured."""
    stairs: tuple[Stair, ...]
    """Stairs as measured."""
    gates: tuple[Gate, ...]
    """Gates as measured."""
    open_edges: tuple[OpenEdge, ...] = ()
    """Edges that stay without railing where no stair or gate is."""
    extras: tuple[Key, ...] = ()
    """What was sold beside the railing."""
    remove_feet: float
    """Old railing to take away. [ft]"""
    permit: Line | None
    """Permit number; none is not recorded."""
    inspection: date | None = None
    """Day for which the inspector is booked; none is not booked."""
    deck_work: date | None = None
    """Last day on which others built at the deck; none is not known."""
    reserved: tuple[Reserved, ...] = ()
    """Rail kits set aside for it; none: nothing is reserved by kit."""
    promises: tuple[Line, ...]
    """What the customer was promised."""
    sold: Annotated[str, Field(max_length=200)] | None = None
    """The job head's own count in words."""
    forecast: Forecast | None = None
    """Weather of the day of work; none: not looked up."""
    part: JobPart | None = None
    """Which part of a split job it is; none: it is a whole job."""
    colour: Key
    """Colour key."""
    system: RailSystem
    """For level bays, posts and sleeves."""
    stair_system: RailSystem
    """For stair bays; often the same."""
    level_height: SectionHeight
    """Section height of the level bays."""
    stair_height: SectionHeight | None
    """None when the system has no stair rail or the job no stair."""
    profile: CodeProfile | None
    """With the local changes already put in; none is unknown."""
    local_changes: tuple[LocalChange, ...]
    """As the office recorded them."""
    company: Company
    """The company file."""
    step: Length
    """Graduation of this job's paper: the company's for inches, 1 mm for a metric job."""
    questions: tuple[Question, ...] = ()
    """All that was found by checking the measure, answered or not."""
    answers: tuple[Answer, ...] = ()
    """What the office decided."""
    assumed: tuple[Assumed, ...] = ()
    """Defaults that were used."""

    @property
    def under_us_law(self) -> bool:
        """By its profile, in inches in the United States; without one, by its tape."""
        return self.profile.unit == "in" if self.profile else self.step % PER_MM != 0

    @property
    def may_hold_lead(self) -> bool:
        """Whether old paint may: built before the law's year, or nobody recorded when."""
        year = _LEAD_YEAR if self.under_us_law else _LEAD_YEAR_ELSEWHERE
        return self.site.year_built is None or self.site.year_built < year

    def fixing_of(self, post: Standing) -> FixingDetail | None:
        """The approved fixing of a post; none is unknown.

        A flight's foot and mid posts stand on no rim: they never take the legs' detail.
        """
        flight = next((stair for stair in self.stairs if stair.name == post.leg), None)
        if flight is None:
            return self.detail
        key = flight.mid_detail if post.where == "stair-mid" else flight.lower_post.detail
        return next((detail for detail in self.company.details if detail.key == key), None)


class Library(Record):
    """The company's own documents: its file, its rail systems, the code profiles."""

    company: Company
    """The company file."""
    systems: tuple[RailSystem, ...]
    """All rail systems it has sheets of."""
    profiles: tuple[CodeProfile, ...]
    """All code profiles."""
