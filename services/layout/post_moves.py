"""Moving posts: from equal bays to the nearest places where every bay can be built.

Order of what counts: every bay legal and no post where none may stand; fewest posts;
least cost of stock, where that is asked; equal look; no post on a joist.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from schemas.lengths import INCH, Length
from schemas.record import Cents
from services.layout.asks import BayWorks
from services.layout.chains import Links, nearest_chain
from services.layout.equal_bays import equal_marks, fewest_bays
from services.layout.stands import Face, Stand, post
from services.tape import down

FARTHEST = 12 * INCH
"""No post moves further from equal bays. Source: common practice."""
LOOKS_EQUAL = 3 * INCH
"""Bays whose posts moved no further still look equal. Source: common practice."""
SYMMETRY = INCH // 2
"""A symmetrical layout may move its posts so much further. Source: common practice."""
MORE_BAYS = 3
"""So many bays more than the fewest are tried."""


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
    shut: tuple[tuple[Length, Length, str], ...] = ()
    """Where no post centre may stand, ends excluded, and why. [1/320 mm from the zero]"""
    on_joist: Callable[[Length], bool] = lambda _: False
    """Whether a post centre would stand on a joist."""

    @property
    def clear(self) -> Length:
        """Between the outer faces. [1/320 mm]."""
        return self.right.left - self.left.right

    def fits(self, clear: Length, left: Face, right: Face) -> bool:
        """Whether a bay of this opening is legal, at both rail heights."""
        wider = left.wider_at_top + right.wider_at_top
        heights = {clear, clear + wider}
        return all(0 < size <= self.longest for size in heights) and all(
            self.works(clear=down(size, self.step), left=left.bracket, right=right.bracket)
            for size in heights
        )

    def is_shut(self, at: Length) -> bool:
        """Whether no post may stand there."""
        return any(start < at < end for start, end, _ in self.shut)


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
    saved: Cents = 0
    """What moving for the sake of stock saved against the nearest legal places."""
    dodged: bool = False
    """Moved beside a joist, not for a rule's sake."""


def place_posts(
    room: Room, *, cents: Callable[[tuple[Length, ...]], Cents] | None = None
) -> Placed | None:
    """Find the posts of a stretch; None where no legal places exist within the limits."""
    fewest = fewest_bays(clear=room.clear, longest=room.longest, sleeve=room.sleeve)
    for bays in range(fewest, fewest + MORE_BAYS + 1):
        placed = _with_bays(room, bays=bays, fewest=fewest)
        if placed is not None:
            return _for_less(room, placed, cents=cents) if cents and bays > 1 else placed
    return None


def _with_bays(room: Room, *, bays: int, fewest: int) -> Placed | None:
    if bays == 1:
        if not room.fits(room.clear, room.left.after, room.right.before):
            return None
        return Placed(centres=(), bays=1, moved=0, fewest=fewest)
    wished = wished_marks(room, bays=bays)
    plain = _settle(room, wished, shut=room.is_shut)
    if plain is None:
        return None
    best, dodged = plain, False
    if any(room.on_joist(mark * room.step) for mark in plain):
        beside = _settle(room, wished, shut=lambda at: room.is_shut(at) or room.on_joist(at))
        limit = max(_move(plain, wished), LOOKS_EQUAL // room.step)
        if beside and _move(beside, wished) <= limit:
            best, dodged = beside, _move(beside, wished) > _move(plain, wished)
    return Placed(
        centres=tuple(mark * room.step for mark in best),
        bays=bays,
        moved=_move(best, wished) * room.step,
        fewest=fewest,
        dodged=dodged,
    )


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


def _settle(
    room: Room, wished: tuple[int, ...], *, shut: Callable[[Length], bool]
) -> tuple[int, ...] | None:
    """The nearest legal marks; symmetrical ones where they are hardly further."""
    links = _links(room, shut=shut)
    farthest = FARTHEST // room.step
    nearest = nearest_chain(wished, links=links, farthest=farthest)
    if nearest is None or nearest == wished:
        return nearest
    limit = min(farthest, _move(nearest, wished) + SYMMETRY // room.step)
    return _mirrored(room, wished, links=links, farthest=limit) or nearest


def _links(room: Room, *, shut: Callable[[Length], bool]) -> Links:
    step = room.step
    line = post(0, where="line", sleeve=room.sleeve)
    return Links(
        may_stand=lambda mark: not shut(mark * step),
        first=lambda mark: room.fits(
            mark * step - line.before.reach - room.left.right, room.left.after, line.before
        ),
        between=lambda marks: room.fits(
            marks * step - line.before.reach - line.after.reach, line.after, line.before
        ),
        last=lambda mark: room.fits(
            room.right.left - mark * step - line.after.reach, line.after, room.right.before
        ),
    )


def _mirrored(
    room: Room, wished: tuple[int, ...], *, links: Links, farthest: int
) -> tuple[int, ...] | None:
    """The nearest chain which reads the same from both ends, to a tape mark.

    Half the posts are searched; the others stand at the same distance from the far end,
    and a middle post stands at mid-length.
    """
    both = (room.left.right + room.right.left) // room.step  # a mark and its mirror make this
    half = len(wished) // 2
    middle = (both // 2,) if len(wished) % 2 else ()
    if not half or any(not links.may_stand(mark) for mark in middle):
        return None

    def meets(mark: int) -> bool:
        inner = (mark, *middle, both - mark)
        return all(links.between(b - a) for a, b in pairwise(inner))

    chain = nearest_chain(
        wished[:half],
        links=Links(
            may_stand=lambda mark: links.may_stand(mark) and links.may_stand(both - mark),
            first=lambda mark: links.first(mark) and links.last(both - mark),
            between=links.between,
            last=meets,
        ),
        farthest=farthest,
    )
    if chain is None:
        return None
    whole = (*chain, *middle, *(both - mark for mark in reversed(chain)))
    return whole if _move(whole, wished) <= farthest else None


def _move(marks: tuple[int, ...], wished: tuple[int, ...]) -> int:
    return max((abs(a - b) for a, b in zip(marks, wished, strict=True)), default=0)


def _for_less(
    room: Room, placed: Placed, *, cents: Callable[[tuple[Length, ...]], Cents]
) -> Placed:
    """Try one long or short bay, and halves, at each inch of difference, for cheaper stock."""
    best, cost = placed, cents(_openings(room, placed.centres))
    whole = cost
    for centres in _unequal(room, bays=placed.bays):
        if not _is_legal(room, centres) or _joists(room, centres) > _joists(room, placed.centres):
            continue
        less = cents(_openings(room, centres))
        if less < cost:
            wished = wished_marks(room, bays=placed.bays)
            moved = _move(tuple(at // room.step for at in centres), wished) * room.step
            best = Placed(
                centres=centres,
                bays=placed.bays,
                moved=moved,
                fewest=placed.fewest,
                saved=whole - less,
            )
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
