"""Plan coordinates: legs walked one after the other, lines side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from schemas.lengths import FOOT, Length
from services.geometry.polyline import SQUARE, Point, ahead, walk
from services.layout.stands import LegStands

APART = 10 * FOOT
"""Free space between two guard lines whose places to each other were not measured."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedLeg:
    """A leg in plan."""

    stands: LegStands
    start: Point
    end: Point

    def at(self, along: Length, *, outward: float = 0) -> Point:
        """The place so far from the zero, and so far out from the deck."""
        heading = self.stands.leg.heading_deg
        place = ahead(self.start, heading_deg=heading, by=along)
        return ahead(place, heading_deg=heading - SQUARE, by=outward) if outward else place


def place_line(legs: Sequence[LegStands], *, start: Point) -> tuple[PlacedLeg, ...]:
    """Walk a line's legs from a start."""
    corners = walk(
        start=start,
        sides=[leg.length for leg in legs],
        headings_deg=[leg.leg.heading_deg for leg in legs],
    )
    return tuple(
        PlacedLeg(stands=leg, start=corners[n], end=corners[n + 1]) for n, leg in enumerate(legs)
    )
