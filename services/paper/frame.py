"""Page sizes and margins, and the frame that blocks may use between header and footer.

Both sides of a duplex sheet keep 20 mm free where it is bound, so either long edge
may be stapled or punched; everything else keeps 10 mm from the edge.

Source:
    ISO 216 (A4); ASME Y14.1 (ANSI A, 8.5 x 11 in); border 10 mm, filing edge 20 mm: ISO 5457.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

MM = 72 / 25.4
"""A millimetre. [pt]"""
BOUND = 20 * MM + 1.5
"""Free at the left and right: 20 mm for staples and punch, and what letters and rules overhang
their place. [pt]"""
EDGE = 10 * MM + 0.5
"""Free at the top and bottom, with what rules overhang their place. [pt]"""
SIZES = {"letter": (612.0, 792.0), "a4": (210 * MM, 297 * MM)}
"""Width and height of the sheets. [pt]"""

PaperSize = Literal["letter", "a4"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A rectangle that may be printed on, in points."""

    left: float
    right: float
    top: float
    bottom: float

    @property
    def width(self) -> float:
        """From left to right, in points."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From bottom to top, in points."""
        return self.top - self.bottom


def inside_margins(size: PaperSize) -> Frame:
    """All that may be printed on, of a sheet of this size."""
    wide, high = SIZES[size]
    return Frame(left=BOUND, right=wide - BOUND, top=high - EDGE, bottom=EDGE)
