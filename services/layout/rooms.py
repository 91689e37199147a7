"""A stretch to be divided into bays, and posts placed in it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from schemas.lengths import INCH, Length
from services.layout.asks import BayWorks, Bill, Leans, Opening
from services.layout.equal_bays import equal_marks
from services.layout.stands import Face, Stand, post

FARTHEST = 12 * INCH
"""No post moves further from equal bays. Source: common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A stretch to be divided into bays."""

    left: Stand
    right: Stand
    sleeve: Length
    step: Length
    longest: Length
    """Greatest opening of a bay. [1/320 mm]"""
    works: BayWorks
    system_longest: Length = 0
    """What the system alone allows, where a deck's fall asks for less; 0: the same. [1/320 mm]"""
    has_room: BayWorks | None = None
    """Whether a bay bears posts set a little off; none: not asked."""
    shut: tuple[tuple[Length, Length, str], ...] = ()
    """Where no post centre may stand, ends excluded, and why. [1/320 mm from the zero]"""
    on_joist: Callable[[Length], bool] = lambda _: False
    """Whether a post centre would stand on a joist."""

    @property
    def clear(self) -> Length:
        """Between the outer faces. [1/320 mm]."""
        return self.right.left - self.left.right

    def fits(self, clear: Length, left: Face, right: Face) -> bool:
        """Whether a bay of this opening is legal, both rails under one hole pattern."""
        wider = (left.wider_at_top or 0) + (right.wider_at_top or 0)
        if not (0 < clear <= self.longest and 0 < clear + wider <= self.longest):
            return False
        opening = clear // self.step * self.step
        more = (clear + wider) // self.step * self.step - opening
        return self.works(
            clear=opening,
            left=left.bracket,
            right=right.bracket,
            top_more=more,
            leans=leaning(left, right, more=more),
            left_deg=left.mitre_deg,
            right_deg=right.mitre_deg,
        )

    def is_shut(self, at: Length) -> bool:
        """Whether no post may stand there."""
        return any(start < at < end for start, end, _ in self.shut)


def walled_in(room: Room, at: Length, *, within: Length) -> bool:
    """Whether no post may stand anywhere so near a place: keep-outs without a gap cover it all."""
    start = at - within
    for opens, closes, _ in sorted(room.shut):
        if opens < start < closes:
            start = closes
    return start > at + within


def opening_between(
    clear: Length, left: Face, right: Face, *, step: Length, wider: Length | None = None
) -> Opening:
    """A bay of that clear width between two faces, as later stages are asked about it.

    Args:
        clear: At bottom-rail height. [1/320 mm]
        left: Face at the left.
        right: At the right.
        step: Graduation. [1/320 mm]
        wider: How much wider it was read at top-rail height; none: by its walls. [1/320 mm]
    """
    at_bottom = clear // step * step
    if wider is None:
        wider = (left.wider_at_top or 0) + (right.wider_at_top or 0)
    more = (clear + wider) // step * step - at_bottom
    return Opening(
        clear=at_bottom,
        left=left.bracket,
        right=right.bracket,
        top_more=more,
        leans=leaning(left, right, more=more),
        left_deg=left.mitre_deg,
        right_deg=right.mitre_deg,
    )


def leaning(left: Face, right: Face, *, more: Length) -> Leans:
    """Where an opening gets wider at the top: walls as they were read, the rest at a post."""
    walls = (not left.reach, not right.reach)
    if walls[0] and left.wider_at_top is not None:
        return left.wider_at_top
    if walls[1] and right.wider_at_top is not None:
        return more - right.wider_at_top
    return "both" if walls[0] == walls[1] else "left" if walls[0] else "right"


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Posts of a stretch."""

    centres: tuple[Length, ...]
    """From the leg's zero. [1/320 mm]"""
    bays: int
    moved: Length
    """Greatest move away from equal bays. [1/320 mm]"""
    fewest: int
    """Bays that the longest opening alone would ask for."""
    stock: tuple[Bill, Bill] | None = None
    """What all level bays of the job take from stock at the nearest legal places, and here;
    none: stock did not move the posts."""
    dodged: bool = False
    """Moved beside a joist, not for a rule's sake."""
    eased: bool = False
    """Moved so that each bay bears posts set a little off."""


def wished_marks(room: Room, *, bays: int) -> tuple[int, ...]:
    """Where the posts of equal bays stand, in tape marks from the zero."""
    return equal_marks(
        left=room.left.right,
        right=room.right.left,
        bays=bays,
        sleeve=room.sleeve,
        step=room.step,
    )


def bays_of(room: Room, centres: tuple[Length, ...]) -> Iterator[tuple[Length, Face, Face]]:
    """Every bay that posts at these centres make: opening and the faces at its ends."""
    posts = (post(at, where="line", sleeve=room.sleeve) for at in centres)
    for a, b in pairwise((room.left, *posts, room.right)):
        yield b.left - a.right, a.after, b.before


def greatest_move(marks: tuple[int, ...], wished: tuple[int, ...]) -> int:
    """How far the mark stands that moved most. [marks]."""
    return max((abs(a - b) for a, b in zip(marks, wished, strict=True)), default=0)
