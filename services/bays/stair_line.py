"""Where the rails of a stair bay run: over the nosings and at the posts.

Heights are plumb. The line of the rails rises with riser / tread and is referred to the
top nosing; it is checked at every nosing of the flight.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

from schemas.bays import NoseHeight
from schemas.rail_system import RoutedRail, SectionHeight
from services import tape
from services.bays.flight import Flight
from services.bays.limits import HeightWindow
from services.geometry.slope import Slope


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """The assembled stair section, plumb."""

    bottom: int
    """Underside of the bottom rail to its top, rounded to the nearest inside unit."""
    top_underside: int
    """Underside of the bottom rail to underside of the top rail."""
    least: int
    """Underside of the bottom rail to top of the top rail, rounded down."""
    most: int
    """The same rounded up."""


def stair_section(*, rail: RoutedRail, section: SectionHeight, slope: Slope) -> Section:
    """A plumb cut is taller than the rail: depth / cos; balusters keep what is seen of them.

    Source:
        Common practice; a 3 1/2 in rail at 34 degrees stands 4.22 in on the post.
    """
    depths = rail.bottom_depth + rail.top_depth
    bottom = slope.floor_along(rail.bottom_depth)
    return Section(
        bottom=bottom,
        top_underside=bottom + section.visible,
        least=slope.floor_along(depths) + section.visible,
        most=slope.ceil_along(depths) + section.visible,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """Where the bottom rail's underside may stand over the top nosing, plumb."""

    lowest: int
    """At least, on a mark."""
    highest: int
    """At most, on a mark."""


def room_over_nosings(
    *,
    flight: Flight,
    section: Section,
    window: HeightWindow,
    under_triangle: float,
    step: int,
) -> Room:
    """Between the height window and the triangle, at every nosing of the flight.

    Args:
        flight: With its nosings as measured.
        section: The assembled section, plumb.
        window: Working window of the top rail over the nosings.
        under_triangle: Most over any nosing; itself still allowed. [length]
        step: Graduation.
    """
    apart = [flight.over_line(nosing) for nosing in range(flight.nosings)]
    lowest = 0 if window.least is None else max(0, window.least - section.least)
    highest = under_triangle
    if window.greatest is not None:
        highest = min(highest, window.greatest - section.most)
    return Room(
        lowest=tape.up(lowest - min(apart), step),
        highest=tape.down(highest - max(apart), step),
    )


def nose_heights(*, flight: Flight, underside: int, top: int) -> tuple[NoseHeight, ...]:
    """Underside and top over each nosing, from the top one down."""
    return tuple(
        NoseHeight(
            nosing=nosing + 1,
            from_upper_face=flight.outs[nosing] - flight.upper_face,
            top=floor(top + flight.over_line(nosing)),
            gap=ceil(underside + flight.over_line(nosing)),
        )
        for nosing in range(flight.first, flight.last + 1)
    )


def at_upper(*, flight: Flight, over_nosing: int, step: int) -> int:
    """A line's height at the upper post's face above what the post stands on, to the nearest mark.

    height = over nosing - x * tan, x the face's distance downhill of the top nosing; a mid post
    stands on a tread, so much lower.
    """
    fallen = flight.upper_face * flight.slope.tan
    return tape.nearest(over_nosing - fallen + flight.upper_foot, step)


def at_lower(*, flight: Flight, over_nosing: int, step: int) -> int:
    """A line's height at the lower post's face above what the post stands on, to the nearest mark.

    From a landing one riser under the lowest nosing and a face x beyond it this is
    over nosing + riser - x * tan.
    """
    fallen = flight.lower_face * flight.slope.tan
    return tape.nearest(over_nosing - fallen + flight.lower_foot, step)
