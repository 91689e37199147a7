"""Bays that differ for the sake of cheaper stock, where the cost is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from schemas.lengths import INCH, Length
from schemas.record import Cents
from services.layout.rooms import FARTHEST, Placed, Room, bays_of, greatest_move, wished_marks
from services.tape import down


def for_less(room: Room, placed: Placed, *, cents: Callable[[tuple[Length, ...]], Cents]) -> Placed:
    """Try one long or short bay, and halves, at each inch of difference, for cheaper stock."""
    best, cost = placed, cents(_openings(room, placed.centres))
    whole = cost
    for centres in _unequal(room, bays=placed.bays):
        if not _is_legal(room, centres) or _joists(room, centres) > _joists(room, placed.centres):
            continue
        less = cents(_openings(room, centres))
        if less < cost:
            wished = wished_marks(room, bays=placed.bays)
            moved = greatest_move(tuple(at // room.step for at in centres), wished) * room.step
            best = replace(placed, centres=centres, moved=moved, saved=whole - less, dodged=False)
            cost = less
    return best


def _unequal(room: Room, *, bays: int) -> Iterator[tuple[Length, ...]]:
    """Layouts in two sizes of bay, the longer ones first, by growing difference."""
    line = room.clear - (bays - 1) * room.sleeve
    for inches in range(1, FARTHEST // INCH + 1):
        for longer in sorted({1, bays // 2, bays - 1}):
            short = (line - longer * inches * INCH) // bays
            at, centres = room.left.right, []
            for number in range(bays - 1):
                at += short + (inches * INCH if number < longer else 0)
                centres.append(down(at + room.sleeve // 2, room.step))
                at += room.sleeve
            yield tuple(centres)


def _is_legal(room: Room, centres: tuple[Length, ...]) -> bool:
    return not any(room.is_shut(at) for at in centres) and all(
        room.fits(clear, left, right) for clear, left, right in bays_of(room, centres)
    )


def _joists(room: Room, centres: tuple[Length, ...]) -> int:
    return sum(room.on_joist(at) for at in centres)


def _openings(room: Room, centres: tuple[Length, ...]) -> tuple[Length, ...]:
    return tuple(down(clear, room.step) for clear, _, _ in bays_of(room, centres))
