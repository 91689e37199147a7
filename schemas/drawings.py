"""A drawing without a device: strokes and labels on a plane measured in points.

In: the plan's positions, already scaled. Out: what the sheet will show, in an
order that may be painted as it stands. Origin bottom left, x right, y up.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from schemas.record import Record

Points = Annotated[float, Field(ge=-2000, le=4000)]
"""A place or size on the sheet. [pt, 1/72 in]"""

WIDEST = 476
"""A drawing so wide fits the frame of either paper, letter or A4. [pt]"""
LONGEST_BAR = 150
"""A check bar so long leaves room for its words beside it. [pt]"""
TALLEST = 356
"""A drawing so tall fits under the longest head and over the longest foot. [pt]"""

Weight = Literal["heavy", "wide", "narrow", "hair"]
"""Rule weight: heavy 1.4 pt (cut here, house), wide 1.0 pt (outlines), narrow 0.5 pt (dimensions),
hair 0.5 pt grey-free thin line for what only helps the eye."""

Fill = Literal["none", "white", "light", "black"]
"""Inside of a closed stroke; light is a 0.88 grey that also survives a 1-bit print."""


class Stroke(Record):
    """A run of straight lines, open or closed."""

    points: Annotated[tuple[tuple[Points, Points], ...], Field(min_length=2)]
    """Corners in order. [pt]"""
    weight: Weight = "narrow"
    dashed: bool = False
    """Dashed: hidden, or a line that is only thought (nosing line, centre line)."""
    closed: bool = False
    fill: Fill = "none"


class Label(Record):
    """One line of text in a drawing, placed for good."""

    x: Points
    """Anchor point, left to right. [pt]"""
    y: Points
    """Baseline (for turned text: the baseline's own axis). [pt]"""
    text: Annotated[str, Field(min_length=1, max_length=120)]
    """Plain text; a tape fraction such as ``34 11/16`` is drawn stacked when `stacked`."""
    size: Annotated[float, Field(ge=6, le=48)] = 10
    """Type size of full-height figures. [pt]"""
    anchor: Literal["start", "middle", "end"] = "start"
    """Which part of the text stands at x."""
    turned: Annotated[float, Field(ge=-180, le=180)] = 0
    """Anticlockwise about the anchor. [degrees]"""
    bold: bool = False
    stacked: bool = False
    """Draw a trailing fraction with a horizontal bar, as drawn dimensions are."""
    lane: str = ""
    """The reserved strip this label belongs to; labels of one lane never overlap."""


class Drawing(Record):
    """A finished figure for one place on a sheet."""

    name: str
    """Key within the pack, e.g. ``elevation-A1-A2``."""
    title: str
    """Line printed over it."""
    said: str
    """What it shows, in a sentence, for readers who cannot see it."""
    width: Points
    """Width it needs. [pt]"""
    height: Points
    """Height it needs. [pt]"""
    scale: str = ""
    """How it is scaled in words, e.g. ``1 in = 2 ft``; empty when not to scale."""
    bar: Points = 0
    """Length of the check bar drawn to this scale; 0 for none. [pt]"""
    bar_says: str = ""
    """What the check bar stands for, e.g. ``24 in``."""
    strokes: tuple[Stroke, ...] = ()
    labels: tuple[Label, ...] = ()
