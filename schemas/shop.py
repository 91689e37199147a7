"""The shop's cut plan: what is cut ahead for a crew's day or a whole night.

In: the plans of the day's jobs. Out: one cut plan for their rails that may be cut ahead, and
where each piece goes.
"""

from __future__ import annotations

from typing import Literal

from schemas.cut_plan import CutPlan
from schemas.lengths import Length
from schemas.record import Key, Line, Record
from schemas.takeoff import PreCut


class ShopJob(Record):
    """A job that gets rails from the shop."""

    job: Key
    revision: int
    crew: Key
    comes: PreCut
    """Its rails by ticket, the kits they stand for, and what goes along in a bag."""


class ShopPlan(Record):
    """One shop cutting."""

    schema_version: Literal[1] = 1
    """Version of this document's form; 1."""
    length_unit: Literal["1/320 mm"] = "1/320 mm"
    """In which every length of this document stands."""
    company: Line
    """As printed."""
    day: Line
    """Day of work, ISO 8601."""
    pool: Key
    """Key of the crew it is for, or `night` for all crews."""
    step: Length
    """Graduation of its paper."""
    cuts: CutPlan
    """The pieces of all jobs, their names led by the job's."""
    jobs: tuple[ShopJob, ...]
    """By crew and number."""


class ShopFile(Record):
    """A shop cutting on paper."""

    plan: ShopPlan
    code: Key
    pages: int
    pdf: bytes
