"""Single strokes and labels from which drawings are put together."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, hypot, pi, sin
from typing import Literal

from schemas.drawings import Fill, Label, Stroke, Weight

Mark = Stroke | Label
"""Anything drawn."""
Point = tuple[float, float]
"""A place on the sheet. [pt]"""
Anchor = Literal["start", "middle", "end"]

READ = 10.0
"""Least type size of anything read off a drawing. [pt]

Source:
    ISO 3098: capitals of 2.5 mm are the least for lettering of drawings on small sheets.
"""
ACT = 14.0
"""Type size of what is read standing, sheet on the sawhorse. [pt]"""
_HEAD = 7.0
_HEAD_HALF = 7.0 / 6


def line(start: Point, end: Point, *, weight: Weight = "narrow", dashed: bool = False) -> Stroke:
    """A straight line."""
    return Stroke(points=(start, end), weight=weight, dashed=dashed)


def path(points: Sequence[Point], *, weight: Weight = "narrow", dashed: bool = False) -> Stroke:
    """A run of straight lines."""
    return Stroke(points=tuple(points), weight=weight, dashed=dashed)


def shape(
    points: Sequence[Point], *, weight: Weight = "wide", fill: Fill = "none", dashed: bool = False
) -> Stroke:
    """A closed outline."""
    return Stroke(points=tuple(points), weight=weight, fill=fill, closed=True, dashed=dashed)


def rect(
    left: float,
    bottom: float,
    wide: float,
    high: float,
    *,
    weight: Weight = "wide",
    fill: Fill = "none",
    dashed: bool = False,
) -> Stroke:
    """An upright rectangle."""
    right, top = left + wide, bottom + high
    corners = ((left, bottom), (right, bottom), (right, top), (left, top))
    return shape(corners, weight=weight, fill=fill, dashed=dashed)


def ring(centre: Point, radius: float, *, weight: Weight = "narrow", fill: Fill = "none") -> Stroke:
    """A small circle, as a twelve-sided figure."""
    x, y = centre
    turns = (i * pi / 6 for i in range(12))
    return shape(
        [(x + radius * cos(t), y + radius * sin(t)) for t in turns], weight=weight, fill=fill
    )


def arrowhead(tip: Point, *, coming_from: Point) -> Stroke:
    """A filled arrowhead with its tip at a place, three times as long as wide.

    Source:
        ASME Y14.2: arrowhead length to width 3 : 1, one style in a drawing (secondary).
    """
    (x, y), (fx, fy) = tip, coming_from
    span = hypot(x - fx, y - fy) or 1.0
    ux, uy = (x - fx) / span, (y - fy) / span
    bx, by = x - ux * _HEAD, y - uy * _HEAD
    corners = (tip, (bx - uy * _HEAD_HALF, by + ux * _HEAD_HALF),
               (bx + uy * _HEAD_HALF, by - ux * _HEAD_HALF))  # fmt: skip
    return shape(corners, weight="narrow", fill="black")


def word(
    x: float,
    y: float,
    text: str,
    *,
    size: float = READ,
    anchor: Anchor = "start",
    bold: bool = False,
    turned: float = 0,
    lane: str = "",
) -> Label:
    """Plain text."""
    return Label(x=x, y=y, text=text, size=size, anchor=anchor, bold=bold, turned=turned, lane=lane)


def figure(
    x: float,
    y: float,
    text: str,
    *,
    size: float = READ,
    anchor: Anchor = "start",
    turned: float = 0,
    lane: str = "",
) -> Label:
    """A measure, bold, its fraction stacked."""
    return Label(
        x=x, y=y, text=text, size=size, anchor=anchor, bold=True, turned=turned, stacked=True,
        lane=lane,
    )  # fmt: skip
