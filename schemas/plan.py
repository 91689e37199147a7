"""The plan: everything computed for one job at one revision.

In: what all stages made. Out: the machine-readable document; the PDF prints it and
computes nothing. Lengths are whole numbers of 1/320 mm.
"""

from __future__ import annotations

from typing import Literal

from schemas.bays import Bays
from schemas.compliance import Compliance
from schemas.cut_plan import CutPlan
from schemas.days import DayShare
from schemas.job import Job
from schemas.layout import Layout
from schemas.record import Record
from schemas.sequence import Sequence
from schemas.takeoff import Takeoff


class Plan(Record):
    """One job, planned."""

    schema_version: Literal[1] = 1
    """Version of this document's form; 1."""
    length_unit: Literal["1/320 mm"] = "1/320 mm"
    """In which every length of this document stands."""
    job: Job
    """What was asked, with everything it refers to."""
    layout: Layout
    """Where every post stands."""
    bays: Bays
    """Every bay and post height, as built."""
    cuts: CutPlan
    """Every cut."""
    takeoff: Takeoff
    """Everything to load, hours and cost."""
    compliance: Compliance
    """Every finding."""
    sequence: Sequence
    """The order of work."""
    day_share: DayShare | None = None
    """Which day's work this is, of a job that was split by day; none: all of it."""
