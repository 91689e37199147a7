"""What one side of a stair starts from: its flight, its section and where the rail may run."""

from __future__ import annotations

from dataclasses import dataclass

from schemas.job import Job
from schemas.layout import Bay
from schemas.lengths import Length
from schemas.rail_system import RoutedRail, SectionHeight
from schemas.site import Stair
from services import tape
from services.bays.flight import Flight, flight_of
from services.bays.foot_blocks import block_count
from services.bays.limits import triangle_sphere
from services.bays.rules import stair_rule
from services.bays.stair_line import Room, Section, stair_section
from services.bays.stair_rail import StairRule
from services.bays.stair_room import Bounded, bounded
from services.bays.triangle import triangle_limit


@dataclass(frozen=True, slots=True, kw_only=True)
class StairParts:
    """One side of a stair, set out. [1/320 mm]."""

    job: Job
    bay: Bay
    stair: Stair
    rail: RoutedRail
    rule: StairRule
    opening: Length
    """Between sleeve faces, level, on a tape mark."""
    flight: Flight
    section_height: SectionHeight
    section: Section
    bounds: Bounded
    """Where the bottom rail's underside may stand, and what was set aside for that."""
    limit: Length | None
    """The triangle's, rounded down."""

    @property
    def room(self) -> Room:
        """For the bottom rail's underside."""
        return self.bounds.room


def stair_parts(
    job: Job,
    bay: Bay,
    *,
    stair: Stair,
    rail: RoutedRail,
    section_height: SectionHeight,
    mids: frozenset[str] = frozenset(),
) -> StairParts:
    """Set out one side of a stair.

    Args:
        job: For its limits and the company's margins.
        bay: As laid out.
        stair: As measured.
        rail: The system's stair rail.
        section_height: The height it is sold in.
        mids: Names of the job's mid posts.
    """
    opening = tape.down(bay.clear, job.step)
    run = flight_of(job, bay, stair=stair, mids=mids)
    section = stair_section(rail=rail, section=section_height, slope=run.slope)
    sphere = triangle_sphere(job)
    known = triangle_limit(stair=stair, sphere=sphere)
    return StairParts(
        job=job,
        bay=bay,
        stair=stair,
        rail=rail,
        rule=stair_rule(job, rail=rail, slope=run.slope),
        opening=opening,
        flight=run,
        section_height=section_height,
        section=section,
        bounds=bounded(job, stair=stair, flight=run, section=section),
        limit=None if known is None else tape.under(known, job.step),
    )


def is_lowest(parts: StairParts) -> bool:
    """Whether the bay stands at the foot of its flight."""
    return parts.flight.last == parts.stair.risers - 1


def blocks_wanted(parts: StairParts) -> int:
    """Foot blocks the system asks for, by the opening along the slope."""
    along = parts.rule.slope.ceil_along(parts.opening)
    return block_count(rules=parts.rail.foot_blocks, clear=along)
