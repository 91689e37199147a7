"""Bays that differ for the sake of cheaper stock, priced together with the job's other bays.

Order of what counts: every bay legal; fewest posts; least price of stock; equal look. So the
number of bays stays, no more posts come on joists, and no bay is narrower than its neighbour
by more than a quarter of the wider one; what looks unlike at that is noted with the bays.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial
from itertools import islice, pairwise

from schemas.lengths import INCH, Length
from services.layout.asks import Bill, Opening, StockAsk
from services.layout.post_moves import with_bays
from services.layout.rooms import (
    FARTHEST,
    Placed,
    Room,
    bays_of,
    greatest_move,
    opening_between,
    wished_marks,
)
from services.layout.stands import Face, post

UNLIKE = 4
"""Neighbouring bays may differ by one part in so many of the wider one. Source: common practice."""
NEAR = 6 * INCH
"""A bay is made at most so much narrower than stock without holes would ask for."""
SET_OFF = INCH // 8
"""Posts are set to so much, and no saving may hang on less. Source: common practice."""
STRIDE = INCH // 2
"""Sizes are first looked at so far apart."""
MOST_ON_ONE = 3
"""So many rails of one size are tried on one length of stock."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """What may be asked about stock."""

    bill: StockAsk
    lengths: tuple[Length, ...]
    """On sale. [1/320 mm]"""
    clearance: Length
    """At each end of a rail. [1/320 mm]"""
    kerf: Length

    def shares(self, others: Iterable[Opening]) -> tuple[Share, ...]:
        """What could come from one length of stock: alike ones, or one beside another bay's rail.

        So many alike: opening = (stock - (n - 1) * kerf) / n + 2 * clearance.
        Beside another: opening = stock - kerf - other rail + 2 * clearance.
        """
        alike = [
            Share(
                stock=length,
                most=(length - (count - 1) * self.kerf) // count + 2 * self.clearance,
                alike=count,
            )
            for count in range(1, MOST_ON_ONE + 1)
            for length in self.lengths
        ]
        beside = [
            Share(
                stock=length,
                most=length - self.kerf - other.clear + 4 * self.clearance,
                beside=other,
            )
            for other in dict.fromkeys(others)
            for length in self.lengths
        ]
        return (*alike, *beside)


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One way in which a bay's rails share a length of stock."""

    stock: Length
    most: Length
    """No wider opening does; holes may ask for a narrower one. [1/320 mm]"""
    alike: int = 1
    """So many of these bays."""
    beside: Opening | None = None
    """With this bay."""

    def comes(self, there: Opening, bill: StockAsk) -> bool:
        """Whether the opening's rails do come from that one length, with those beside it."""
        partners = (self.beside,) if self.beside else (there,) * (self.alike - 1)
        taken = bill((there, *partners), proven=False)
        return taken is not None and [count for _, count in taken.kits] == [1] and (
            taken.kits[0][0] <= self.stock
        )  # fmt: skip


def for_less(
    room: Room, placed: Placed, *, others: tuple[Opening, ...], stock: Stock, most: int
) -> tuple[Placed, list[Placed]]:
    """Try bays just as long as stock gives, and keep those that make the job's stock cheaper.

    Args:
        room: The stretch.
        placed: Its posts at the nearest legal places.
        others: All other level bays of the job, as they stand now.
        stock: What may be asked.
        most: Layouts that may be priced at most.

    Returns:
        The cheapest layout found, or the one given; all that were priced.
    """
    before = stock.bill((*others, *openings(room, placed.centres)), proven=False)
    if before is None or most < 1:
        return placed, []
    best, least = placed, (before.cents, -1)
    priced: list[Placed] = []
    tried = dict.fromkeys(islice(_unequal(room, placed, others=others, stock=stock), most))
    for centres in tried:
        after = stock.bill((*others, *openings(room, centres)), proven=False)
        moved = _moved(room, centres)
        priced.append(replace(placed, centres=centres, moved=moved, dodged=False))
        if (
            after is not None
            and after.cents < before.cents
            and (after.cents, moved) < least
            and bears(room, centres, after, others=others, bill_of=stock.bill)
        ):
            least = (after.cents, moved)
            best = replace(priced[-1], stock=(before, after))
    return best, priced


def bears(
    room: Room,
    centres: tuple[Length, ...],
    bill: Bill,
    *,
    others: tuple[Opening, ...],
    bill_of: StockAsk,
) -> bool:
    """Whether the bays still come from the same stock when their posts are set a little off."""
    wide = tuple(replace(one, clear=one.clear + SET_OFF) for one in openings(room, centres))
    taken = bill_of((*others, *wide), proven=False)
    return taken is None or taken.cents <= bill.cents


def openings(room: Room, centres: Sequence[Length]) -> tuple[Opening, ...]:
    """The bays of a stretch, as the stock is asked about them."""
    return tuple(
        opening_between(clear, left, right, step=room.step)
        for clear, left, right in bays_of(room, tuple(centres))
    )


def _moved(room: Room, centres: tuple[Length, ...]) -> Length:
    wished = wished_marks(room, bays=len(centres) + 1)
    return greatest_move(tuple(at // room.step for at in centres), wished) * room.step


def _unequal(
    room: Room, placed: Placed, *, others: tuple[Opening, ...], stock: Stock
) -> Iterator[tuple[Length, ...]]:
    """Layouts with some bays narrower, so that they share stock; the others take what is left."""
    equal = (room.clear - (placed.bays - 1) * room.sleeve) // placed.bays
    least = (UNLIKE - 1) * placed.bays * equal // (UNLIKE * placed.bays - 1)
    line = post(0, where="line", sleeve=room.sleeve)
    typical = opening_between(equal, line.after, line.before, step=room.step)

    @cache
    def longest(share: Share, left: Face, right: Face) -> Length | None:
        most = min(share.most, equal - room.step)
        sizes = (most, max(least, most - NEAR))
        return _longest(room, share, left, right, sizes=sizes, bill=stock.bill)

    for share in sorted(stock.shares(others), key=lambda one: -one.most):
        if share.most < least or share.most - NEAR > equal or share.comes(typical, stock.bill):
            continue
        for some in range(1, placed.bays):
            for at_left in (True, False):
                size = partial(longest, share)
                centres = _with_some(room, placed.bays, size=size, some=some, at_left=at_left)
                if centres and _keeps(room, placed, centres):
                    yield centres


def _with_some(
    room: Room,
    bays: int,
    *,
    size: Callable[[Face, Face], Length | None],
    some: int,
    at_left: bool,
) -> tuple[Length, ...] | None:
    """So many bays of that size at one end, the other bays as equal as they can legally be."""
    line = post(0, where="line", sleeve=room.sleeve)
    rest, done = room, []
    for _ in range(some):
        ends = (rest.left.after, line.before) if at_left else (line.after, rest.right.before)
        clear = size(*ends)
        if clear is None:
            return None
        at = rest.left.right + clear + line.before.reach
        if not at_left:
            at = rest.right.left - clear - line.after.reach
        at = at // room.step * room.step if at_left else -(-at // room.step) * room.step
        if not rest.left.right < at - line.before.reach or at + line.after.reach >= rest.right.left:
            return None
        done.append(at)
        here = post(at, where="line", sleeve=room.sleeve)
        rest = replace(rest, left=here) if at_left else replace(rest, right=here)
    others = with_bays(rest, bays=bays - some, fewest=bays - some)
    return tuple(sorted((*done, *others.centres))) if others else None


def _longest(
    room: Room,
    share: Share,
    left: Face,
    right: Face,
    *,
    sizes: tuple[Length, Length],
    bill: StockAsk,
) -> Length | None:
    """The widest legal opening between two sizes whose rails do share that stock.

    Looked for at every half inch down, then up again by halves.
    """
    most, least = (size // room.step * room.step for size in sizes)
    stride = max(1, STRIDE // room.step) * room.step

    def works(size: Length) -> bool:
        there = opening_between(size, left, right, step=room.step)
        wide = replace(there, clear=there.clear + SET_OFF)
        return (
            room.fits(size, left, right)
            and share.comes(there, bill)
            and (share.comes(wide, bill) or bill((wide,), proven=False) is None)
        )

    found = next((size for size in range(most, least, -stride) if works(size)), None)
    if found is None:
        return None
    wider = min(most, found + stride)
    while wider - found > room.step:
        middle = (found + wider) // 2 // room.step * room.step
        found, wider = (middle, wider) if works(middle) else (found, middle)
    return found


def _keeps(room: Room, placed: Placed, centres: tuple[Length, ...]) -> bool:
    """Whether everything that counts for more than stock stays as good."""
    bays = [clear for clear, _, _ in bays_of(room, centres)]
    return (
        _moved(room, centres) <= FARTHEST
        and all(UNLIKE * abs(a - b) <= max(a, b) for a, b in pairwise(bays))
        and not any(room.is_shut(at) for at in centres)
        and all(room.fits(*bay) for bay in bays_of(room, centres))
        and sum(room.on_joist(at) for at in centres)
        <= sum(room.on_joist(at) for at in placed.centres)
    )
