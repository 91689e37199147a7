"""Polylines against a general geometry library.

Source:
    Shapely (GEOS) 2: offset polygons with mitred joins, polygon areas, lengths.
"""

from importlib import import_module
from itertools import pairwise
from math import cos, hypot, radians, sin
from typing import Any

import pytest

from schemas.errors import GeometryError
from services.geometry.polyline import (
    Point,
    ahead,
    area,
    closing_error,
    direction,
    face_angles,
    from_nearest,
    headings,
    mends,
    reach,
    setback,
    walk,
)

shapely: Any = import_module("shapely")  # its calls carry no types

RECTANGLE = ([90, 90, 90], [120.0, 200.0, 120.0, 200.0])
CUT_CORNER = ([45, 45, 90, 90], [120.0, 60.0, 80.0, 162.42640687119285, 122.42640687119285])
L_SHAPE = ([90, -90, 90, 90, 90], [60.0, 60.0, 60.0, 60.0, 120.0, 120.0])
SHAPES = [RECTANGLE, CUT_CORNER, L_SHAPE]


@pytest.mark.parametrize(("turns", "sides"), SHAPES)
def test_walk_goes_round_the_library_s_polygon(turns: list[float], sides: list[float]) -> None:
    """A closed walk has its sides' lengths and the library's area."""
    ways = headings(first_deg=0, turns_deg=turns)

    places = walk(start=Point(3, 4), sides=sides, headings_deg=ways)

    assert hypot(places[-1].x - 3, places[-1].y - 4) == pytest.approx(0, abs=1e-9)
    assert area(places[:-1]) == pytest.approx(shapely.Polygon(places[:-1]).area)
    assert shapely.LinearRing(places[:-1]).length == pytest.approx(sum(sides))


@pytest.mark.parametrize(("turns", "sides"), SHAPES)
@pytest.mark.parametrize("offset", [1.0, 3.5, 6.25])
def test_setback_is_that_of_the_library_s_mitred_offset(
    turns: list[float], sides: list[float], offset: float
) -> None:
    """Every side of the offset polygon is shorter or longer by the setbacks at its ends."""
    ways = headings(first_deg=0, turns_deg=turns)
    shape = shapely.Polygon(walk(start=Point(0, 0), sides=sides, headings_deg=ways)[:-1])
    inner = shape.buffer(-offset, join_style="mitre", mitre_limit=100)
    ring = list(inner.exterior.coords)
    offset_sides = sorted(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(ring))
    full = [*turns, 360 - sum(turns)]

    ours = sorted(
        side - _signed(offset, full[n - 1]) - _signed(offset, full[n])
        for n, side in enumerate(sides)
    )

    assert ours == pytest.approx(offset_sides)


def _signed(offset: float, turn: float) -> float:
    size = setback(offset=offset, turn_deg=abs(turn))
    return size if turn > 0 else -size


@pytest.mark.parametrize(("offset", "turn"), [(-1, 90), (1, 180), (1, -5)])
def test_setback_refuses_what_is_no_vertex(offset: float, turn: float) -> None:
    """A negative offset or a turn on its heel is refused with its values."""
    with pytest.raises(GeometryError, match=f"offset={offset}, turn_deg={turn}"):
        setback(offset=offset, turn_deg=turn)


@pytest.mark.parametrize("angle", [0, 22.5, 45, 30])
def test_reach_ends_on_the_square(angle: float) -> None:
    """The point at that distance along the ray lies on the library's square, not short of it."""
    square = shapely.Polygon([(-500, -500), (500, -500), (500, 500), (-500, 500)])

    found = reach(width=1000, angle_deg=angle)

    end = shapely.Point(found * cos(radians(angle)), found * sin(radians(angle)))
    assert square.exterior.distance(end) < 1
    assert end.x >= 500 - 1e-9


def test_reach_refuses_a_ray_along_the_face() -> None:
    """At 90 degrees the ray never meets the face."""
    with pytest.raises(GeometryError, match="angle_deg=90"):
        reach(width=1000, angle_deg=90)


@pytest.mark.parametrize(
    ("turn", "halved", "angles"),
    [
        (90, False, (0, 0)),
        (45, False, (0, 45)),
        (30, False, (0, 30)),
        (60, False, (0, 30)),
        (120, False, (0, 30)),
        (45, True, (22.5, 22.5)),
        (90, True, (45, 45)),
    ],
)
def test_sides_meet_the_nearest_face(
    turn: float,
    halved: bool,  # noqa: FBT001 a parameter of the table above
    angles: tuple[float, float],
) -> None:
    """A square standing on a vertex is met at half the turn, or at the face that lies nearest."""
    assert face_angles(turn_deg=turn, halved=halved) == angles


def test_axes_are_exact() -> None:
    """Walking along an axis does not leave it by a rounding error."""
    steps = [direction(deg) for deg in (-90, 0, 90, 180, 450)]

    assert steps == [(0, -1), (1, 0), (0, 1), (-1, 0), (0, 1)]


def test_ahead_moves_by_the_distance() -> None:
    """A step of 5 on the slope of a 3-4-5 triangle moves by 4 and 3."""
    place = ahead(Point(1, 1), heading_deg=36.86989764584402, by=5)

    assert place == pytest.approx((5, 4))


def test_mend_names_the_side_that_was_misread() -> None:
    """A rectangle with one side a foot short is closed by that side or the one opposite."""
    turns, sides = RECTANGLE
    ways = headings(first_deg=0, turns_deg=turns)
    short = [sides[0] - 12, *sides[1:]]

    best, second, *others = mends(sides=short, headings_deg=ways)

    assert closing_error(sides=short, headings_deg=ways) == pytest.approx(12)
    assert {best.side, second.side} == {0, 2}
    assert {round(best.longer, 9), round(second.longer, 9)} == {12, -12}
    assert best.left == pytest.approx(0, abs=1e-9)
    assert all(other.left == pytest.approx(12) for other in others)


@pytest.mark.parametrize(("at", "past"), [(16, 0), (17, 1), (31, -1), (24, 8), (-1, -1), (25, -7)])
def test_distance_to_the_nearest_mark_has_its_sign(at: float, past: float) -> None:
    """Marks 16 apart run on in both directions."""
    assert from_nearest(at, first=0, apart=16) == past
