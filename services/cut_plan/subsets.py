"""The best plan of a few pieces, by trying every subset of them exactly once.

The first piece that is not cut yet lies on the next bar, so each bar is tried only where its
first piece is that one. What is known of a subset is the least its bars cost; with every piece
of its own kind also how many bars, and the longest offcut that so few and so cheap bars leave.

Source:
    Held and Karp 1962: dynamic programming over subsets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from services.cut_plan.first_fit import Pattern
from services.cut_plan.lattice import Lattice

MOST_PIECES = 14
"""With more pieces the subsets are too many."""
MOST_STEPS = 40_000_000
"""Patterns times the subsets that each is tried on; beyond it a solver is quicker."""
BARS = 32
"""More bars than a plan of so few pieces has."""
NEVER = 2**62
"""Cost of what cannot be."""


def few_enough(lattice: Lattice, patterns: Sequence[Pattern]) -> bool:
    """Whether all subsets may be tried: few pieces, and no stock of which there are few."""
    pieces = sum(kind.wanted for kind in lattice.kinds)
    unlimited = all(stick.supply is None for stick in lattice.sticks)
    if not unlimited or pieces > MOST_PIECES:
        return False
    begin = np.cumsum([0, *(kind.wanted for kind in lattice.kinds)])
    steps = sum(1 << (pieces - int(begin[min(one.order)]) - 1) for one in patterns)
    return steps <= MOST_STEPS


def one_of_each(lattice: Lattice) -> bool:
    """Whether no two pieces are alike, so that no two bars are."""
    return all(kind.wanted == 1 for kind in lattice.kinds)


@dataclass(frozen=True, slots=True)
class _Table:
    """What is known of every subset of pieces."""

    least: NDArray[np.int64]
    """Price times `BARS` and the number of bars: cheapest first, then fewest."""
    tail: NDArray[np.int64]
    """The longest offcut that plans of that price and number leave. [length]"""
    by: NDArray[np.int32]
    """The pattern cut last; -1 for none."""
    mask: NDArray[np.int64]
    """The pieces that it took."""


def best_by_subsets(
    lattice: Lattice, patterns: Sequence[Pattern], tails: Sequence[int]
) -> list[Pattern]:
    """The cheapest bars; of equals the fewest, then those with the longest offcut.

    Args:
        lattice: Pieces and stock, all without limit.
        patterns: Every set of pieces that fits, so that a part of a set is there too.
        tails: The longest offcut of each pattern. [length]
    """
    begin = np.cumsum([0, *(kind.wanted for kind in lattice.kinds)])
    pieces = int(begin[-1])
    table = _Table(
        least=np.full(1 << pieces, NEVER, dtype=np.int64),
        tail=np.zeros(1 << pieces, dtype=np.int64),
        by=np.full(1 << pieces, -1, dtype=np.int32),
        mask=np.zeros(1 << pieces, dtype=np.int64),
    )
    table.least[0] = 0
    starting: dict[int, list[tuple[int, int]]] = {}
    for number, pattern in enumerate(patterns):
        for first, mask in _masks(pattern, begin):
            starting.setdefault(first, []).append((number, mask))
    for first in range(pieces):
        done = (1 << first) - 1
        beyond = np.arange(1 << (pieces - first - 1), dtype=np.int64) << (first + 1)
        at = beyond | done
        at = at[table.least[at] < NEVER]
        for number, mask in starting.get(first, ()):
            price = lattice.sticks[patterns[number].stick].price
            _cut(table, at[at & mask == 0], mask, price, tails[number], number)
    return _walked_back(table, patterns)


def _masks(pattern: Pattern, begin: NDArray[np.int64]) -> list[tuple[int, int]]:
    """The pieces that a pattern may take, by its first piece; of alike ones a run in order.

    Pieces of one kind are taken in turn, so a run may begin at any of them.
    """
    names = sorted(pattern.order)
    choices = [(0, 0)]
    for name in dict.fromkeys(names):
        count = names.count(name)
        low, high = int(begin[name]), int(begin[name + 1])
        runs = [((1 << count) - 1) << at for at in range(low, high - count + 1)]
        choices = [(mask | run, 0) for mask, _ in choices for run in runs]
    return [((mask & -mask).bit_length() - 1, mask) for mask, _ in choices]


def _cut(
    table: _Table, at: NDArray[np.int64], mask: int, price: int, tail: int, number: int
) -> None:
    """Cut one more bar from each of these subsets, and keep it where that is better."""
    to = at | mask
    cost = table.least[at] + price * BARS + 1
    long = np.maximum(table.tail[at], tail)
    better = (cost < table.least[to]) | ((cost == table.least[to]) & (long > table.tail[to]))
    to = to[better]
    table.least[to], table.tail[to] = cost[better], long[better]
    table.by[to], table.mask[to] = number, mask


def _walked_back(table: _Table, patterns: Sequence[Pattern]) -> list[Pattern]:
    bars: list[Pattern] = []
    held = len(table.least) - 1
    while held:
        bars.append(patterns[int(table.by[held])])
        held ^= int(table.mask[held])
    return sorted(bars)
