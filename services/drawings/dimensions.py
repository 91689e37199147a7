"""Running dimensions: one line from one zero, as a tape is hooked once and read along.

Source:
    ISO 129-1: running dimensioning starts from one origin marked with a small circle,
    one arrowhead at each feature, the value at the end of the extension line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from schemas.errors import GeometryError
from services.drawings.boxes import LINE, MIDDLE, STACKED_ASCENT, STACKED_DESCENT, text_width
from services.drawings.lanes import spread
from services.drawings.lines import READ, Anchor, Mark, Point, arrowhead, figure, line, path, ring

_PAST = 5.0
_BEND = 10.0
_CLEAR = 3.0
_BEFORE = 18.0


@dataclass(frozen=True, slots=True, kw_only=True)
class At:
    """A mark of a running dimension: where on paper, and what the tape reads there."""

    at: float
    """[pt]"""
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """A finished dimension, and how far it reaches from its line."""

    marks: tuple[Mark, ...]
    reach: float
    """From the dimension line to the far end of its values. [pt]"""
    slots: tuple[float, ...]
    """Where each value stands, along the line. [pt]"""


def along(
    stops: Sequence[At],
    *,
    y: float,
    away: int,
    lane: str,
    size: float = READ,
    rooms: Sequence[float] | None = None,
    feet: float = _CLEAR,
    from_zero: bool = True,
    upright: bool = False,
) -> Dimension:
    """A running dimension from left to right, its values turned to be read from the right.

    Args:
        stops: Ascending; the first is the zero, or where the part shown begins. [at least one]
        y: Height of the dimension line. [pt]
        away: +1 puts the values above the line, -1 below.
        lane: Name recorded with the labels.
        size: Type size. [pt]
        rooms: Width kept free for each value; none is its own pitch. [pt]
        feet: How far the extension lines reach to the other side of the line. [pt]
        from_zero: Whether the first stop is the zero itself.
        upright: Values stand upright, where the stops are far enough apart.

    Raises:
        GeometryError: No stop.
    """
    _need(stops)
    rooms = rooms or [size * LINE] * len(stops)
    slots = spread([s.at for s in stops], rooms=rooms)
    bend = _bend(stops, slots)
    start = y + away * (_PAST + bend + _CLEAR)
    marks: list[Mark] = [*_line_with_heads([(s.at, y) for s in stops], from_zero=from_zero)]
    for stop, slot in zip(stops, slots, strict=True):
        run = [(stop.at, y - away * feet), (stop.at, y + away * _PAST)]
        marks.append(path(_bent(run, (slot, y + away * (_PAST + bend)), bend)))
        marks.append(_value(stop.says, slot, start, size=size, away=away, lane=lane, up=upright))
    reach = _PAST + bend + _CLEAR + (size * LINE if upright else _longest(stops, size))
    return Dimension(marks=tuple(marks), reach=reach, slots=slots)


def _value(
    says: str, slot: float, start: float, *, size: float, away: int, lane: str, up: bool
) -> Mark:
    """A value at the end of its extension line."""
    if up:
        y = start + size * STACKED_DESCENT if away > 0 else start - size * STACKED_ASCENT
        return figure(slot, y, says, size=size, anchor="middle", lane=lane)
    anchor: Anchor = "start" if away > 0 else "end"
    return figure(slot + MIDDLE * size, start, says, size=size, turned=90, anchor=anchor, lane=lane)


def along_lanes(
    zero: At, stops: Sequence[At], *, y: float, away: int, lane: str, room: float
) -> Dimension:
    """A running dimension of many marks, every second or third on a line of its own.

    Args:
        zero: Where the tape is hooked.
        stops: Ascending.
        y: Height of the line nearest the object. [pt]
        away: +1 puts the lines above each other, -1 below.
        lane: Name recorded with the labels, each line's number added.
        room: Width that the values of one line may take. [pt]
    """
    count = max(1, ceil((len(stops) + 1) * LINE * READ / room))
    marks: list[Mark] = []
    reach = 0.0
    for i in range(count):
        line_y = y + away * reach
        run = along([zero, *stops[i::count]], y=line_y, away=away, lane=f"{lane}-{i}", feet=6)
        marks += run.marks
        reach += run.reach + _BEND
    return Dimension(marks=tuple(marks), reach=reach, slots=())


def up(
    stops: Sequence[At],
    *,
    x: float,
    away: int,
    lane: str,
    size: float = READ,
    feet: float = _CLEAR,
) -> Dimension:
    """A running dimension from the ground up, its values upright beside it.

    Args:
        stops: Ascending; the first is the zero. [at least one]
        x: Place of the dimension line. [pt]
        away: +1 puts the values to the right of the line, -1 to the left.
        lane: Name recorded with the labels.
        size: Type size. [pt]
        feet: How far the extension lines reach to the other side of the line. [pt]

    Raises:
        GeometryError: No stop.
    """
    _need(stops)
    slots = spread([s.at for s in stops], rooms=[size * LINE] * len(stops))
    bend = _bend(stops, slots)
    start = x + away * (_PAST + bend + _CLEAR)
    marks: list[Mark] = [*_line_with_heads([(x, s.at) for s in stops], from_zero=True)]
    for stop, slot in zip(stops, slots, strict=True):
        run = [(x - away * feet, stop.at), (x + away * _PAST, stop.at)]
        marks.append(path(_bent(run, (x + away * (_PAST + bend), slot), bend)))
        marks.append(
            figure(
                start,
                slot - MIDDLE * size,
                stop.says,
                size=size,
                anchor="start" if away > 0 else "end",
                lane=lane,
            )
        )
    return Dimension(
        marks=tuple(marks), reach=_PAST + bend + _CLEAR + _longest(stops, size), slots=slots
    )


def between(
    start: float, end: float, says: str, *, y: float, lane: str, size: float = READ
) -> tuple[Mark, ...]:
    """A single dimension with a head at both ends and its value above the line."""
    return (
        *(line((x, y - _CLEAR), (x, y + _CLEAR)) for x in (start, end)),
        line((start, y), (end, y)),
        arrowhead((start, y), coming_from=(end, y)),
        arrowhead((end, y), coming_from=(start, y)),
        figure((start + end) / 2, y + between_text_rise(size), says, size=size, anchor="middle",
               lane=lane),
    )  # fmt: skip


def between_text_rise(size: float) -> float:
    """From a single dimension's line up to the baseline of its value. [pt]."""
    return 0.5 * size + _CLEAR


def between_height(size: float) -> float:
    """Room that a single dimension takes over its line. [pt]."""
    return LINE * size + 2 * _CLEAR


def _line_with_heads(places: Sequence[Point], *, from_zero: bool) -> tuple[Mark, ...]:
    first, *stops = places
    heads = tuple(arrowhead(place, coming_from=first) for place in stops if place != first)
    lines = (line(first, stops[-1]),) if stops and stops[-1] != first else ()
    if from_zero:
        return (*lines, ring(first, 2.5, fill="white"), *heads)
    before = (first[0] - _BEFORE, first[1])
    return (*lines, line(before, first, dashed=True), arrowhead(first, coming_from=before), *heads)


def _bend(stops: Sequence[At], slots: Sequence[float]) -> float:
    moved = max(abs(s.at - slot) for s, slot in zip(stops, slots, strict=True))
    return _BEND if moved > 0.01 else 0.0


def _bent(run: list[Point], end: Point, bend: float) -> list[Point]:
    return [*run, end] if bend else run


def _longest(stops: Sequence[At], size: float) -> float:
    return max(text_width(stop.says, size=size, bold=True, stacked=True) for stop in stops)


def _need(stops: Sequence[At]) -> None:
    if not stops:
        msg = "a running dimension has a zero at least"
        raise GeometryError(msg)
