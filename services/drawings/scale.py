"""The scale of a drawing: chosen to fit, said in words, proved by a check bar.

Nothing is scaled off paper; the bar shows whether the printer kept the size.
"""

from __future__ import annotations

from dataclasses import dataclass

from schemas.drawings import LONGEST_BAR, TALLEST, WIDEST
from schemas.errors import GeometryError
from schemas.lengths import FOOT, INCH, PER_MM

_POINTS_AN_INCH = 72.0
_INCH_RATIOS = (
    1, 2, 3, 4, 6, 8, 10, 12, 16, 20, 24, 32, 36, 48, 60, 72, 96, 120, 144, 192, 240, 360, 480,
    720, 960, 1200, 1920,
)  # fmt: skip
_METRIC_RATIOS = (
    1, 2, 5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 250, 300, 400, 500, 750, 1000, 1500,
    2000,
)  # fmt: skip
_INCH_BARS = tuple(n * INCH for n in (1, 2, 4, 6, 12, 24, 48, 120, 240, 480, 960, 1920))
_METRIC_BARS = tuple(
    n * PER_MM for n in (20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000, 50000)
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """How many times smaller than the site the paper is."""

    ratio: int
    metric: bool

    def points(self, length: float) -> float:
        """A length on site, on paper. [pt]."""
        return length / INCH * _POINTS_AN_INCH / self.ratio

    @property
    def says(self) -> str:
        """The scale in words."""
        if self.metric:
            return f"1 mm = {self.ratio} mm"
        if self.ratio % 12 == 0:
            return f"1 in = {self.ratio // 12} ft"
        return f"1 in = {self.ratio} in"

    @property
    def bar(self) -> int:
        """What the check bar stands for. [1/320 mm]."""
        bars = _METRIC_BARS if self.metric else _INCH_BARS
        return max((b for b in bars if self.points(b) <= LONGEST_BAR), default=bars[0])

    @property
    def bar_says(self) -> str:
        """What the check bar stands for, in words."""
        if self.metric:
            return f"{self.bar // PER_MM} mm"
        return f"{self.bar // FOOT} ft" if self.bar > 2 * FOOT else f"{self.bar // INCH} in"


def choose_scale(
    *,
    wide: float,
    high: float = 0,
    room: float = WIDEST,
    tall: float = TALLEST,
    metric: bool,
    least: int = 1,
) -> Scale:
    """The largest usual scale at which a thing fits its room.

    Args:
        wide: Width on site. [1/320 mm, >= 0]
        high: Height on site. [1/320 mm, >= 0]
        room: Width on paper. [pt, > 0]
        tall: Height on paper. [pt, > 0]
        metric: Whether the job's paper is in millimetres.
        least: No larger scale than one to this.

    Raises:
        GeometryError: It fits at no usual scale.
    """
    for ratio in _METRIC_RATIOS if metric else _INCH_RATIOS:
        scale = Scale(ratio=ratio, metric=metric)
        if ratio >= least and scale.points(wide) <= room and scale.points(high) <= tall:
            return scale
    msg = f"fits no usual scale: {wide=}, {high=}, {room=}, {tall=}"
    raise GeometryError(msg)


def smaller(scale: Scale) -> Scale:
    """The next smaller usual scale.

    Raises:
        GeometryError: There is none.
    """
    ratios = _METRIC_RATIOS if scale.metric else _INCH_RATIOS
    for ratio in ratios:
        if ratio > scale.ratio:
            return Scale(ratio=ratio, metric=scale.metric)
    msg = f"no usual scale is smaller than {scale.says}"
    raise GeometryError(msg)
