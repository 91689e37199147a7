"""Roundings along a slope against fifty decimal digits of a general reference library.

Source:
    mpmath, arbitrary-precision arithmetic: atan and cos, not our squares of whole numbers.
"""

from importlib import import_module
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from services.geometry.slope import Slope

mpmath: Any = import_module("mpmath")  # its calls carry no types

RISES = st.integers(0, 8_128 * 12)
RUNS = st.integers(8_128 * 4, 8_128 * 20)
LENGTHS = st.integers(0, 8_128 * 400)
DIGITS = 50


@given(rise=RISES, run=RUNS, level=LENGTHS)
def test_lengths_along_the_slope_are_rounded_from_the_true_one(
    rise: int, run: int, level: int
) -> None:
    """The true level / cos(atan(rise / run)), down to a whole unit and up to one."""
    slope = Slope(rise=rise, run=run)

    with mpmath.workdps(DIGITS):
        true = level / mpmath.cos(mpmath.atan(mpmath.mpf(rise) / run))
        down, up = int(mpmath.floor(_clean(true))), int(mpmath.ceil(_clean(true)))

    assert (slope.floor_along(level), slope.ceil_along(level)) == (down, up)


@given(rise=RISES, run=RUNS, along=LENGTHS)
def test_level_lengths_are_rounded_from_the_true_one(rise: int, run: int, along: int) -> None:
    """The true along * cos(atan(rise / run)), both ways."""
    slope = Slope(rise=rise, run=run)

    with mpmath.workdps(DIGITS):
        true = along * mpmath.cos(mpmath.atan(mpmath.mpf(rise) / run))
        down, up = int(mpmath.floor(_clean(true))), int(mpmath.ceil(_clean(true)))

    assert (slope.floor_level(along), slope.ceil_level(along)) == (down, up)


@given(rise=RISES, run=RUNS)
def test_the_angle_is_that_of_the_library(rise: int, run: int) -> None:
    """A million times finer than a saw could ever show."""
    with mpmath.workdps(DIGITS):
        true = float(mpmath.degrees(mpmath.atan(mpmath.mpf(rise) / run)))

    assert abs(Slope(rise=rise, run=run).degrees - true) < 1e-9


def _clean(true: Any) -> Any:  # noqa: ANN401 a number of the library
    """A whole number again where only the fiftieth digit says otherwise."""
    whole = mpmath.nint(true)
    return whole if abs(true - whole) < mpmath.mpf(10) ** -30 else true
