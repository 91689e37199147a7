"""Foot blocks under a stair's bottom rail: each on a tread, within reach, under a baluster."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from services.bays.flight import Flight, gap_over_surface, surface_under
from services.bays.foot_blocks import even_places
from services.bays.running_marks import nearest_marks


def stair_blocks(
    *,
    flight: Flight,
    underside: int,
    marks: Sequence[int],
    clearance: int,
    cut: int,
    count: int,
    width: int,
    reach: int,
) -> tuple[int, ...]:
    """Block centres along the slope from the lower end; fewer where no tread is in reach.

    The gap from a tread to the rail grows from its nosing back to the riser, so a block stands
    near the front of a tread, whole on it: half its width back from the nosing, or more.

    Args:
        flight: With its post faces.
        underside: Of the bottom rail over the top nosing. [length]
        marks: Hole centres along the slope from the lower end.
        clearance: Lower face to rail, along the slope. [length]
        cut: Rail, along the slope. [length]
        count: Blocks asked for.
        width: Of a block, seen from the front. [length]
        reach: Greatest gap that a block spans. [length]

    Source:
        Common practice: cut to the rake on top, level below, under a baluster, set back from
        the nose.
    """
    standing = [
        mark
        for mark in marks
        if _stands(
            flight=flight,
            at=flight.lower_face - (clearance + mark) * flight.slope.cos,
            underside=underside,
            width=width,
            reach=reach,
        )
    ]
    return nearest_marks(wanted=even_places(length=cut, count=count), marks=standing)


def _stands(*, flight: Flight, at: float, underside: int, width: int, reach: int) -> bool:
    surface = surface_under(flight=flight, at=at)
    if surface == 0:
        whole = at + width / 2 <= 0
    else:
        back, front = (*flight.outs, inf)[surface - 1 : surface + 1]
        whole = back <= at - width / 2 and at + width / 2 <= front
    gap = gap_over_surface(flight=flight, underside=underside, at=at)
    return whole and 0 <= gap <= reach
