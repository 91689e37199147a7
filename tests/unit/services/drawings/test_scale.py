"""Scales in words and their check bars."""

from __future__ import annotations

import pytest

from schemas.errors import GeometryError
from schemas.lengths import FOOT, INCH, PER_MM
from services.drawings.scale import Scale, choose_scale


def test_inch_scale_measures_true() -> None:
    """At 1 in = 1 ft, a foot on site is 72 points of paper."""
    scale = Scale(ratio=12, metric=False)

    assert scale.points(FOOT) == pytest.approx(72)
    assert scale.says == "1 in = 1 ft"


def test_metric_scale_measures_true() -> None:
    """At 1 mm = 20 mm, 500 mm on site are 25 mm of paper, 72 points to 25.4 mm."""
    scale = Scale(ratio=20, metric=True)

    assert scale.points(500 * PER_MM) == pytest.approx(25 / 25.4 * 72)
    assert scale.says == "1 mm = 20 mm"


@pytest.mark.parametrize("ratio", [1, 8, 12, 20, 96, 240, 480])
def test_bar_says_what_it_is_long(ratio: int) -> None:
    """The bar's words and its length on paper agree, and it finds room beside them."""
    scale = Scale(ratio=ratio, metric=False)
    count, unit = scale.bar_says.split()

    size = int(count) * {"in": INCH, "ft": FOOT}[unit]

    assert size == scale.bar
    assert scale.points(scale.bar) <= 150


def test_the_largest_scale_that_fits_is_taken() -> None:
    """Ten feet in 480 points go at 1 in = 20 in, not at the next smaller or larger scale."""
    scale = choose_scale(wide=10 * FOOT, room=480, metric=False)

    assert scale.ratio == 20
    assert Scale(ratio=16, metric=False).points(10 * FOOT) > 480


def test_what_never_fits_is_refused_with_its_size() -> None:
    """A thing beyond every usual scale is refused."""
    with pytest.raises(GeometryError, match="wide="):
        choose_scale(wide=10**9, room=1, metric=False)
