"""Measures along a slope, rounded and compared without a float."""

import pytest

from schemas.errors import GeometryError
from services.geometry.slope import Slope

THREE_FOUR_FIVE = Slope(rise=3, run=4)


def test_whole_triangle_is_exact_both_ways() -> None:
    """Where the hypotenuse is whole nothing is rounded, up or down."""
    slope = THREE_FOUR_FIVE

    assert slope.floor_along(4000) == slope.ceil_along(4000) == 5000
    assert slope.floor_level(5000) == slope.ceil_level(5000) == 4000


def test_rounding_brackets_the_true_length() -> None:
    """Down and up differ by one where the hypotenuse is not whole."""
    slope = Slope(rise=1, run=1)

    assert (slope.floor_along(1000), slope.ceil_along(1000)) == (1414, 1415)
    assert (slope.floor_level(1000), slope.ceil_level(1000)) == (707, 708)


def test_equal_is_neither_under_nor_over() -> None:
    """A length just equal to the limit is known to be equal."""
    slope = THREE_FOUR_FIVE

    assert not slope.level_is_under(5, 4)
    assert not slope.level_is_over(5, 4)
    assert slope.level_is_under(5, 5)
    assert slope.level_is_over(5, 3)


def test_everything_is_over_a_negative_limit() -> None:
    """A limit under nothing is passed by any length, and stays above none."""
    assert THREE_FOUR_FIVE.level_is_over(0, -1)
    assert not THREE_FOUR_FIVE.level_is_under(0, -1)


def test_level_is_a_slope_of_nothing() -> None:
    """Without rise, level and along are the same."""
    slope = Slope(rise=0, run=7)

    assert slope.degrees == 0
    assert slope.floor_along(123) == 123


@pytest.mark.parametrize(("rise", "run"), [(-1, 4), (1, 0), (1, -4)])
def test_no_slope_is_refused_with_its_values(rise: int, run: int) -> None:
    """A negative rise or a run of nothing is refused."""
    with pytest.raises(GeometryError, match=f"rise={rise}, run={run}"):
        Slope(rise=rise, run=run)


def test_negative_length_is_refused() -> None:
    """Lengths on a slope are not negative."""
    with pytest.raises(GeometryError, match="-1"):
        THREE_FOUR_FIVE.floor_along(-1)
