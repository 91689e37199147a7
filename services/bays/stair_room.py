"""Where the rails of a flight may run, and which recorded rules bound them.

All rules are kept to where that can be. Where it cannot, a figure that is doubtful (read at
second hand, or remembered) is set aside for the authority: it makes no stair impossible. So is
a triangle that the office says is closed by other means.
"""

from __future__ import annotations

from dataclasses import dataclass

from schemas.job import Job
from schemas.lengths import INCH
from schemas.site import Stair
from services import tape
from services.bays.flight import Flight
from services.bays.limits import (
    needs_handrail,
    stair_height,
    stair_opening,
    triangle_rule,
    triangle_sphere,
)
from services.bays.stair_line import Room, Section, room_over_nosings
from services.bays.triangle import highest_planned

OVER_NOSINGS = INCH // 2
"""Where no rail closes the triangle it runs low, yet so far over the nosings that one a little out
does not touch it. Our choice, no source."""
CLOSED = "closed"
"""The answer with which the office says that the triangle is closed by other means."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounded:
    """Room for the rail, and what was set aside to find it."""

    room: Room
    triangle_aside: bool = False
    """The triangle does not bound it."""
    heights_aside: bool = False
    """Doubtful heights do not bound it."""
    closable: bool = True
    """On steps all alike some rail over the nosings keeps inside the triangle's sphere."""


def bounded(job: Job, *, stair: Stair, flight: Flight, section: Section) -> Bounded:
    """The room under all rules, else under those that are sure.

    Args:
        job: For its rules, margins and answers.
        stair: As measured.
        flight: With its nosings as measured.
        section: The assembled section, plumb.
    """
    kept = (True, False) if _triangle_may_wait(job, stair) else (True,)
    found = [
        (_room(job, stair, flight, section, triangle=triangle, sure=sure), triangle, sure)
        for sure in (False, True)
        for triangle in kept
    ]
    closable = _under_triangle(job, stair) >= 0
    for room, triangle, sure in found:
        if room.lowest <= room.highest:
            return Bounded(
                room=room if triangle else _low(room, job=job, flight=flight),
                triangle_aside=not triangle,
                heights_aside=sure,
                closable=closable,
            )
    return Bounded(room=found[0][0], closable=closable)


def _triangle_may_wait(job: Job, stair: Stair) -> bool:
    """Its figure is doubtful, or somebody answers for what closes it."""
    rule = triangle_rule(job)
    answered = {(answer.question, answer.option) for answer in job.answers}
    return (rule is not None and rule.confidence != "quoted") or (
        f"stair-height.{stair.name}",
        CLOSED,
    ) in answered


def _low(room: Room, *, job: Job, flight: Flight) -> Room:
    """As low as the nosings let it: so what opens below is least."""
    least = min(flight.over_line(nosing) for nosing in range(flight.nosings))
    clear = tape.up(OVER_NOSINGS - least, job.step)
    return Room(lowest=room.lowest, highest=min(room.highest, max(room.lowest, clear)))


def _room(
    job: Job, stair: Stair, flight: Flight, section: Section, *, triangle: bool, sure: bool
) -> Room:
    square = (stair_opening(job) - 1) / flight.slope.cos  # square to the nosing line
    as_handrail = not stair.handrail and needs_handrail(job, risers=stair.risers)
    under = _under_triangle(job, stair)
    return room_over_nosings(
        flight=flight,
        section=section,
        window=stair_height(job, as_handrail=as_handrail, sure=sure),
        under_triangle=min(under, square) if triangle else square,
        step=job.step,
    )


def _under_triangle(job: Job, stair: Stair) -> float:
    return highest_planned(
        stair=stair, sphere=triangle_sphere(job), sphere_margin=job.company.sphere_margin
    )
