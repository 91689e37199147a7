"""Polylines in the plane: walking them, offsetting them, closing them.

Headings run anticlockwise from x; a positive turn is to the left. Lengths are in
whatever unit they come in.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise
from math import ceil, cos, fsum, hypot, radians, sin, tan
from typing import NamedTuple

from schemas.errors import GeometryError

SQUARE = 90.0
"""A right angle. [degrees]"""
_EXACT = {0: (1.0, 0.0), 90: (0.0, 1.0), 180: (-1.0, 0.0), 270: (0.0, -1.0)}


class Point(NamedTuple):
    """A place in the plane, or a step between two."""

    x: float
    y: float


class Mend(NamedTuple):
    """One side which, made longer, closes a polygon best."""

    side: int
    """Number of the side, from 0."""
    longer: float
    """By how much; negative is shorter. [length]"""
    left: float
    """Distance that stays open. [length]"""


def direction(heading_deg: float) -> Point:
    """A step of length 1; exact along the axes."""
    exact = _EXACT.get(round(heading_deg) % 360) if heading_deg == round(heading_deg) else None
    return Point(*(exact or (cos(radians(heading_deg)), sin(radians(heading_deg)))))


def ahead(place: Point, *, heading_deg: float, by: float) -> Point:
    """The place reached by going so far on a heading."""
    step = direction(heading_deg)
    return Point(place.x + by * step.x, place.y + by * step.y)


def headings(*, first_deg: float, turns_deg: Sequence[float]) -> tuple[float, ...]:
    """The heading of every side, from the first one and the turns between them. [degrees]."""
    return tuple(accumulate(turns_deg, initial=first_deg))


def walk(
    *, start: Point, sides: Sequence[float], headings_deg: Sequence[float]
) -> tuple[Point, ...]:
    """All vertices, the start included."""
    places = [start]
    for side, heading in zip(sides, headings_deg, strict=True):
        places.append(ahead(places[-1], heading_deg=heading, by=side))
    return tuple(places)


def setback(*, offset: float, turn_deg: float) -> float:
    """How much shorter a side becomes at one vertex when its polyline is offset inward.

    setback = offset * tan(turn / 2). The side becomes longer by it at a vertex that
    turns the other way.

    Args:
        offset: Distance between the two lines. [length, >= 0]
        turn_deg: Change of heading at the vertex, without sign. [degrees, 0 to under 180]

    Raises:
        GeometryError: A size outside its range.

    Source:
        The two right triangles between a vertex, its offset vertex and the foot of
        the offset: each has the angle turn / 2 at the offset vertex.
    """
    if offset < 0 or not 0 <= turn_deg < 180:
        msg = f"not an offset vertex: {offset=}, {turn_deg=}"
        raise GeometryError(msg)
    return offset if turn_deg == SQUARE else offset * tan(radians(turn_deg / 2))


def reach(*, width: int, angle_deg: float) -> int:
    """From a square's centre to its face along a ray, rounded up to a whole unit.

    reach = width / 2 / cos(angle)

    Args:
        width: Side of the square. [length, > 0]
        angle_deg: Between the ray and the normal of the face. [degrees, 0 to under 90]

    Raises:
        GeometryError: A size outside its range.
    """
    if width <= 0 or not 0 <= angle_deg < SQUARE:
        msg = f"the ray does not meet the face: {width=}, {angle_deg=}"
        raise GeometryError(msg)
    return ceil(width / 2 / direction(angle_deg).x)


def beside_middle(*, width: int, angle_deg: float) -> float:
    """How far beside a face's middle a ray from a square's centre meets it. [length].

    beside = width / 2 * tan(angle): the square's own corner at 45 degrees.

    Args:
        width: Side of the square. [length, > 0]
        angle_deg: Between the ray and the normal of the face. [degrees, 0 to under 90]

    Raises:
        GeometryError: A size outside its range.
    """
    if width <= 0 or not 0 <= angle_deg < SQUARE:
        msg = f"the ray does not meet the face: {width=}, {angle_deg=}"
        raise GeometryError(msg)
    return width / 2 * tan(radians(angle_deg))


def face_angles(*, turn_deg: float, halved: bool) -> tuple[float, float]:
    """Angles at which the two sides of a vertex meet the faces of a square standing on it.

    Halved: the square is turned by half the turn, and both sides meet it at turn / 2.
    Else it is square to the side before, which meets it at 0; the next side meets the
    face whose normal lies nearest: at the turn itself up to 45, then at |turn - 90|.

    Args:
        turn_deg: Change of heading, without sign. [degrees, 0 to under 180]
        halved: Whether the square is turned.

    Returns:
        Angle to the face's normal of the side before and of the side after. [degrees]
    """
    if halved:
        return turn_deg / 2, turn_deg / 2
    return 0.0, turn_deg if turn_deg <= SQUARE / 2 else abs(turn_deg - SQUARE)


def closing_error(*, sides: Sequence[float], headings_deg: Sequence[float]) -> float:
    """Distance between the two ends of a polyline that should close. [length]."""
    ends = _gap(sides=sides, headings_deg=headings_deg)
    return hypot(ends.x, ends.y)


def mends(*, sides: Sequence[float], headings_deg: Sequence[float]) -> tuple[Mend, ...]:
    """What each side alone can do to close the polygon, the best first.

    Side i made longer by m leaves |gap + m * d_i| open, least at m = -gap . d_i with
    d_i its direction.
    """
    gap = _gap(sides=sides, headings_deg=headings_deg)
    found = []
    for side, heading in enumerate(headings_deg):
        step = direction(heading)
        longer = -(gap.x * step.x + gap.y * step.y)
        found.append(Mend(side, longer, hypot(gap.x + longer * step.x, gap.y + longer * step.y)))
    return tuple(sorted(found, key=lambda mend: mend.left))


def area(places: Sequence[Point]) -> float:
    """Area inside a polygon, positive when it is walked anticlockwise.

    Source:
        Gauss's area formula.
    """
    around = pairwise([*places, places[0]])
    return fsum(a.x * b.y - b.x * a.y for a, b in around) / 2


def from_nearest(at: float, *, first: float, apart: float) -> float:
    """How far a place lies past the nearest of evenly spaced marks; negative is before it.

    Args:
        at: The place. [length]
        first: Any one of the marks. [length]
        apart: From mark to mark. [length, > 0]
    """
    past = (at - first) % apart
    return past if past <= apart / 2 else past - apart


def _gap(*, sides: Sequence[float], headings_deg: Sequence[float]) -> Point:
    steps = [direction(heading) for heading in headings_deg]
    return Point(
        fsum(side * step.x for side, step in zip(sides, steps, strict=True)),
        fsum(side * step.y for side, step in zip(sides, steps, strict=True)),
    )
