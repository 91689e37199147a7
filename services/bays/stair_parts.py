"""What one side of a stair starts from: its flight, its section and where the rail may run."""

from __future__ import annotations

from dataclasses import dataclass

from schemas.job import Job
from schemas.layout import Bay
from schemas.lengths import INCH, Length
from schemas.rail_system import RoutedRail, SectionHeight
from schemas.site import Stair
from services import tape
from services.bays.foot_blocks import block_count
from services.bays.limits import needs_handrail, stair_height, triangle_sphere
from services.bays.rules import stair_rule
from services.bays.stair_line import (
    Flight,
    Room,
    Section,
    flight,
    room_over_nosings,
    stair_section,
    triangle_limit,
)
from services.bays.stair_rail import StairRule

UNDER_TRIANGLE = INCH // 8
"""The rail is planned at least this far under the triangle's limit. Common practice: a
sphere that just touches is a doubt at the inspection."""
WIDEST_NOSING = INCH * 5 // 4
"""Taken where a nosing is unknown: the widest has the lowest limit.

Source: International Residential Code 2021, R311.7.5.3: nosing of 3/4 to 1 1/4 in.
"""


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
    room: Room
    """For the bottom rail's underside."""
    limit: Length | None
    """The triangle's, rounded down."""


def stair_parts(
    job: Job, bay: Bay, *, stair: Stair, rail: RoutedRail, section_height: SectionHeight
) -> StairParts:
    """Set out one side of a stair.

    Args:
        job: For its limits and the company's margins.
        bay: As laid out.
        stair: As measured.
        rail: The system's stair rail.
        section_height: The height it is sold in.
    """
    opening = tape.down(bay.clear, job.step)
    run = flight(stair=stair, clear=opening, sleeve=job.system.sleeve.outside)
    section = stair_section(rail=rail, section=section_height, slope=run.slope)
    known = _limit_for(stair, triangle_sphere(job))
    as_handrail = not stair.handrail and needs_handrail(job, risers=stair.risers)
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
        room=room_over_nosings(
            flight=run,
            section=section,
            window=stair_height(job, as_handrail=as_handrail),
            under_triangle=_under_triangle(job, stair, known),
            step=job.step,
        ),
        limit=None if known is None else tape.down(known, job.step),
    )


def _limit_for(stair: Stair, sphere: int) -> float | None:
    return triangle_limit(
        rise=stair.riser,
        run=stair.tread,
        projection=stair.nosing,
        open_risers=stair.open_risers,
        sphere=sphere,
    )


def _under_triangle(job: Job, stair: Stair, known: float | None) -> float:
    """Most for the planned rail: 1/8 in under the limit, and under the company's own sphere."""
    sphere = triangle_sphere(job)
    taken = known
    if taken is None:
        stair = stair.model_copy(update={"nosing": WIDEST_NOSING, "open_risers": False})
        taken = _limit_for(stair, sphere)
    working = _limit_for(stair, sphere - job.company.sphere_margin)
    if taken is None or working is None:
        return 0
    planned = min(taken - UNDER_TRIANGLE, working - 1)
    return planned if known is not None else max(0, planned)


def blocks_wanted(parts: StairParts) -> int:
    """Foot blocks the system asks for, by the opening along the slope."""
    along = parts.rule.slope.ceil_along(parts.opening)
    return block_count(rules=parts.rail.foot_blocks, clear=along)
