"""Tables: heads on every page, rows that are never cut by a page's end.

A row is as tall as its fullest cell. A cell that would make its row taller than a
page is cut, with the mark. Fractions stand flat, and in a column set right the whole
numbers stand under each other with their fractions to the right of them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from schemas.errors import GeometryError
from schemas.pages import Column, Row, Table
from services.paper.flow import Piece, barred
from services.paper.frame import MM, Frame
from services.paper.ink import WEIGHTS, Ink
from services.paper.letters import clean
from services.paper.type import ASCENT, BOLD, LEADING, REGULAR, Face, Fitted, fit, width

_BOX_ROW = 9 * MM
"""The least height of a row with a box to write in. [pt]"""
_BOX_CLEAR = 3.0
"""Between such a box and the rules of its row. [pt]"""
_MOST_HEAD, _MOST_GROUP = 4, 3
_NUMBER = re.compile(r"(.*?\d)((?: \d+/\d+)?\D*)")
_FRACTION = re.compile(r"\d+/\d+\D*")
"""A fraction alone stands where those of mixed numbers stand."""

_APART = 2.5
"""Least clear room over and under a cell of several lines: they stand off the rules. [pt]"""
_LOWERED = 0.075
"""How far a row of one line stands lower in its row, of its size: no figure has a tail, so the
middle of the line of type lies over the middle of what is read."""
_SHORT, _SHORT_OVER = 8, 1.5
"""A dense table of no more rows than this has such room, for it costs no page. [pt]"""
Placed = tuple[float, float, str, float, Face]
"""A line of text: place from the left, drop from the top, words, type size, face."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Type:
    """A table's type, in points."""

    size: float
    floor: float
    over: float
    """Clear room over and under a cell."""
    side: float = 4
    """Clear room at the sides of a cell."""


_TYPES = {
    "small": _Type(size=9, floor=9, over=1),
    "dense": _Type(size=10, floor=9, over=0.2, side=3),
    "normal": _Type(size=10.5, floor=9, over=2),
    "large": _Type(size=13, floor=10.5, over=4),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Slot:
    """Where a column's cells go, in points."""

    column: Column
    left: float
    room: float
    tail: float = 0
    """Room kept at the right for fractions, so that whole numbers line up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grid:
    """What all rows of a table share."""

    frame: Frame
    type: _Type
    slots: tuple[_Slot, ...]


def set_table(table: Table, frame: Frame) -> list[Piece]:
    """Set a table's head, group lines and rows.

    Raises:
        GeometryError: A row with more or fewer cells than there are heads, or a
            column too narrow for a letter.
    """
    grid = _grid(table, frame)
    head = _head(table, grid)
    pieces: list[Piece] = [head]
    again: tuple[Piece, ...] = (head,)
    most = _most_lines(grid, again)
    group = ""
    for row in table.rows:
        if row.group != group:
            group = row.group
            again = (head, _group(group, grid)) if group else (head,)
            pieces += again[1:]
            most = _most_lines(grid, again)
        pieces.append(_row(row, grid, again, most))
    return pieces


def _grid(table: Table, frame: Frame) -> _Grid:
    """The columns by their shares of the width."""
    for row in table.rows:
        if len(row.cells) != len(table.columns):
            count, heads = len(row.cells), len(table.columns)
            msg = f"a row of {count} cells under {heads} heads: {row.cells[:1]}"
            raise GeometryError(msg)
    kind = _TYPES[table.size]
    if len(table.rows) <= _SHORT:
        kind = replace(kind, over=max(kind.over, _SHORT_OVER))
    unit = frame.width / sum(column.share for column in table.columns)
    slots = []
    left = frame.left
    for i, column in enumerate(table.columns):
        right = column.align == "right"
        tail = max((_tail(row, i, kind.size) for row in table.rows), default=0) if right else 0
        room = column.share * unit - 2 * kind.side
        slots.append(_Slot(column=column, left=left + kind.side, room=room, tail=tail))
        left += column.share * unit
    return _Grid(frame=frame, type=kind, slots=tuple(slots))


def _tail(row: Row, i: int, size: float) -> float:
    """Width of what follows the whole number in a row's cell, if that is a fraction."""
    if "/" not in row.cells[i]:
        return 0
    face = BOLD if row.strong else REGULAR
    return width(_part(clean(row.cells[i])) or "", size, face)


def _part(text: str) -> str | None:
    """What stands behind the whole number of a measure; none where the text is no measure."""
    if _FRACTION.fullmatch(text):
        return f" {text}"
    found = _NUMBER.fullmatch(text)
    return found[2] if found else None


def _head(table: Table, grid: _Grid) -> Piece:
    kind, frame = grid.type, grid.frame
    cells = [
        fit(clean(slot.column.head), BOLD, size=kind.size, floor=9, most=_MOST_HEAD, room=slot.room)
        for slot in grid.slots
    ]
    tallest = max(cell.height for cell in cells)
    height = tallest + 2 * kind.over
    placed = [
        line
        for slot, cell in zip(grid.slots, cells, strict=True)
        for line in _placed(slot, cell, BOLD, drop=kind.over + tallest - cell.height)
    ]

    def paint(ink: Ink, top: float) -> None:
        ink.rect(frame.left, top - height, frame.width, height, fill="light")
        ink.rule(frame.left, top, frame.right, top, weight=WEIGHTS["wide"])
        ink.rule(frame.left, top - height, frame.right, top - height, weight=WEIGHTS["wide"])
        _sets(ink, grid, top, height)
        _paint(ink, top, placed)

    return Piece(height=height, paint=paint, gap=9, keep=bool(table.rows))


def _group(group: str, grid: _Grid) -> Piece:
    """The line of text over rows that belong together."""
    kind, frame = grid.type, grid.frame
    room = frame.width - 2 * kind.side
    fitted = fit(clean(group), BOLD, size=kind.size + 1, floor=10, most=_MOST_GROUP, room=room)
    height = fitted.height + 2 * kind.over + 3
    slot = _Slot(column=Column(head=""), left=frame.left + kind.side, room=room)
    placed = _placed(slot, fitted, BOLD, drop=kind.over + 3)

    def paint(ink: Ink, top: float) -> None:
        ink.rule(frame.left, top, frame.right, top, weight=WEIGHTS["heavy"])
        _paint(ink, top, placed)

    return Piece(height=height, paint=paint, keep=True)


def _most_lines(grid: _Grid, again: tuple[Piece, ...]) -> int:
    """Lines of a cell that an empty page holds under the repeated head."""
    room = grid.frame.height - sum(piece.height for piece in again) - 2 * grid.type.over
    return int(room / (grid.type.size * LEADING))


def _row(row: Row, grid: _Grid, again: tuple[Piece, ...], most: int) -> Piece:
    kind, frame = grid.type, grid.frame
    cells: list[tuple[_Slot, Fitted, Face]] = []
    boxes = []
    tallest = kind.size * LEADING
    for slot, raw in zip(grid.slots, row.cells, strict=True):
        if slot.column.box:
            boxes.append(slot)
            continue
        if not raw:
            continue
        face = BOLD if row.strong or slot.column.bold else REGULAR
        cell = fit(clean(raw), face, size=kind.size, floor=kind.floor, most=most, room=slot.room)
        cells.append((slot, cell, face))
        tallest = max(tallest, cell.height)
    single = tallest == kind.size * LEADING
    over = kind.over if single else max(kind.over, _APART)
    height = max(tallest + 2 * over, _BOX_ROW if boxes else 0)
    drop = (height - tallest) / 2 + (_LOWERED * kind.size if single else 0)
    placed = [line for slot, cell, face in cells for line in _placed(slot, cell, face, drop=drop)]
    weight = WEIGHTS["heavy" if row.strong else "narrow"]

    def paint(ink: Ink, top: float) -> None:
        foot = top - height
        ink.rule(frame.left, foot, frame.right, foot, weight=weight)
        if row.strong:
            ink.rule(frame.left, top, frame.right, top, weight=weight)
        _sets(ink, grid, top, height)
        for slot in boxes:
            high = height - 2 * _BOX_CLEAR
            ink.rect(slot.left, foot + _BOX_CLEAR, slot.room, high, weight=WEIGHTS["wide"])
        _paint(ink, top, placed)

    piece = Piece(height=height, paint=paint, again=again)
    return barred(piece, frame) if row.changed else piece


def _sets(ink: Ink, grid: _Grid, top: float, height: float) -> None:
    """The rules between sets of columns."""
    for slot in grid.slots:
        if slot.column.rule:
            x = slot.left - grid.type.side
            ink.rule(x, top, x, top - height, weight=WEIGHTS["wide"])


def _placed(slot: _Slot, cell: Fitted, face: Face, *, drop: float) -> list[Placed]:
    """The lines of a cell where its column wants them."""
    size = cell.size
    down = drop + ASCENT * size
    return [
        (_start(slot, line, cell, face), down + i * size * LEADING, line, size, face)
        for i, line in enumerate(cell.lines)
    ]


def _start(slot: _Slot, line: str, cell: Fitted, face: Face) -> float:
    """Where a line begins."""
    align = slot.column.align
    if align == "left":
        return slot.left
    spare = slot.room - width(line, cell.size, face)
    if align == "centre":
        return slot.left + spare / 2
    if slot.tail and len(cell.lines) == 1 and (part := _part(line)) is not None:
        past = slot.tail - width(part, cell.size, face)
        return slot.left + (spare - past if 0 <= past <= spare else spare)
    return slot.left + spare


def _paint(ink: Ink, top: float, placed: list[Placed]) -> None:
    for x, down, text, size, face in placed:
        ink.text(x, top - down, text, size=size, face=face)
