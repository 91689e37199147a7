"""Convex shapes in the plane: rectangles on a line, and how far two shapes are apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import hypot

from services.geometry.polyline import SQUARE, Point, ahead


def rectangle(
    place: Point, *, heading_deg: float, ahead_by: float, back_by: float, half: float
) -> tuple[Point, ...]:
    """A rectangle along a heading, from so far behind a place to so far ahead of it.

    Args:
        place: On its axis.
        heading_deg: Of its axis. [degrees]
        ahead_by: From the place to its front. [length]
        back_by: From the place to its back. [length]
        half: From its axis to its sides. [length, > 0]
    """
    ends = (
        ahead(place, heading_deg=heading_deg, by=ahead_by),
        ahead(place, heading_deg=heading_deg, by=-back_by),
    )
    sides = (heading_deg + SQUARE, heading_deg - SQUARE)
    front, back = (tuple(ahead(end, heading_deg=side, by=half) for side in sides) for end in ends)
    return (*front, *reversed(back))


def apart(one: Sequence[Point], other: Sequence[Point]) -> float:
    """Least distance between two convex shapes; of shapes that overlap, less the way to part them.

    Shapes are apart where some side of one of them has the whole other shape beyond it. Else the
    side that the other reaches least far over tells how far it would have to go. [length]

    Source:
        The separating axis theorem for convex polygons.
    """
    over = max(*_beyond(one, other), *_beyond(other, one))
    if over <= 0:
        return over
    return min(
        min(_to_side(point, *side) for point in shape for side in _sides(to))
        for shape, to in ((one, other), (other, one))
    )


def _sides(shape: Sequence[Point]) -> Iterator[tuple[Point, Point]]:
    return pairwise((*shape, shape[0]))


def _beyond(shape: Sequence[Point], other: Sequence[Point]) -> Iterator[float]:
    """How far the other shape stays beyond each side; negative: it reaches over it."""
    middle = Point(sum(p.x for p in shape) / len(shape), sum(p.y for p in shape) / len(shape))
    for a, b in _sides(shape):
        long = hypot(b.x - a.x, b.y - a.y)
        out = Point((b.y - a.y) / long, (a.x - b.x) / long)
        sign = 1 if (a.x - middle.x) * out.x + (a.y - middle.y) * out.y >= 0 else -1
        yield min(sign * ((p.x - a.x) * out.x + (p.y - a.y) * out.y) for p in other)


def _to_side(place: Point, a: Point, b: Point) -> float:
    x, y = b.x - a.x, b.y - a.y
    along = ((place.x - a.x) * x + (place.y - a.y) * y) / (x * x + y * y)
    at = min(1.0, max(0.0, along))
    return hypot(place.x - a.x - at * x, place.y - a.y - at * y)
