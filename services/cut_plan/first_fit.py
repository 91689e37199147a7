"""First fit, longest first, on the lattice: a plan that can always be cut.

The yardstick for the optimiser and its fall-back. Pieces go one by one, most holes first, to
the right of what already lies on a bar; at the end each bar is exchanged for the
cheapest stock that holds the same pieces.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

from schemas.errors import NoLayout
from services.cut_plan.lattice import Lattice


@dataclass(frozen=True, slots=True, order=True)
class Pattern:
    """Kinds laid on one stock, from left to right."""

    stick: int
    order: tuple[int, ...]


def cost(lattice: Lattice, bars: list[Pattern]) -> int:
    """Price of the stock of these bars. [cents]."""
    return sum(lattice.sticks[bar.stick].price for bar in bars)


def first_fit(lattice: Lattice) -> list[Pattern]:
    """The cheapest of four plans: first or tightest bar, longest or cheapest-a-hole stock.

    Raises:
        NoLayout: There is not enough stock that holds some piece.
    """
    plans = [
        exchange(lattice, _lay(lattice, tightest=tightest, by_hole=by_hole))
        for tightest, by_hole in product((False, True), repeat=2)
    ]
    return min(plans, key=lambda bars: (cost(lattice, bars), len(bars)))


@dataclass(slots=True)
class _Open:
    """A bar that is being filled."""

    stick: int
    order: list[int]
    last: int


def _lay(lattice: Lattice, *, tightest: bool, by_hole: bool) -> list[Pattern]:
    """Lay every piece; few-of-a-kind stock stands open from the start, as it comes first."""
    left = [stick.supply for stick in lattice.sticks]
    shortest = min(kind.holes for kind in lattice.kinds)
    opened: list[_Open] = []
    rooms: dict[tuple[int, int, int], list[int]] = {}
    for name, kind in enumerate(lattice.kinds):
        for _ in range(kind.wanted):
            at = _bar_for(lattice, rooms, name, tightest=tightest)
            if at is None:
                stick = _stock_for(lattice, left, name, by_hole=by_hole)
                opened.append(_Open(stick, [], -1))
                at = len(opened) - 1
                supply = left[stick]
                left[stick] = None if supply is None else supply - 1
            _add(lattice, opened[at], name)
            bar = opened[at]
            if lattice.sticks[bar.stick].holes - 1 - bar.last >= shortest:
                rooms.setdefault((bar.stick, bar.last, kind.right), []).append(at)
    return [Pattern(bar.stick, tuple(bar.order)) for bar in opened]


def _bar_for(
    lattice: Lattice,
    rooms: dict[tuple[int, int, int], list[int]],
    name: int,
    *,
    tightest: bool,
) -> int | None:
    """The bar that takes the piece: the first one, or the one with the fewest holes over."""
    kind = lattice.kinds[name]
    best: tuple[tuple[int, int], tuple[int, int, int]] | None = None
    for key, bars in rooms.items():
        stick, last, right = key
        end = last + lattice.joint[right][kind.left] + kind.holes - 1
        over = lattice.sticks[stick].last[kind.right] - end
        if over < 0 or end >= lattice.sticks[stick].holes:
            continue
        rank = (over, bars[0]) if tightest else (0, bars[0])
        if best is None or rank < best[0]:
            best = (rank, key)
    if best is None:
        return None
    bars = rooms[best[1]]
    at = bars.pop(0)
    if not bars:
        del rooms[best[1]]
    return at


def _add(lattice: Lattice, bar: _Open, name: int) -> None:
    kind = lattice.kinds[name]
    if bar.order:
        before = lattice.kinds[bar.order[-1]]
        start = bar.last + lattice.joint[before.right][kind.left]
    else:
        start = lattice.sticks[bar.stick].first[kind.left]
    bar.order.append(name)
    bar.last = start + kind.holes - 1


def _stock_for(lattice: Lattice, left: list[int | None], name: int, *, by_hole: bool) -> int:
    """Stock for a new bar: what there is little of first, then the longest or cheapest a hole."""
    fits = [
        number
        for number, stick in enumerate(lattice.sticks)
        if left[number] != 0 and lattice.starts(stick=number, order=(name,)) is not None
    ]
    if not fits:
        msg = f"not enough stock for a piece of {lattice.kinds[name].holes} holes"
        raise NoLayout(msg)

    def rank(number: int) -> tuple[float, float, int]:
        stick = lattice.sticks[number]
        if stick.supply is not None:
            return (stick.price, stick.holes, number)
        return (stick.price / stick.holes if by_hole else -stick.holes, stick.price, number)

    few = [number for number in fits if lattice.sticks[number].supply is not None]
    free = [number for number in few if lattice.sticks[number].price == 0]
    return min(free or [n for n in fits if n not in few] or few, key=rank)


def exchange(lattice: Lattice, bars: list[Pattern]) -> list[Pattern]:
    """Put each bar's pieces on the cheapest stock that holds them."""
    left = [
        None if stick.supply is None else stick.supply - sum(bar.stick == n for bar in bars)
        for n, stick in enumerate(lattice.sticks)
    ]
    done: list[Pattern] = []
    for bar in bars:
        fits = [
            n
            for n in range(len(lattice.sticks))
            if (n == bar.stick or left[n] != 0)
            and lattice.starts(stick=n, order=bar.order) is not None
        ]
        best = min(fits, key=lambda n: (lattice.sticks[n].price, lattice.sticks[n].holes, n))
        for number, change in ((bar.stick, 1), (best, -1)):
            supply = left[number]
            left[number] = None if supply is None else supply + change
        done.append(Pattern(best, bar.order))
    return done
