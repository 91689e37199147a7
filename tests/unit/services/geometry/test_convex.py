"""Distances and overlaps of rectangles against a general-purpose geometry library.

Source:
    shapely (GEOS), `distance` and `intersection`: the least distance of two polygons, and
    whether they have an area in common.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from services.geometry.convex import apart, rectangle
from services.geometry.polyline import Point

shapely: Any = import_module("shapely")  # its calls carry no types
PLACES = st.tuples(st.integers(-30, 30), st.integers(-30, 30))
SHAPES = st.builds(
    lambda at, heading, back, front, half: rectangle(
        Point(*map(float, at)), heading_deg=heading, ahead_by=front, back_by=back, half=half
    ),
    PLACES,
    st.integers(0, 359),
    st.integers(1, 20),
    st.integers(1, 20),
    st.integers(1, 6),
)


@given(SHAPES, SHAPES)
def test_distance_is_that_of_the_library(one: tuple[Point, ...], other: tuple[Point, ...]) -> None:
    """Shapes that are apart are so by the library's distance; those that overlap share an area."""
    found = apart(one, other)

    a, b = shapely.Polygon(one), shapely.Polygon(other)
    if found > 0:
        assert found == pytest.approx(a.distance(b), abs=1e-9)
    else:
        assert a.distance(b) == pytest.approx(0, abs=1e-9)
        assert found == pytest.approx(0, abs=1e-9) or a.intersection(b).area > 0


@pytest.mark.parametrize(("at", "off"), [(5.0, 1.0), (4.0, 0.0), (3.5, -0.5), (0.0, -4.0)])
def test_two_squares_in_a_row(at: float, off: float) -> None:
    """Squares of 4 touch at 4 from centre to centre; nearer, what they overlap by is negative."""
    squares = [
        rectangle(Point(x, 0.0), heading_deg=0, ahead_by=2, back_by=2, half=2) for x in (0.0, at)
    ]

    assert apart(*squares) == pytest.approx(off)
