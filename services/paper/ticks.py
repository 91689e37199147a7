"""Lists to work through with a pencil, in gloves; hold points stand out of them.

A box is at least 6 mm, a row at least 9 mm. A hold point has a heavy frame, the word
HOLD on black, and room for initials and time: nobody goes past it unsigned.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from schemas.pages import Tick, Ticks
from services.paper.flow import Piece, barred
from services.paper.frame import MM, Frame
from services.paper.ink import WEIGHTS, Ink
from services.paper.letters import clean
from services.paper.type import ASCENT, BOLD, CUT, REGULAR, Face, Fitted, fit, width

BOX = 6.5 * MM
"""Side of a box to tick. [pt]"""
PITCH = 9.5 * MM
"""The least from one row to the next. [pt]"""
_TEXT, _UNDER = 13.0, 10.5
_GAP = 9.0
_PAD = 6.0
_FLAG = 54.0
"""Width of the black panel of a hold point. [pt]"""
_SIGN = 118.0
"""Width of the place for initials and time. [pt]"""
_SIGN_HIGH = 58.0
_STRIP = 24.0
"""Height of the place for them under a long text. [pt]"""
_MOST_TEXT, _MOST_UNDER, _MOST_LINES = 26, 8, 34

Sign = tuple[str, str, str]
"""Words of a hold point, as `schemas.pages.Ticks` has them."""
Line = tuple[str, float, float, Face]
"""A line's text, type size, drop to the next, face."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Columns:
    """Where the parts of a row stand, in points."""

    box: float
    mark: float
    mark_room: float
    text: float
    room: float


def set_ticks(block: Ticks, frame: Frame) -> list[Piece]:
    """Each tick a piece; the marks of a list share one column."""
    marks = [width(clean(t.mark), _TEXT, BOLD) for t in block.ticks if not t.hold]
    mark_room = min(max(marks, default=0), frame.width * 0.2)
    if block.abreast == 2:
        return _two_abreast(block.ticks, frame, mark_room)
    return [_one(tick, frame, mark_room, block.sign) for tick in block.ticks]


def _one(tick: Tick, frame: Frame, mark_room: float, sign: Sign) -> Piece:
    piece = _hold(tick, frame, sign) if tick.hold else _tick(tick, frame, mark_room)
    return barred(piece, frame) if tick.changed else piece


def _two_abreast(ticks: Sequence[Tick], frame: Frame, mark_room: float) -> list[Piece]:
    """Short ticks in two columns, read down the first and then down the second."""
    middle = (frame.left + frame.right) / 2
    left = replace(frame, right=middle - _GAP / 2)
    right = replace(frame, left=middle + _GAP / 2)
    deep = -(-len(ticks) // 2)
    rows = []
    for i in range(deep):
        pair = ticks[i::deep]
        halves = zip(pair, (left, right), strict=False)
        piece = _side_by_side([_tick(tick, half, mark_room) for tick, half in halves])
        rows.append(barred(piece, frame) if any(tick.changed for tick in pair) else piece)
    return rows


def _side_by_side(pieces: Sequence[Piece]) -> Piece:
    def paint(ink: Ink, top: float) -> None:
        for piece in pieces:
            piece.paint(ink, top)

    return Piece(height=max(piece.height for piece in pieces), paint=paint)


def _tick(tick: Tick, frame: Frame, mark_room: float) -> Piece:
    mark = frame.left + BOX + _GAP
    text = mark + (mark_room + _GAP if mark_room else 0)
    at = _Columns(
        box=frame.left, mark=mark, mark_room=mark_room, text=text, room=frame.right - text
    )
    lines = _lines(tick, at.room, REGULAR)
    height = max(PITCH, _height(lines) + 6)

    def paint(ink: Ink, top: float) -> None:
        ink.rule(frame.left, top - height, frame.right, top - height, weight=WEIGHTS["narrow"])
        _paint(ink, top - 3, tick, at, lines)

    return Piece(height=height, paint=paint)


def _hold(tick: Tick, frame: Frame, sign: Sign) -> Piece:
    box = frame.left + _FLAG + _GAP
    text = box + BOX + _GAP
    beside = _lines(tick, frame.right - _SIGN - _GAP - text, BOLD)
    over = _lines(tick, frame.right - _GAP - text, BOLD)
    under = _height(over) + _STRIP < _height(beside)
    lines = over if under else beside
    height = max(_SIGN_HIGH, _height(lines) + 2 * _PAD + (_STRIP if under else 0))
    at = _Columns(box=box, mark=0, mark_room=0, text=text, room=0)
    over_name = fit(clean(sign[0]), BOLD, size=16, floor=9, most=1, room=_FLAG - 8)
    flag = fit(clean(tick.mark), BOLD, size=20, floor=9, most=2, room=_FLAG - 8)

    def paint(ink: Ink, top: float) -> None:
        foot = top - height
        ink.rect(frame.left, foot, _FLAG, height, fill="black")
        ink.rect(frame.left, foot, frame.width, height, weight=2.5)
        _white(ink, top - 6, frame.left + _FLAG / 2, over_name)
        _white(ink, top - 28, frame.left + _FLAG / 2, flag)
        _paint(ink, top - _PAD, tick.model_copy(update={"mark": ""}), at, lines)
        if under:
            _sign_along(ink, frame, foot, sign)
        else:
            _sign(ink, frame.right - _SIGN, top, sign)

    return Piece(height=height + 6, paint=paint, gap=6)


def _lines(tick: Tick, room: float, face: Face) -> list[Line]:
    text = fit(clean(tick.text), face, size=_TEXT, floor=11, most=_MOST_TEXT, room=room)
    lines = [(line, text.size, text.leading, face) for line in text.lines]
    for under in tick.under:
        small = fit(clean(under), REGULAR, size=_UNDER, floor=9, most=_MOST_UNDER, room=room)
        lines += [(line, small.size, small.leading, REGULAR) for line in small.lines]
    if len(lines) > _MOST_LINES:
        lines[_MOST_LINES - 1 :] = [(CUT, _UNDER, _UNDER, REGULAR)]
    return lines


def _height(lines: list[Line]) -> float:
    return sum(drop for _, _, drop, _ in lines)


def _paint(ink: Ink, top: float, tick: Tick, at: _Columns, lines: list[Line]) -> None:
    ink.rect(at.box, top - BOX, BOX, BOX, weight=1.4)
    drop = max(0.0, (BOX - lines[0][2]) / 2)
    base = top - drop - ASCENT * _TEXT
    if tick.mark:
        mark = fit(clean(tick.mark), BOLD, size=_TEXT, floor=9, most=1, room=at.mark_room + 1)
        ink.text(at.mark, base, mark.lines[0], size=mark.size, face=BOLD)
    y = top - drop
    for text, size, leading, face in lines:
        ink.text(at.text, y - ASCENT * size, text, size=size, face=face)
        y -= leading


def _white(ink: Ink, top: float, middle: float, fitted: Fitted) -> None:
    """Lines in white about a middle."""
    for line in fitted.lines:
        x = middle - width(line, fitted.size, BOLD) / 2
        ink.text(x, top - ASCENT * fitted.size, line, size=fitted.size, face=BOLD, white=True)
        top -= fitted.leading


def _sign(ink: Ink, left: float, top: float, sign: Sign) -> None:
    """The two lines a hold point is signed on."""
    ink.rule(left, top, left, top - _SIGN_HIGH, weight=WEIGHTS["narrow"])
    for i, word in enumerate(sign[1:]):
        y = top - 26 - i * 26
        ink.rule(left + 42, y, left + _SIGN - 8, y, weight=WEIGHTS["wide"])
        ink.text(left + 5, y + 1, word, size=9, face=REGULAR)


def _sign_along(ink: Ink, frame: Frame, foot: float, sign: Sign) -> None:
    """The same two lines side by side at the foot of a hold point."""
    y = foot + 7
    for i, word in enumerate(sign[1:]):
        right = frame.right - _GAP - (1 - i) * _SIGN
        ink.rule(right - _SIGN + 50, y, right - 8, y, weight=WEIGHTS["wide"])
        ink.text(right - _SIGN + 13, y + 1, word, size=9, face=REGULAR)
