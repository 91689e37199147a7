"""Chords in an arc, against their own geometry."""

from math import pi, sqrt

import pytest

from schemas.errors import GeometryError
from services.geometry.arc import chords_of


def test_hexagon() -> None:
    """Six chords of a full circle are as long as its radius, and turn 60 degrees."""
    six = chords_of(arc=2 * pi * 10, radius=10, count=6)

    assert six.length == pytest.approx(10)
    assert six.turn_deg == pytest.approx(60)
    assert six.inside == pytest.approx(10 - 5 * sqrt(3))


def test_flat_arc_stands_off_by_the_sagitta() -> None:
    """Check value c**2 / 8r: 48 in on 120 in gives 2.4, which the arc passes by 1 percent."""
    one = chords_of(arc=48.0, radius=120, count=1)

    assert one.inside == pytest.approx(one.length**2 / (8 * 120), rel=0.011)
    assert one.inside > one.length**2 / (8 * 120)


@pytest.mark.parametrize(("arc", "radius", "count"), [(0, 1, 1), (1, 0, 1), (1, 1, 0), (6.3, 1, 2)])
def test_no_such_arc(arc: float, radius: float, count: int) -> None:
    """Nothing, or more than the full circle, is refused with its values."""
    with pytest.raises(GeometryError, match="not an arc"):
        chords_of(arc=arc, radius=radius, count=count)
