"""Where the rails of a stair bay run: over the nosings, at the posts, over the treads.

Heights are plumb. The line of the rails rises with riser / tread and is referred to the
top nosing, which is at the level of the walking surface. Level distances run downhill
from the top nosing. Where every riser was measured the nosings stand as measured, and
the line is checked at each of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate
from math import floor

from schemas.bays import NoseHeight
from schemas.errors import GeometryError
from schemas.rail_system import RoutedRail, SectionHeight
from schemas.site import Stair
from services import tape
from services.bays.limits import HeightWindow
from services.geometry.incircle import touching_height
from services.geometry.slope import Slope


@dataclass(frozen=True, slots=True, kw_only=True)
class Flight:
    """A flight with its two post faces. [1/320 mm]."""

    slope: Slope
    drops: tuple[int, ...]
    """Below the walking surface: each nosing from the top, 0 first, and last the landing."""
    upper_face: int
    """Upper post's stair-side face, downhill of the top nosing; negative: back on the deck."""
    lower_face: int
    """Lower post's uphill face, downhill of the top nosing."""
    lower_foot: int
    """What the lower post stands on, below the walking surface."""

    @property
    def nosings(self) -> int:
        """From the deck edge to the lowest tread."""
        return len(self.drops) - 1

    def over_line(self, nosing: int) -> int:
        """How much further than the first nosing, 0, this one is under the line."""
        return self.drops[nosing] - nosing * self.slope.rise


def flight(*, stair: Stair, clear: int, sleeve: int) -> Flight:
    """Set the flight and its post faces out from the top nosing.

    The lower face follows from the lowest nosing; the upper one was measured from the top
    nosing, or else follows from the clear opening.

    Args:
        stair: As measured.
        clear: Between sleeve faces, level. [length]
        sleeve: Face to face, of the lower post. [length]
    """
    slope = Slope(rise=stair.riser, run=stair.tread)
    lower_face = (stair.risers - 1) * stair.tread + stair.lower_post.from_last_nose
    given = stair.upper_post.from_top_nose
    risers = tuple(reversed(stair.each_riser)) or (stair.riser,) * stair.risers
    drops = tuple(accumulate(risers, initial=0))
    return Flight(
        slope=slope,
        drops=drops,
        upper_face=lower_face - clear if given is None else given,
        lower_face=lower_face,
        lower_foot=_foot(stair, drops, lower_face + sleeve // 2),
    )


def _foot(stair: Stair, drops: tuple[int, ...], centre: int) -> int:
    """Landing and grade are one riser under the lowest tread; a tread is the one at the centre."""
    if stair.lower_post.stands_on != "tread":
        return drops[-1]
    return drops[max(0, min(len(drops) - 2, -(-centre // stair.tread)))]


def triangle_limit(
    *, rise: int, run: int, projection: int | None, open_risers: bool | None, sphere: int
) -> float | None:
    """Most that the bottom rail's underside may stand plumb over the nosing line, unrounded.

    None where it is not a closed triangle of known shape: risers open or not known to be
    closed, an unknown nosing, or risers so low that the sphere rolls over them.
    """
    if open_risers is not False or projection is None:
        return None
    try:
        exact = touching_height(rise=rise, run=run, projection=projection, diameter=sphere)
    except GeometryError:
        return None
    return round(exact, 6)  # or a float's last digit would take a whole mark away


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
            from_upper_face=nosing * flight.slope.run - flight.upper_face,
            top=top + flight.over_line(nosing),
            gap=underside + flight.over_line(nosing),
        )
        for nosing in range(flight.nosings)
    )


def at_upper(*, flight: Flight, over_nosing: int, step: int) -> int:
    """A line's height at the upper post's face above the walking surface, to the nearest mark.

    height = over nosing - x * tan, x the face's distance downhill of the top nosing.
    """
    return tape.nearest(over_nosing - flight.upper_face * flight.slope.tan, step)


def at_lower(*, flight: Flight, over_nosing: int, step: int) -> int:
    """A line's height at the lower post's face above what the post stands on, to the nearest mark.

    From a landing one riser under the lowest nosing and a face x beyond it this is
    over nosing + riser - x * tan.
    """
    fallen = flight.lower_face * flight.slope.tan
    return tape.nearest(over_nosing - fallen + flight.lower_foot, step)


def surface_under(*, flight: Flight, at: float) -> int:
    """Which surface is under a place: 0 the deck, then treads downhill, last the landing."""
    return 0 if at < 0 else min(flight.nosings, floor(at / flight.slope.run) + 1)


def gap_over_surface(*, flight: Flight, underside: int, at: float) -> float:
    """Plumb gap from what is under a place to the bottom rail's underside."""
    surface = flight.drops[surface_under(flight=flight, at=at)]
    return underside - at * flight.slope.rise / flight.slope.run + surface
