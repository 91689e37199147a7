"""Headings, prose, facts and lines to write on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from schemas.pages import Fact, Facts, Heading, Prose, WriteIn
from services.paper.flow import Piece, barred
from services.paper.frame import Frame
from services.paper.ink import WEIGHTS, Ink
from services.paper.letters import clean
from services.paper.type import ASCENT, BOLD, REGULAR, Face, Fitted, fit

WRITING_PITCH = 30.0
"""Line to line where a gloved hand is to write. [pt]"""
_TOGETHER = 4
"""So many lines to write on stand on one page."""
_ROLES = {
    "body": (REGULAR, 11.0, 7.0),
    "strong": (BOLD, 11.0, 7.0),
    "small": (REGULAR, 9.0, 6.0),
    "lead": (BOLD, 14.0, 9.0),
}
"""Face, type size and clear room over it. [pt]"""
_ANY = 1_000_000
"""As many lines as it takes."""
_FACT_GAP = 12.0
_LABEL_SIZE = 9.0


def set_heading(block: Heading, frame: Frame) -> list[Piece]:
    """A line in large type, kept with what follows."""
    fitted = fit(clean(block.text), BOLD, size=15, floor=12, most=3, room=frame.width)
    paint = partial(_paint_lines, x=frame.left, fitted=fitted, face=BOLD)
    return [Piece(height=fitted.height + 2, paint=paint, gap=14, keep=True)]


def set_prose(block: Prose, frame: Frame) -> list[Piece]:
    """A paragraph, a line a piece; no single line is left behind, and a lead is kept with more."""
    face, size, gap = _ROLES[block.role]
    fitted = fit(clean(block.text), face, size=size, most=_ANY, room=frame.width)
    last = len(fitted.lines) - 1
    pieces = [
        Piece(
            height=fitted.leading,
            paint=partial(
                _paint_lines,
                x=frame.left,
                fitted=Fitted(lines=(line,), size=fitted.size),
                face=face,
            ),
            gap=0 if i else gap,
            keep=block.role in {"lead", "strong"} if i == last else i in {0, last - 1},
        )
        for i, line in enumerate(fitted.lines)
    ]
    return [barred(piece, frame) for piece in pieces] if block.changed else pieces


def set_facts(block: Facts, frame: Frame) -> list[Piece]:
    """Labelled values in a grid, a row of the grid a piece."""
    room = (frame.width + _FACT_GAP) / block.columns - _FACT_GAP
    rows = [block.facts[i : i + block.columns] for i in range(0, len(block.facts), block.columns)]
    return [_fact_row(row, frame, room, gap=0 if i else 9) for i, row in enumerate(rows)]


def set_write_in(block: WriteIn, frame: Frame) -> list[Piece]:
    """Each label with a line for the pencil; a few of them are not parted."""
    lines = [_write_in(label, frame) for label in block.labels]
    if len(lines) > _TOGETHER:
        return lines
    return [*(replace(line, keep=True) for line in lines[:-1]), *lines[-1:]]


def _fact_row(facts: Sequence[Fact], frame: Frame, room: float, gap: float) -> Piece:
    cells = [
        (
            fit(clean(fact.label), REGULAR, size=_LABEL_SIZE, most=2, room=room),
            fit(clean(fact.value), BOLD, size=20, floor=13, most=3, room=room)
            if fact.big
            else fit(clean(fact.value), BOLD, size=12, floor=10, most=10, room=room),
        )
        for fact in facts
    ]
    labels = max(label.height for label, _ in cells)
    height = labels + max(value.height for _, value in cells) + 6

    def paint(ink: Ink, top: float) -> None:
        for i, (label, value) in enumerate(cells):
            x = frame.left + i * (room + _FACT_GAP)
            ink.rule(x, top, x + room, top, weight=WEIGHTS["narrow"])
            _paint_lines(ink, top - 2, x=x, fitted=label, face=REGULAR)
            _paint_lines(ink, top - 3 - labels, x=x, fitted=value, face=BOLD)

    piece = Piece(height=height, paint=paint, gap=gap)
    return barred(piece, frame) if any(fact.changed for fact in facts) else piece


def _write_in(label: str, frame: Frame) -> Piece:
    fitted = fit(clean(label), REGULAR, size=11, floor=10, most=3, room=frame.width * 0.6)
    height = max(WRITING_PITCH, fitted.height + 8)

    def paint(ink: Ink, top: float) -> None:
        foot = top - height + 5
        _paint_lines(ink, foot + fitted.height, x=frame.left, fitted=fitted, face=REGULAR)
        start = frame.left + fitted.widest(REGULAR) + 8
        ink.rule(start, foot, frame.right, foot, weight=WEIGHTS["wide"])

    return Piece(height=height, paint=paint)


def _paint_lines(ink: Ink, top: float, *, x: float, fitted: Fitted, face: Face) -> None:
    """A fitted text whose first line begins at this height."""
    for line in fitted.lines:
        ink.text(x, top - ASCENT * fitted.size, line, size=fitted.size, face=face)
        top -= fitted.leading
