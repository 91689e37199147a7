"""The circle in a corner closed by a sloping line."""

import pytest

from schemas.errors import GeometryError
from services.geometry.incircle import touching_height


def test_incircle_touches_with_the_line_on_its_foot() -> None:
    """The 3-4-5 triangle holds a circle of diameter 2: it touches when the line is not raised."""
    found = touching_height(rise=3, run=4, projection=0, diameter=2)

    assert found == pytest.approx(0, abs=1e-12)


def test_projection_lowers_the_line() -> None:
    """A longer level leg makes the corner roomier, so the line must come down."""
    plain, projecting = (
        touching_height(rise=7.5, run=10, projection=n, diameter=6) for n in (0, 1)
    )

    assert plain - projecting == pytest.approx(7.5 / 10)


def test_circle_must_lie_against_both_legs() -> None:
    """A radius equal to the rise still touches the upright leg; a larger one rolls over it."""
    assert touching_height(rise=3, run=10, projection=0, diameter=6) > 0

    with pytest.raises(GeometryError, match="both legs"):
        touching_height(rise=2.999, run=10, projection=0, diameter=6)


@pytest.mark.parametrize(
    ("rise", "run", "projection", "circle"),
    [(0, 10, 0, 6), (7, 0, 0, 6), (7, 10, -1, 6), (7, 10, 0, 0)],
)
def test_impossible_sizes_are_refused(
    rise: float, run: float, projection: float, circle: float
) -> None:
    """Every size outside its range is refused."""
    with pytest.raises(GeometryError, match="not a corner"):
        touching_height(rise=rise, run=run, projection=projection, diameter=circle)
