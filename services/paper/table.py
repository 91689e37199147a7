"""Tables: heads on every page, rows that are never cut by a page's end.

A row is as tall as its fullest cell. A cell that would make its row taller than a
page is cut, with the mark. Fractions stand flat, and in a column set right the whole
numbers stand under each other with their fractions to the right of them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from schemas.errors import GeometryError
from schemas.pages import Row, Table
from services.paper.flow import Piece
from services.paper.frame import MM, Frame
from services.paper.ink import WEIGHTS, Ink
from services.paper.letters import clean
from services.paper.type import ASCENT, BOLD, LEADING, REGULAR, Face, Fitted, fit, width

_SIZES = {"small": (9.0, 9.0), "normal": (10.5, 9.0), "large": (13.0, 10.5)}
"""Type size and its floor. [pt]"""
_SIDE, _OVER = 4.0, 3.0
"""Clear room at the sides of a cell, over and under it. [pt]"""
_BOX_ROW = 9 * MM
"""The least height of a row with a box to write in. [pt]"""
_MOST_HEAD = 4
_BAR = 3.0
"""Width of the bar beside a changed row. [pt]"""
_NUMBER = re.compile(r"(.*?\d)((?: \d+/\d+)?\D*)")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Slot:
    """Where a column's cells go, in points."""

    left: float
    room: float
    align: str
    box: bool
    bold: bool
    tail: float = 0
    """Room kept at the right for fractions, so that whole numbers line up."""


Placed = tuple[float, float, str, float, Face]
"""A line of a cell: from the left, down from the row's top, text, type size, face."""


def set_table(table: Table, frame: Frame) -> list[Piece]:
    """Set a table's head, group lines and rows.

    Raises:
        GeometryError: A row with more or fewer cells than there are heads, or a
            column too narrow for a letter.
    """
    size, floor = _SIZES[table.size]
    slots = _slots(table, frame, size)
    head = _head(table, slots, frame, size)
    pieces: list[Piece] = [head]
    group = ""
    for row in table.rows:
        if len(row.cells) != len(slots):
            msg = f"a row of {len(row.cells)} cells under {len(slots)} heads: {row.cells[:1]}"
            raise GeometryError(msg)
        again: tuple[Piece, ...] = (head,)
        if row.group:
            line = _group(clean(row.group), frame, size)
            if row.group != group:
                pieces.append(line)
            again = (head, line)
        group = row.group
        left = frame.height - sum(p.height for p in again) - 2 * _OVER
        pieces.append(_row(row, slots, frame, size, floor, int(left / (size * LEADING)), again))
    return pieces


def _slots(table: Table, frame: Frame, size: float) -> list[_Slot]:
    shares = sum(column.share for column in table.columns)
    slots = []
    left = frame.left
    for i, column in enumerate(table.columns):
        wide = frame.width * column.share / shares
        tail = 0.0
        if column.align == "right":
            tail = max((_tail(row, i, size) for row in table.rows), default=0)
        slots.append(
            _Slot(
                left=left + _SIDE,
                room=wide - 2 * _SIDE,
                align=column.align,
                box=column.box,
                bold=column.bold,
                tail=tail,
            )
        )
        left += wide
    return slots


def _tail(row: Row, i: int, size: float) -> float:
    """Width of what follows the whole number in a row's cell, if that is a fraction."""
    if i >= len(row.cells) or "/" not in row.cells[i]:
        return 0
    found = _NUMBER.fullmatch(clean(row.cells[i]))
    return width(found[2], size, BOLD if row.strong else REGULAR) if found else 0


def _head(table: Table, slots: list[_Slot], frame: Frame, size: float) -> Piece:
    cells = [
        fit(clean(column.head), BOLD, size=size, floor=9, most=_MOST_HEAD, room=slot.room)
        for column, slot in zip(table.columns, slots, strict=True)
    ]
    height = max(cell.height for cell in cells) + 2 * _OVER
    placed = [
        line
        for slot, cell in zip(slots, cells, strict=True)
        for line in _placed(slot, cell, BOLD, drop=height - 2 * _OVER - cell.height)
    ]

    def paint(ink: Ink, top: float) -> None:
        ink.rect(frame.left, top - height, frame.width, height, fill="light")
        ink.rule(frame.left, top, frame.right, top, weight=WEIGHTS["wide"])
        ink.rule(frame.left, top - height, frame.right, top - height, weight=WEIGHTS["wide"])
        _paint(ink, top, placed)

    return Piece(height=height, paint=paint, gap=9, keep=True)


def _group(text: str, frame: Frame, size: float) -> Piece:
    fitted = fit(text, BOLD, size=size + 1, floor=10, most=3, room=frame.width - 2 * _SIDE)
    slot = _Slot(left=frame.left + _SIDE, room=frame.width, align="left", box=False, bold=True)
    height = fitted.height + 2 * _OVER + 3
    placed = _placed(slot, fitted, BOLD, drop=3)

    def paint(ink: Ink, top: float) -> None:
        ink.rule(frame.left, top, frame.right, top, weight=WEIGHTS["heavy"])
        _paint(ink, top, placed)

    return Piece(height=height, paint=paint, keep=True)


def _row(
    row: Row,
    slots: list[_Slot],
    frame: Frame,
    size: float,
    floor: float,
    most: int,
    again: tuple[Piece, ...],
) -> Piece:
    placed: list[Placed] = []
    tallest = size * LEADING
    boxes = []
    for slot, raw in zip(slots, row.cells, strict=True):
        if slot.box:
            boxes.append(slot)
            continue
        face = BOLD if row.strong or slot.bold else REGULAR
        cell = fit(clean(raw), face, size=size, floor=floor, most=most, room=slot.room)
        placed += _placed(slot, cell, face)
        tallest = max(tallest, cell.height)
    height = max(tallest + 2 * _OVER, _BOX_ROW if boxes else 0)
    drop = (height - tallest) / 2 - _OVER
    weight = WEIGHTS["heavy" if row.strong else "narrow"]

    def paint(ink: Ink, top: float) -> None:
        if row.strong:
            ink.rule(frame.left, top, frame.right, top, weight=weight)
        ink.rule(frame.left, top - height, frame.right, top - height, weight=weight)
        if row.changed:
            ink.rect(frame.left - 2 * _BAR, top - height, _BAR, height, fill="black")
        for slot in boxes:
            ink.rect(slot.left, top - height + 3, slot.room, height - 6, weight=WEIGHTS["wide"])
        _paint(ink, top - drop, placed)

    return Piece(height=height, paint=paint, again=again)


def _placed(slot: _Slot, cell: Fitted, face: Face, *, drop: float = 0) -> list[Placed]:
    """The lines of a cell where its column wants them."""
    size = cell.size
    lines: list[Placed] = []
    down = _OVER + ASCENT * size + drop
    for line in cell.lines:
        lines.append((_start(slot, line, cell, face), down, line, size, face))
        down += cell.leading
    return lines


def _start(slot: _Slot, line: str, cell: Fitted, face: Face) -> float:
    if slot.align == "left":
        return slot.left
    wide = width(line, cell.size, face)
    if slot.align == "centre":
        return slot.left + (slot.room - wide) / 2
    if slot.tail and len(cell.lines) == 1 and (found := _NUMBER.fullmatch(line)):
        past = slot.tail - width(found[2], cell.size, face)
        if 0 <= past <= slot.room - wide:
            return slot.left + slot.room - wide - past
    return slot.left + slot.room - wide


def _paint(ink: Ink, top: float, placed: list[Placed]) -> None:
    for x, down, text, size, face in placed:
        ink.text(x, top - down, text, size=size, face=face)
