"""Labels of a drawing: anchored, turned, with stacked fractions where a tape is read.

A stacked fraction has a horizontal bar at the middle of the whole number's height and
figures four fifths as tall; programs that search or read aloud get it as ``3 13/16``.
A label that would leave the printable frame is made smaller, then cut; a measure is
never cut: it is refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from math import cos, hypot, radians, sin

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
_FLOOR = 9.0
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
    x, y = left + label.x, bottom + label.y
    found = _FRACTION.fullmatch(text) if label.stacked else None
    if found:
        stack = _stack(found, size, face)
        _paint_stack(ink, stack, label, text, x, y, face, frame)
        return
    wide = width(text, size, face)
    if not _inside(frame, x, y, wide, size, label):
        text, size, wide = _shrunk(label, text, face, x, y, frame)
    shift = _shift(label, wide)
    if label.turned:
        x += shift * cos(radians(label.turned))
        y += shift * sin(radians(label.turned))
    else:
        x += shift
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
        low = _LOWER if fraction else -DESCENT
        high = _UPPER + SMALL * CAP if fraction else CAP
        found.append((label, _corners(label.x, label.y, wide, low * size, high * size, label)))
    return found


def _shift(label: Label, wide: float) -> float:
    if label.anchor == "start":
        return 0
    return -wide if label.anchor == "end" else -wide / 2


def _corners(
    x: float, y: float, wide: float, low: float, high: float, label: Label
) -> tuple[tuple[float, float], ...]:
    start = _shift(label, wide)
    c, s = cos(radians(label.turned)), sin(radians(label.turned))
    flat = ((start, low), (start + wide, low), (start + wide, high), (start, high))
    return tuple((x + a * c - b * s, y + a * s + b * c) for a, b in flat)


def _inside(frame: Frame, x: float, y: float, wide: float, size: float, label: Label) -> bool:
    """Whether a label stays in the frame."""
    if not label.turned:
        start = x + _shift(label, wide)
        return (
            frame.left <= start
            and start + wide <= frame.right
            and frame.bottom <= y - DESCENT * size
            and y + CAP * size <= frame.top
        )
    corners = _corners(x, y, wide, -DESCENT * size, CAP * size, label)
    return _holds(frame, corners)


def _holds(frame: Frame, corners: Iterable[tuple[float, float]]) -> bool:
    return all(
        frame.left <= x <= frame.right and frame.bottom <= y <= frame.top for x, y in corners
    )


def _shrunk(
    label: Label, text: str, face: Face, x: float, y: float, frame: Frame
) -> tuple[str, float, float]:
    """A text made to fit between its anchor and the frame: smaller, then cut."""
    floor = min(_FLOOR, label.size)
    size = label.size
    while size > floor:
        size = max(floor, size - 0.5)
        wide = width(text, size, face)
        if _inside(frame, x, y, wide, size, label):
            return text, size, wide
    low, high = 0.0, hypot(frame.width, frame.height)
    for _ in range(12):
        room = (low + high) / 2
        low, high = (room, high) if _inside(frame, x, y, room, size, label) else (low, room)
    cut = fit(text, face, size=size, most=1, room=max(low, size))
    return cut.lines[0], size, width(cut.lines[0], size, face)


def _stack(found: re.Match[str], size: float, face: Face) -> _Stack:
    lead, num, den, tail = found["lead"], found["num"], found["den"], found["tail"]
    start = width(lead, size, face) + (_BEFORE * size if lead else 0)
    wide = max(width(num, SMALL * size, face), width(den, SMALL * size, face))
    bar_width = wide + 2 * _OVERHANG * size
    end = start + bar_width + width(tail, size, face)
    return _Stack(lead=lead, num=num, den=den, tail=tail, bar=start, bar_width=bar_width, end=end)


def _paint_stack(
    ink: Ink,
    stack: _Stack,
    label: Label,
    said: str,
    x: float,
    y: float,
    face: Face,
    frame: Frame,
) -> None:
    size, turned = label.size, label.turned
    low, high = _LOWER * size, (_UPPER + SMALL * CAP) * size
    corners = _corners(x, y, stack.end, low, high, label)
    if not _holds(frame, corners):
        msg = f"the measure {label.text!r} leaves its drawing's place; a measure is never cut"
        raise GeometryError(msg)
    c, s = cos(radians(turned)), sin(radians(turned))
    start = _shift(label, stack.end)

    def at(along: float, up: float) -> tuple[float, float]:
        along += start
        return x + along * c - up * s, y + along * s + up * c

    small = SMALL * size
    middle = stack.bar + stack.bar_width / 2
    pieces = (
        (stack.lead, 0.0, 0.0, size),
        (stack.num, middle - width(stack.num, small, face) / 2, _UPPER * size, small),
        (stack.den, middle - width(stack.den, small, face) / 2, _LOWER * size, small),
        (stack.tail, stack.bar + stack.bar_width, 0.0, size),
    )
    ink.say(said)
    for text, along, up, type_size in pieces:
        if text:
            ink.text(*at(along, up), text, size=type_size, face=face, turned=turned)
    ink.said()
    bar = at(stack.bar, _MIDDLE * size)
    end = at(stack.bar + stack.bar_width, _MIDDLE * size)
    ink.rule(*bar, *end, weight=round(_BAR * size, 2))
