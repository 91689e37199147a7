"""Labels of a drawing: anchored, turned, with stacked fractions where a tape is read.

A stacked fraction has a horizontal bar at the middle of the whole number's height and
figures four fifths as tall; programs that search or read aloud get it as ``3 13/16``.
A label that would leave the printable frame is made smaller, then cut; a measure is
never cut: it is refused.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import cos, hypot, radians, sin
from typing import NamedTuple

from schemas.drawings import Drawing, Label
from schemas.errors import GeometryError
from services.paper.frame import Frame
from services.paper.ink import Ink
from services.paper.letters import clean
from services.paper.type import BOLD, REGULAR, Face, fit, width

SMALL = 0.8
"""Fraction figures, of the whole number's type size."""
CAP = 0.729
"""Height of figures and capitals over the baseline, of the type size."""
DESCENT = 0.24
_MIDDLE = CAP / 2
_CLEAR = 0.1
"""Between a fraction's figures and its bar, of the type size."""
_BEFORE = 0.22
"""Between the whole number and its fraction, so that 8 3/8 is never read 83/8."""
_OVERHANG = 0.04
"""The bar past the figures at each end."""
_BAR = 0.07
"""Thickness of the bar."""
_UPPER = _MIDDLE + _CLEAR
"""Baseline of the numerator."""
_LOWER = _MIDDLE - _CLEAR - SMALL * CAP
"""Baseline of the denominator."""
_TOP = _UPPER + SMALL * CAP
"""Top of the numerator."""
_FLOOR = 9.0
"""The least type of a label made smaller. [pt]"""
_FRACTION = re.compile(r"(?P<lead>.*?)\s*(?P<num>\d+)/(?P<den>\d+)(?P<tail>[^\d/]*)")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stack:
    """A text with a stacked fraction, measured from its start, in points."""

    lead: str
    num: str
    den: str
    tail: str
    bar: float
    """Where the bar starts."""
    bar_width: float
    end: float
    """Width of the whole."""


class _Spot(NamedTuple):
    """A label's anchor, and how its text lies about it."""

    x: float
    y: float
    turned: float
    share: float
    """How much of the text stands before the anchor: 0, a half or all."""

    def at(self, along: float, up: float) -> tuple[float, float]:
        """The point so far along the baseline from the anchor, and so far over it."""
        if not self.turned:
            return self.x + along, self.y + up
        c, s = cos(radians(self.turned)), sin(radians(self.turned))
        return self.x + along * c - up * s, self.y + along * s + up * c

    def corners(self, wide: float, low: float, high: float) -> tuple[tuple[float, float], ...]:
        """Round a text so wide, from so far under its baseline to so far over it."""
        start = -self.share * wide
        end = start + wide
        return self.at(start, low), self.at(end, low), self.at(end, high), self.at(start, high)


_SHARES = {"start": 0.0, "middle": 0.5, "end": 1.0}


def paint_label(ink: Ink, label: Label, *, left: float, bottom: float, frame: Frame) -> None:
    """Put a label in its place on the page.

    Args:
        ink: The page's.
        label: As the drawing has it.
        left: Where the drawing's left edge stands. [pt]
        bottom: Where its lower edge stands. [pt]
        frame: What the drawing's labels may take.

    Raises:
        GeometryError: A stacked measure that leaves the frame.
    """
    face = BOLD if label.bold else REGULAR
    text, size = clean(label.text), label.size
    spot = _spot(label, left, bottom)
    if label.stacked and (found := _FRACTION.fullmatch(text)):
        stack = _stack(found, size, face)
        if not _held(frame, spot, stack.end, _LOWER * size, _TOP * size):
            msg = f"the measure {text!r} leaves its drawing's place; a measure is never cut"
            raise GeometryError(msg)
        _paint_stack(ink, stack, spot, text=text, size=size, face=face)
        return
    wide = width(text, size, face)
    if not _held(frame, spot, wide, -DESCENT * size, CAP * size):
        text, size = _shrunk(spot, text, frame, size=size, face=face)
        wide = width(text, size, face)
    x, y = spot.at(-spot.share * wide, 0)
    ink.text(x, y, text, size=size, face=face, turned=label.turned)


def boxes(drawing: Drawing) -> list[tuple[Label, tuple[tuple[float, float], ...]]]:
    """The four corners of each label's ink, in the drawing's own points.

    For whoever checks that labels keep clear of each other: anticlockwise from the
    start of the baseline, turned as the label is.
    """
    found = []
    for label in drawing.labels:
        face = BOLD if label.bold else REGULAR
        text, size = clean(label.text), label.size
        fraction = _FRACTION.fullmatch(text) if label.stacked else None
        wide = _stack(fraction, size, face).end if fraction else width(text, size, face)
        low, high = (_LOWER, _TOP) if fraction else (-DESCENT, CAP)
        found.append((label, _spot(label, 0, 0).corners(wide, low * size, high * size)))
    return found


def _spot(label: Label, left: float, bottom: float) -> _Spot:
    return _Spot(left + label.x, bottom + label.y, label.turned, _SHARES[label.anchor])


def _held(frame: Frame, spot: _Spot, wide: float, low: float, high: float) -> bool:
    """Whether a text so wide, from so far under its baseline to so far over it, stays inside."""
    if not spot.turned:
        start = spot.x - spot.share * wide
        return (
            frame.left <= start
            and start + wide <= frame.right
            and frame.bottom <= spot.y + low
            and spot.y + high <= frame.top
        )
    return all(
        frame.left <= x <= frame.right and frame.bottom <= y <= frame.top
        for x, y in spot.corners(wide, low, high)
    )


def _shrunk(spot: _Spot, text: str, frame: Frame, *, size: float, face: Face) -> tuple[str, float]:
    """A text made to fit between its anchor and the frame: smaller, then cut."""

    def held(wide: float) -> bool:
        return _held(frame, spot, wide, -DESCENT * size, CAP * size)

    floor = min(_FLOOR, size)
    while size > floor:
        size = max(floor, size - 0.5)
        if held(width(text, size, face)):
            return text, size
    low, high = 0.0, hypot(frame.width, frame.height)
    for _ in range(12):  # the widest that is held, by halving
        room = (low + high) / 2
        low, high = (room, high) if held(room) else (low, room)
    return fit(text, face, size=size, most=1, room=max(low, size)).lines[0], size


def _stack(found: re.Match[str], size: float, face: Face) -> _Stack:
    lead, num, den, tail = found["lead"], found["num"], found["den"], found["tail"]
    start = width(lead, size, face) + (_BEFORE * size if lead else 0)
    wide = max(width(num, SMALL * size, face), width(den, SMALL * size, face))
    bar_width = wide + 2 * _OVERHANG * size
    end = start + bar_width + width(tail, size, face)
    return _Stack(lead=lead, num=num, den=den, tail=tail, bar=start, bar_width=bar_width, end=end)


def _paint_stack(
    ink: Ink, stack: _Stack, spot: _Spot, *, text: str, size: float, face: Face
) -> None:
    start = -spot.share * stack.end
    bar = start + stack.bar
    middle = bar + stack.bar_width / 2
    small = SMALL * size
    pieces = (
        (stack.lead, start, 0.0, size),
        (stack.num, middle - width(stack.num, small, face) / 2, _UPPER * size, small),
        (stack.den, middle - width(stack.den, small, face) / 2, _LOWER * size, small),
        (stack.tail, bar + stack.bar_width, 0.0, size),
    )
    ink.say(text)
    for piece, along, up, high in pieces:
        if piece:
            ink.text(*spot.at(along, up), piece, size=high, face=face, turned=spot.turned)
    ink.said()
    from_x, from_y = spot.at(bar, _MIDDLE * size)
    to_x, to_y = spot.at(bar + stack.bar_width, _MIDDLE * size)
    ink.rule(from_x, from_y, to_x, to_y, weight=round(_BAR * size, 2))
