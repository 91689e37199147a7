"""The least price of a few level rails, fast: which of them share a length of stock.

Most rails need a stock length each. Those that can share are few; all sets of them that one
stock holds are found by growing pairs, and the cheapest way to part them into such sets by
looking at each subset once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import NamedTuple

from schemas.cut_plan import StockRail
from schemas.lengths import Length
from schemas.record import Cents, Degrees
from services.cut_plan.lattice import PairEnd, RailEnd, first_place, joint, last_place

MOST_SHARING = 10
"""With more rails that can share, their subsets are too many to look at."""
MOST_SETS = 250
"""More sets of rails than this are not grown."""
MOST_ON_ONE = 4
"""No more rails share one stock; a fifth would be no longer than a foot or two."""

Rail = tuple[Length, Length, Length]
"""Length, left margin, right margin."""


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class RailCut:
    """The rails of a level bay as they would be cut."""

    holes: int
    bottom: Rail
    top: Rail
    left_deg: Degrees = 0
    right_deg: Degrees = 0
    left_reach: Length = 0
    """Long point beyond the left end; 0 for a square cut. [1/320 mm]"""
    right_reach: Length = 0
    brackets: int = 4
    """Brackets of the kind that is boxed with kits which its bay takes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Set:
    """Rails that one stock holds."""

    rails: int
    """A bit for each."""
    stock: StockRail


class _Known(NamedTuple):
    """A cut as the stock sees it."""

    holes: int
    first: tuple[int, ...]
    """The first hole of each stock at which it may begin."""
    last: tuple[int, ...]
    """The last hole of each stock at which it may finish."""
    left: PairEnd
    right: PairEnd


class Sharing:
    """Which rails come from one length of stock; answers are kept, as a search asks often."""

    def __init__(self, *, stock: Iterable[StockRail], kerf: Length) -> None:
        """Stock on sale, as many as wanted."""
        self._stock = tuple(sorted(stock, key=lambda one: (one.net_cents, one.length)))
        self._kerf = kerf
        self._numbers: dict[RailCut, int] = {}
        self._known: list[_Known] = []
        self._held: dict[tuple[int, ...], StockRail | None] = {}
        self._joints: dict[tuple[PairEnd, PairEnd], int] = {}

    def least(self, names: Sequence[int]) -> tuple[StockRail, ...] | None:
        """The cheapest stock that all rails come from; none where they are too many to tell.

        Args:
            names: Of rails each of which some stock holds by itself.
        """
        alone = [self._holding((name,)) for name in names]
        sets = self._sets(names, alone)
        if sets is None:
            return None
        sharing = 0
        for one in sets:
            sharing |= one.rails
        if sharing.bit_count() > MOST_SHARING:
            return None
        single = tuple(one for at, one in enumerate(alone) if one and not sharing >> at & 1)
        own = [Set(rails=1 << at, stock=one) for at, one in enumerate(alone) if one]
        return (*single, *_parted(sharing, [*sets, *own]))

    def has(self, name: int) -> bool:
        """Whether some stock holds it."""
        return self._holding((name,)) is not None

    def named(self, cut: RailCut) -> int:
        """The number by which a cut is asked about."""
        if cut not in self._numbers:
            self._numbers[cut] = len(self._known)
            left = _end(cut, 1, cut.left_reach, cut.left_deg)
            right = _end(cut, 2, cut.right_reach, cut.right_deg)
            self._known.append(
                _Known(
                    holes=cut.holes,
                    first=tuple(first_place(stock=one, left=left) for one in self._stock),
                    last=tuple(last_place(stock=one, right=right) for one in self._stock),
                    left=left,
                    right=right,
                )
            )
        return self._numbers[cut]

    def _holding(self, names: tuple[int, ...]) -> StockRail | None:
        """The cheapest stock that holds all of these in some order; none holds them."""
        key = tuple(sorted(names))
        if key not in self._held:
            self._held[key] = self._find(key)
        return self._held[key]

    def _find(self, key: tuple[int, ...]) -> StockRail | None:
        holes = sum(self._known[name].holes for name in key)
        orders = sorted(set(permutations(key)))
        for at, stock in enumerate(self._stock):
            if holes <= stock.holes and any(self._holds(at, order) for order in orders):
                return stock
        return None

    def _holds(self, at: int, order: tuple[int, ...]) -> bool:
        before = self._known[order[0]]
        stock = self._stock[at]
        hole = before.first[at] + before.holes - 1
        for name in order[1:]:
            cut = self._known[name]
            hole += self._joint(before.right, cut.left, pitch=stock.pitch) + cut.holes - 1
            before = cut
        return hole <= min(stock.holes - 1, before.last[at])

    def _joint(self, right: PairEnd, left: PairEnd, *, pitch: Length) -> int:
        key = (right, left)
        if key not in self._joints:
            self._joints[key] = joint(
                right=right, left=left, kerf=self._kerf, pitch=pitch, plumb=False
            )
        return self._joints[key]

    def _sets(self, names: Sequence[int], alone: Sequence[StockRail | None]) -> list[Set] | None:
        """Sets of two or more that take less than each by itself, grown rail by rail.

        None: there are too many.
        """
        found: list[Set] = []
        last: list[tuple[int, ...]] = [(at,) for at in range(len(names))]
        for _ in range(MOST_ON_ONE - 1):
            grown = [(*some, at) for some in last for at in range(some[-1] + 1, len(names))]
            last = []
            if len(grown) > MOST_SETS:
                return None
            for some in grown:
                stock = self._holding(tuple(names[at] for at in some))
                if stock is None:
                    continue
                last.append(some)
                if stock.net_cents < sum(one.net_cents for at in some if (one := alone[at])):
                    found.append(Set(rails=sum(1 << at for at in some), stock=stock))
        return found


def _end(cut: RailCut, margin: int, reach: Length, deg: Degrees) -> PairEnd:
    return PairEnd(*(RailEnd(rail[margin], reach, deg) for rail in (cut.top, cut.bottom)))


def _parted(rails: int, sets: Sequence[Set]) -> tuple[StockRail, ...]:
    """The cheapest way to part rails into sets, each rail once."""
    best: dict[int, tuple[Cents, tuple[StockRail, ...]]] = {0: (0, ())}

    def least(left: int) -> tuple[Cents, tuple[StockRail, ...]]:
        if left not in best:
            lowest = left & -left
            ways = (
                (cents + one.stock.net_cents, (*stock, one.stock))
                for one in sets
                if one.rails & lowest and one.rails & ~left == 0
                for cents, stock in (least(left & ~one.rails),)
            )
            best[left] = min(ways, key=lambda way: (way[0], len(way[1])))
        return best[left]

    return least(rails)[1]
