# mypy: disable-error-code="no-untyped-call"
# mpmath and scipy publish no types.
"""How high a stair's bottom rail may run before the sphere gets through the triangle.

Source:
    International Residential Code 2021, R312.1.3 exception 1: a 6 in sphere must not pass
    the opening of riser, tread and bottom rail. The heights are derived, no code prints
    them: they are checked against mpmath (distance of a point from a line, 50 digits) and
    against scipy, which finds by search the line that touches the circle.
"""

from math import hypot

import mpmath
import pytest
from scipy.optimize import brentq

from services.geometry.incircle import touching_height

LAST_DIGIT = 0.01
WITH_NOSING = [  # riser, run, heights for a nosing of 0, 3/4, 1 and 1 1/4 in
    (6, 12, (1.85, 1.48, 1.35, 1.23)),
    (7, 11, (1.47, 0.99, 0.83, 0.67)),
    (7.5, 10, (1.50, 0.94, 0.75, 0.56)),
    (7.5, 11, (1.18, 0.67, 0.49, 0.32)),
    (7.75, 10, (1.37, 0.79, 0.60, 0.40)),
    (8, 9, (1.68, 1.01, 0.79, 0.57)),
]
ROWS = [
    (rise, run, nosing, height)
    for rise, run, heights in WITH_NOSING
    for nosing, height in zip((0, 0.75, 1, 1.25), heights, strict=True)
]
WITHOUT_NOSING = [  # riser, run, sphere at the nosing line, height
    (7.5, 10, 5.000, 1.500),
    (7.75, 10, 5.098, 1.370),
    (7.25, 10.5, 4.990, 1.467),
    (7, 11, 4.962, 1.465),
]


def by_mpmath(*, rise: float, run: float, projection: float, sphere: float) -> float:
    """Plumb height at which the line is one radius from the circle's centre."""
    with mpmath.workdps(50):
        r, t, n, radius = (mpmath.mpf(size) for size in (rise, run, projection, sphere / 2))
        through_foot = (t * radius + r * radius - r * (t + n)) / mpmath.hypot(r, t)
        return float((radius + through_foot) * mpmath.hypot(r, t) / t)


def by_search(*, rise: float, run: float, projection: float, sphere: float) -> float:
    """Plumb height at which the nearest point of the line is just one radius away."""

    def room(height: float) -> float:
        # nearest point of the line y = height + rise * (run + projection - x) / run
        slope = -rise / run
        at_zero = height + rise * (run + projection) / run
        radius = sphere / 2
        x = (radius + slope * (radius - at_zero)) / (1 + slope**2)
        return hypot(x - radius, at_zero + slope * x - radius) - radius

    low, high = -(rise + projection * rise / run) / 4, rise + sphere
    return float(brentq(room, low, high, xtol=1e-13))


@pytest.mark.parametrize(("rise", "run", "nosing", "printed"), ROWS)
def test_height_by_nosing(rise: float, run: float, nosing: float, printed: float) -> None:
    """Every row of the table by riser, run and nosing comes out to its last digit."""
    found = touching_height(rise=rise, run=run, projection=nosing, diameter=6)

    assert found == pytest.approx(printed, abs=LAST_DIGIT / 2 + 1e-9)


@pytest.mark.parametrize(("rise", "run", "sphere", "height"), WITHOUT_NOSING)
def test_sphere_and_height_without_nosing(
    rise: float, run: float, sphere: float, height: float
) -> None:
    """The sphere that fits with the rail on the nosing line, and the height for 6 in."""
    on_line = touching_height(rise=rise, run=run, projection=0, diameter=sphere)
    raised = touching_height(rise=rise, run=run, projection=0, diameter=6)

    assert rise + run - hypot(rise, run) == pytest.approx(sphere, abs=0.0005)
    assert on_line == pytest.approx(0, abs=0.0005 * height / (6 - sphere))
    assert raised == pytest.approx(height, abs=0.0005)


@pytest.mark.parametrize(("rise", "run", "nosing", "printed"), ROWS)
def test_formula_agrees_with_two_other_ways(
    rise: float, run: float, nosing: float, printed: float
) -> None:
    """Distance in 50 digits and a search for the touching line give the same height."""
    found = touching_height(rise=rise, run=run, projection=nosing, diameter=6)

    assert found == pytest.approx(
        by_mpmath(rise=rise, run=run, projection=nosing, sphere=6), abs=1e-12
    ), printed
    assert found == pytest.approx(
        by_search(rise=rise, run=run, projection=nosing, sphere=6), abs=1e-9
    )
