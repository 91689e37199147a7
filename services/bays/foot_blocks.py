"""Foot blocks under a level bottom rail, and the drain holes beside them.

Each block stands under a baluster, so that the load goes straight down. Hollow rails
hold water where a block is screwed in: it drains at each side of the block.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from schemas.rail_system import BlockRule
from services.bays.running_marks import nearest_marks
from services.geometry.polyline import from_nearest


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardGaps:
    """Gaps between the deck boards under a rail, from the rail's left end. [1/320 mm]."""

    first: int
    """Centre of one of them."""
    apart: int
    """From one to the next. [> 0]"""
    block: int
    """Width of a foot block."""

    def meets(self, mark: int) -> bool:
        """Whether a block at that mark would stand over a gap."""
        return 2 * abs(from_nearest(mark, first=self.first, apart=self.apart)) < self.block


def block_count(*, rules: tuple[BlockRule, ...], clear: int) -> int:
    """How many blocks the system asks for; beyond its last rule, as many as that one."""
    return next((rule.count for rule in rules if clear <= rule.up_to), rules[-1].count)


def even_places(*, length: int, count: int) -> tuple[float, ...]:
    """Places that part a length evenly: the middle, the thirds, the quarters."""
    return tuple(length * (k + 1) / (count + 1) for k in range(count))


def level_blocks(
    *, cut: int, marks: Sequence[int], count: int, gaps: BoardGaps | None = None
) -> tuple[int, ...]:
    """Block centres from the rail's left end: near even parts, each under a baluster.

    Where the gaps between deck boards are known a block keeps off them, as long as it stays
    within a space of its even place.

    Args:
        cut: Bottom rail. [length]
        marks: Baluster hole centres from its left end.
        count: Blocks asked for.
        gaps: Between the boards below; none is unknown.

    Source:
        Common practice: each block under a baluster; one at mid-span, two near the thirds; on
        a board, not in a gap.
    """
    wanted = even_places(length=cut, count=count)
    nearest = nearest_marks(wanted=wanted, marks=marks)
    if gaps is None or not any(map(gaps.meets, nearest)):
        return nearest
    off = nearest_marks(wanted=wanted, marks=[mark for mark in marks if not gaps.meets(mark)])
    space = marks[1] - marks[0] if len(marks) > 1 else 0
    near = all(abs(mark - place) <= space for mark, place in zip(off, wanted, strict=False))
    return off if near and len(off) == len(nearest) else nearest


@dataclass(frozen=True, slots=True, kw_only=True)
class DrainRoom:
    """Where a drain hole's centre may not be."""

    cut: int
    marks: Sequence[int]
    """Baluster hole centres."""
    hole_width: int
    """Baluster hole, along the rail."""
    drain: int
    """Drain hole's diameter."""
    block_width: int
    from_block: int
    """Block's edge to the drain hole's centre."""
    bracket_left: int
    """Rail taken up by the left bracket."""
    bracket_right: int
    step: int


def drain_holes(*, blocks: Sequence[int], room: DrainRoom) -> tuple[int, ...]:
    """Drain centres, one at each side of each block, from the rail's left end.

    Where the ordinary distance meets a baluster hole, a bracket or another block, the hole
    moves away from its block mark by mark, by at most one space; if that finds no place it is
    left out, and the block has a hole at its other side only.
    """
    found: list[int] = []
    for block in blocks:
        for side in (-1, 1):
            place = _drain(block, side, blocks, room)
            if place is not None and place not in found:
                found.append(place)
    return tuple(sorted(found))


def _drain(block: int, side: int, blocks: Sequence[int], room: DrainRoom) -> int | None:
    nominal = room.block_width // 2 + room.from_block
    reach = nominal + (room.marks[1] - room.marks[0] if len(room.marks) > 1 else 0)
    for off in range(nominal, reach + 1, room.step):
        place = block + side * off
        if _is_free(place, blocks, room):
            return place
    return None


def _is_free(place: int, blocks: Sequence[int], room: DrainRoom) -> bool:
    radius = room.drain / 2
    return (
        room.bracket_left + radius <= place <= room.cut - room.bracket_right - radius
        and all(abs(place - mark) >= room.hole_width / 2 + radius for mark in room.marks)
        and all(abs(place - block) >= room.block_width / 2 + radius for block in blocks)
    )
