"""A straight slope of whole rise and run: measures along it, level and plumb.

Comparisons and roundings are made on whole numbers, by squares, so that a
length which is just equal to a limit is known to be equal.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import atan2, degrees, hypot, isqrt

from schemas.errors import GeometryError


@dataclass(frozen=True, slots=True, kw_only=True)
class Slope:
    """A slope rising ``rise`` for each level ``run``.

    Raises:
        GeometryError: A run of nothing or less, or a negative rise.

    Source:
        US Navy Builder course 14044, framing square: line length per foot of run,
        sqrt(12**2 + rise**2); here run and rise are of any size.
    """

    rise: int
    """[length, >= 0]"""
    run: int
    """[length, > 0]"""

    def __post_init__(self) -> None:
        if self.run <= 0 or self.rise < 0:
            msg = f"not a slope: rise={self.rise}, run={self.run}"
            raise GeometryError(msg)

    @property
    def degrees(self) -> float:
        """Angle to the level. [degrees]."""
        return degrees(atan2(self.rise, self.run))

    @property
    def tan(self) -> Fraction:
        """Rise for each unit of run, exact."""
        return Fraction(self.rise, self.run)

    @property
    def cos(self) -> float:
        """Level length for each unit along the slope."""
        return self.run / hypot(self.rise, self.run)

    def floor_along(self, level: int) -> int:
        """Length along the slope over a level length, rounded down: level / cos.

        It is also the plumb depth of a band that is ``level`` deep square to the slope.
        """
        return isqrt(_size(level) ** 2 * self._line_squared) // self.run

    def ceil_along(self, level: int) -> int:
        """The same rounded up."""
        return _root_up(_size(level) ** 2 * self._line_squared, self.run**2)

    def floor_level(self, along: int) -> int:
        """Level length under a length along the slope, rounded down: along * cos."""
        return isqrt((_size(along) * self.run) ** 2 // self._line_squared)

    def ceil_level(self, along: int) -> int:
        """The same rounded up."""
        return _root_up((_size(along) * self.run) ** 2, self._line_squared)

    def level_is_under(self, along: int, level: int) -> bool:
        """Whether ``along`` seen level is shorter than ``level``; equal is not."""
        return level > 0 and (_size(along) * self.run) ** 2 < level**2 * self._line_squared

    def level_is_over(self, along: int, level: int) -> bool:
        """Whether ``along`` seen level is longer than ``level``; equal is not."""
        return level < 0 or (_size(along) * self.run) ** 2 > level**2 * self._line_squared

    @property
    def _line_squared(self) -> int:
        return self.rise**2 + self.run**2


def _size(length: int) -> int:
    if length < 0:
        msg = f"a length on a slope is not negative: {length}"
        raise GeometryError(msg)
    return length


def _root_up(square: int, over: int) -> int:
    """The least whole number whose square is at least square / over."""
    root = isqrt(square // over)
    return root if root**2 * over >= square else root + 1
