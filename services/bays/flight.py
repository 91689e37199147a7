"""A flight as it stands: its nosings, its treads and the faces of its two posts.

Level distances run downhill from the top nosing, which is at the level of the walking
surface; depths are plumb, below that surface. Where every riser was measured the
nosings stand as measured.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

from schemas.job import Job
from schemas.layout import Bay
from schemas.site import Stair
from services import tape
from services.geometry.slope import Slope


@dataclass(frozen=True, slots=True, kw_only=True)
class Flight:
    """A flight with its two post faces. [1/320 mm]."""

    slope: Slope
    drops: tuple[int, ...]
    """Below the walking surface: each nosing from the top, 0 first, and last the landing."""
    outs: tuple[int, ...]
    """Downhill of the top nosing, level: each nosing from the top, 0 first."""
    upper_face: int
    """Upper post's stair-side face, downhill of the top nosing; negative: back on the deck."""
    upper_foot: int
    """What the upper post stands on, below the walking surface: 0, or a mid post's tread."""
    lower_face: int
    """Lower post's uphill face, downhill of the top nosing."""
    lower_foot: int
    """What the lower post stands on, below the walking surface."""

    first: int
    """The bay's first nosing, from the deck edge, which is 0."""
    last: int
    """Its last one."""

    @property
    def nosings(self) -> int:
        """From the deck edge to the lowest tread."""
        return len(self.drops) - 1

    def over_line(self, nosing: int) -> Fraction:
        """How much further than the first nosing, 0, this one is under the line."""
        return self.drops[nosing] - self.outs[nosing] * self.slope.tan


def flight(
    *,
    stair: Stair,
    clear: int,
    sleeve: int,
    uphill: int = 0,
    mid_below: bool = False,
    mid_above: bool = False,
) -> Flight:
    """Set the flight and a bay's post faces out from the top nosing.

    The lower face follows from the lowest nosing; the upper one was measured from the top
    nosing, or else follows from the clear opening.

    Args:
        stair: As measured.
        clear: Between sleeve faces, level. [length]
        sleeve: Face to face, of the posts. [length]
        uphill: The bay's lower face, from the flight's lower post's, level. [length]
        mid_below: The bay's lower post is a mid post.
        mid_above: Its upper post is one.
    """
    lower_face = stair.run + stair.lower_post.from_last_nose - uphill
    given = None if mid_above else stair.upper_post.from_top_nose
    upper_face = lower_face - clear if given is None else given
    risers = tuple(reversed(stair.each_riser)) or (stair.riser,) * stair.risers
    drops = tuple(accumulate(risers, initial=0))
    above, below = (
        _tread(stair, at) for at in (upper_face - sleeve // 2, lower_face + sleeve // 2)
    )
    on_tread = mid_below or stair.lower_post.stands_on == "tread"
    return Flight(
        slope=Slope(rise=stair.riser, run=stair.tread),
        drops=drops,
        outs=stair.noses,
        upper_face=upper_face,
        upper_foot=drops[above] if mid_above else 0,
        lower_face=lower_face,
        lower_foot=drops[below if on_tread else -1],
        first=above if mid_above else 0,
        last=below - 1 if mid_below else stair.risers - 1,
    )


def flight_of(job: Job, bay: Bay, *, stair: Stair, mids: frozenset[str]) -> Flight:
    """The flight as a bay of it was laid out.

    Args:
        job: For its sleeves and its graduation.
        bay: As laid out.
        stair: As measured.
        mids: Names of the job's mid posts.
    """
    return flight(
        stair=stair,
        clear=tape.down(bay.clear, job.step),
        sleeve=job.system.sleeve.outside,
        uphill=bay.left.face,
        mid_below=bay.left.post in mids,
        mid_above=bay.right.post in mids,
    )


def _tread(stair: Stair, centre: int) -> int:
    """The tread at a place, from the deck, which is 0; a nosing has its tread's number."""
    return min(stair.risers - 1, bisect_left(stair.noses, centre))


def surface_under(*, flight: Flight, at: float) -> int:
    """Which surface is under a place: 0 the deck, then treads downhill, last the landing."""
    return 0 if at < 0 else bisect_right(flight.outs, at)


def gap_over_surface(*, flight: Flight, underside: int, at: float) -> float:
    """Plumb gap from what is under a place to the bottom rail's underside."""
    surface = flight.drops[surface_under(flight=flight, at=at)]
    return underside - at * flight.slope.rise / flight.slope.run + surface
