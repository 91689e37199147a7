"""Lanes: reserved strips in which labels stand side by side and never meet.

A label that finds no room beside its neighbours goes to the next row of its lane;
values that must stay in one row are spread apart, and their lines bent to them.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from schemas.drawings import Label
from services.drawings.boxes import ASCENT, DESCENT, LINE, STACKED_DESCENT, box_of, text_width
from services.drawings.lines import READ, Anchor, figure, word

_BETWEEN = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Says:
    """A text that wants to stand at a place in a lane."""

    x: float
    text: str
    anchor: Anchor = "middle"
    size: float = READ
    measure: bool = True
    """Bold with stacked fraction; else plain words."""
    bold: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """Labels placed in rows, and the room they took."""

    labels: tuple[Label, ...]
    height: float
    """[pt]"""


def spread(at: Sequence[float], *, rooms: Sequence[float]) -> tuple[float, ...]:
    """Move places apart, in order, until each has its room; none further than it must.

    The sum of squared moves is the least possible.

    Args:
        at: Wanted centres, ascending. [pt]
        rooms: Room that each needs, centred on it. [pt, > 0]

    Source:
        Ayer et al. 1955, pooling of adjacent violators: least squares under an order.
    """
    before = [0.0]
    for left, right in itertools.pairwise(rooms):
        before.append(before[-1] + (left + right) / 2)
    pools: list[tuple[float, int]] = []
    for wanted, offset in zip(at, before, strict=False):
        total, count = wanted - offset, 1
        while pools and pools[-1][0] / pools[-1][1] > total / count:
            more, members = pools.pop()
            total, count = total + more, count + members
        pools.append((total, count))
    level = [total / count for total, count in pools for _ in range(count)]
    return tuple(place + offset for place, offset in zip(level, before, strict=False))


def rows(wanted: Sequence[Says], *, top: float, lane: str, down: bool = True) -> Lane:
    """Put texts into as few rows as keep them apart, the first row at the edge.

    Args:
        wanted: In order of importance: who comes first stands nearest the edge.
        top: Edge of the lane: its upper one when rows go down, else its lower one. [pt]
        lane: Name recorded with the labels.
        down: Whether further rows are added below; else above.
    """
    ends: list[list[tuple[float, float]]] = []
    labels: list[Label] = []
    pitch = max((s.size for s in wanted), default=READ) * LINE
    for says in wanted:
        left, right = _span(says)
        row = next((i for i, taken in enumerate(ends) if _fits(left, right, taken)), len(ends))
        if row == len(ends):
            ends.append([])
        ends[row].append((left, right))
        low = top - (row + 1) * pitch if down else top + row * pitch
        labels.append(_set(says, low + says.size * STACKED_DESCENT, lane))
    return Lane(labels=tuple(labels), height=len(ends) * pitch)


def _span(says: Says) -> tuple[float, float]:
    bold = says.bold or says.measure
    wide = text_width(says.text, size=says.size, bold=bold, stacked=says.measure)
    left = says.x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[says.anchor]
    return left, left + wide


def _fits(left: float, right: float, taken: Sequence[tuple[float, float]]) -> bool:
    return all(right + _BETWEEN <= a or b + _BETWEEN <= left for a, b in taken)


def _set(says: Says, y: float, lane: str) -> Label:
    if says.measure:
        return figure(says.x, y, says.text, size=says.size, anchor=says.anchor, lane=lane)
    return word(says.x, y, says.text, size=says.size, anchor=says.anchor, bold=says.bold, lane=lane)


def words_block(
    texts: Sequence[str], *, left: float, top: float, lane: str, size: float = READ
) -> Lane:
    """Lines of plain words, one under the other."""
    pitch = size * (ASCENT + DESCENT) * 1.15
    labels = tuple(
        word(left, top - ASCENT * size - i * pitch, text, size=size, lane=lane)
        for i, text in enumerate(texts)
    )
    return Lane(labels=labels, height=len(texts) * pitch)


def widest(labels: Sequence[Label]) -> float:
    """Width of the widest of some upright labels, or height of turned ones. [pt]."""
    boxes = [box_of(label) for label in labels]
    return max((max(b.right - b.left, b.top - b.bottom) for b in boxes), default=0.0)
