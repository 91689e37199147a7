"""The room a label takes, and which labels of a drawing stand in each other's way.

Widths are reckoned high: no character of the faces used is wider than stated here, so
labels that do not overlap by this reckoning do not overlap in print.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import combinations
from math import cos, hypot, radians, sin

from schemas.drawings import Drawing, Label

ASCENT = 0.8
"""Of plain text over its baseline. [em]"""
DESCENT = 0.25
"""Of plain text under its baseline. [em]"""
STACKED_ASCENT = 1.1
"""Of a stacked fraction over the baseline. [em]"""
STACKED_DESCENT = 0.45
"""Of a stacked fraction under the baseline. [em]"""
MIDDLE = 0.36
"""Half the height of capitals and figures, plain or stacked. [em]"""
LINE = STACKED_ASCENT + STACKED_DESCENT
"""Pitch of neighbouring lines, stacked fractions among them. [em]"""
_DIGIT, _CAPITAL, _WIDEST, _NARROW, _OTHER = 0.64, 0.79, 1.02, 0.44, 0.67
_REGULAR = 0.92
_SMALL = 0.8
"""Figures of a stacked fraction, of the whole number's size."""
_BAR_ROOM = 0.4
"""Before the fraction and over the ends of its bar. [em]"""
_FRACTION = re.compile(r"(?P<over>\d+)/(?P<under>\d+)")
_NARROWS = frozenset(" .,:;-/|'()[]il!jt")
_WIDES = frozenset("mMwW%@=+<>#&^~½¼¾…\N{MULTIPLICATION SIGN}±\N{MINUS SIGN}→")


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """The rectangle round a label, turned with it."""

    corners: tuple[tuple[float, float], ...]
    """[pt]"""
    left: float = field(init=False)
    """[pt]"""
    right: float = field(init=False)
    """[pt]"""
    bottom: float = field(init=False)
    """[pt]"""
    top: float = field(init=False)
    """[pt]"""

    def __post_init__(self) -> None:
        """Reckon the bounds once: a crowded plan asks for them a million times."""
        xs, ys = zip(*self.corners, strict=True)
        for name, value in (("left", min(xs)), ("right", max(xs)), ("bottom", min(ys))):
            object.__setattr__(self, name, value)
        object.__setattr__(self, "top", max(ys))


def text_width(text: str, *, size: float, bold: bool = False, stacked: bool = False) -> float:
    """The most that a text can take. [pt].

    Args:
        text: One line.
        size: Type size. [pt, > 0]
        bold: Whether in the bold face.
        stacked: Whether its fraction stands with a horizontal bar.
    """
    face = 1 if bold else _REGULAR
    found = _FRACTION.search(text) if stacked else None
    if not found:
        return sum(map(_em, text)) * size * face
    rest = sum(map(_em, text[: found.start()] + text[found.end() :]))
    figures = max(len(found["over"]), len(found["under"])) * _DIGIT * _SMALL
    return (rest + figures + _BAR_ROOM) * size * face


def _em(char: str) -> float:
    if char.isdigit():
        return _DIGIT
    if char in _NARROWS:
        return _NARROW
    if char in _WIDES:
        return _WIDEST
    return _CAPITAL if char.isupper() or not char.isascii() else _OTHER


def box_of(label: Label) -> Box:
    """The room a label takes where it stands."""
    wide = text_width(label.text, size=label.size, bold=label.bold, stacked=label.stacked)
    start = -wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor]
    low = -label.size * (STACKED_DESCENT if label.stacked else DESCENT)
    high = label.size * (STACKED_ASCENT if label.stacked else ASCENT)
    c, s = cos(radians(label.turned)), sin(radians(label.turned))
    return Box(
        corners=tuple(
            (label.x + x * c - y * s, label.y + x * s + y * c)
            for x, y in ((start, low), (start + wide, low), (start + wide, high), (start, high))
        )
    )


def overlap(one: Box, other: Box, *, slack: float = 0.01) -> bool:
    """Whether two boxes share room; touching is none.

    Source:
        Separating axis theorem for convex polygons: they are apart exactly when the
        direction square to one of their edges shows them apart.
    """
    if (
        one.right <= other.left + slack
        or other.right <= one.left + slack
        or one.top <= other.bottom + slack
        or other.top <= one.bottom + slack
    ):
        return False
    edges = (*_edges(one), *_edges(other))
    return not any(_apart(one, other, edge, slack) for edge in edges)


def _edges(box: Box) -> tuple[tuple[float, float], ...]:
    (ax, ay), (bx, by), (cx, cy), _ = box.corners
    return ((bx - ax, by - ay), (cx - bx, cy - by))


def _apart(one: Box, other: Box, edge: tuple[float, float], slack: float) -> bool:
    ex, ey = edge
    span = hypot(ex, ey)
    mine = [(x * ex + y * ey) / span for x, y in one.corners]
    theirs = [(x * ex + y * ey) / span for x, y in other.corners]
    return max(mine) <= min(theirs) + slack or max(theirs) <= min(mine) + slack


def overlapping(drawing: Drawing) -> tuple[tuple[Label, Label], ...]:
    """Every pair of labels of a drawing that share room: there must be none."""
    boxes = [(label, box_of(label)) for label in drawing.labels]
    return tuple((a, b) for (a, box), (b, other) in combinations(boxes, 2) if overlap(box, other))


def outside(drawing: Drawing) -> tuple[Label, ...]:
    """Every label that leaves the drawing's own rectangle: there must be none."""
    return tuple(label for label in drawing.labels if not _within(box_of(label), drawing))


def _within(box: Box, drawing: Drawing) -> bool:
    slack = 0.01
    return (
        box.left >= -slack
        and box.bottom >= -slack
        and box.right <= drawing.width + slack
        and box.top <= drawing.height + slack
    )


def free(box: Box, taken: Iterable[Box]) -> bool:
    """Whether a box shares room with none of the others."""
    return not any(overlap(box, other) for other in taken)
