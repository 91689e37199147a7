"""The bound below which no plan can cost, by whole-number arithmetic.

Give every piece a worth. If no stock can hold pieces worth more than its price, then all
pieces together cost at least what they are worth. Where the worths came from does not
matter; only the check of every stock does, and that is a walk along its holes.

Source:
    Farley 1990, A note on bounding a class of linear programming problems, including
    cutting stock problems; Gilmore and Gomory 1961 for the knapsack a stock.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from heapq import heappop, heappush
from math import floor, gcd

import numpy as np
from numpy.typing import NDArray

from services.cut_plan.lattice import Lattice

SCALE = 2**16
"""Parts of a cent in which worth is counted."""
NEVER = -(2**60)
"""Worth of what cannot be."""
LONGEST_WALK = 5_000
"""Stock of more steps than this is not walked along; only plain stock can have so many."""
FEW_FINE_KINDS = 12
"""Up to so many kinds, stock of ever so many steps is hopped along exactly."""
FEW_KINDS = 40
"""Up to so many kinds, stock is walked along by the places that a piece can reach."""

Whole = NDArray[np.int64]


@dataclass(frozen=True)
class Rows:
    """A lattice's numbers as arrays, for walking along the holes of its stock."""

    lattice: Lattice

    @cached_property
    def holes(self) -> Whole:
        """Holes of each kind."""
        return np.array([kind.holes for kind in self.lattice.kinds], dtype=np.int64)

    @cached_property
    def left(self) -> Whole:
        """Left end of each kind."""
        return np.array([kind.left for kind in self.lattice.kinds], dtype=np.int64)

    @cached_property
    def right(self) -> Whole:
        """Right end of each kind."""
        return np.array([kind.right for kind in self.lattice.kinds], dtype=np.int64)

    @cached_property
    def wanted(self) -> Whole:
        """How many of each kind."""
        return np.array([kind.wanted for kind in self.lattice.kinds], dtype=np.int64)

    @cached_property
    def joint(self) -> Whole:
        """Holes from last to first, by right and left end."""
        return np.array(self.lattice.joint, dtype=np.int64)

    @cached_property
    def widest(self) -> int:
        """The widest joint."""
        return int(self.joint.max())

    @cached_property
    def by_right(self) -> tuple[Whole, Whole]:
        """Kinds sorted by right end, and where each right end starts among them."""
        return _runs(self.right)

    @cached_property
    def by_left(self) -> tuple[Whole, Whole]:
        """Kinds sorted by left end, and where each left end starts among them."""
        return _runs(self.left)


def _runs(ends: Whole) -> tuple[Whole, Whole]:
    order = np.argsort(ends, kind="stable")
    return order, np.flatnonzero(np.r_[True, np.diff(ends[order]) > 0])


@dataclass(frozen=True, slots=True)
class Walk:
    """Best worths along a stock from its left end."""

    before: Whole
    """before[hole, left end]: of what lies before a piece that may begin at that hole."""
    through: Whole
    """through[widest joint + hole, right end]: up to a piece that finishes at that hole."""
    best: int
    """Of the whole stock."""


def walk(rows: Rows, stick: int, worth: Whole) -> Walk:
    """Walk along a stock and keep the best worth that can end at each hole.

    before[k, l] = max(0 if k >= first[l], before[k-1, l], max over r of through[k-joint, r])
    through[k, r] = max over kinds with right end r of before[k-holes+1, left] + worth

    Args:
        rows: The lattice.
        stick: Which stock.
        worth: Worth of each kind. [cents / scale, >= 0]
    """
    bar = rows.lattice.sticks[stick]
    pad, rights = rows.widest, rows.joint.shape[0]
    lefts = rows.joint.shape[1]
    order, runs = rows.by_right
    holes, left, value = rows.holes[order], rows.left[order], worth[order]
    first = np.array(bar.first, dtype=np.int64)
    before = np.full((bar.holes, lefts), NEVER, dtype=np.int64)
    through = np.full((bar.holes + pad, rights), NEVER, dtype=np.int64)
    flat_before, flat_through = before.reshape(-1), through.reshape(-1)
    back = (pad - rows.joint) * rights + np.arange(rights)[:, None]
    begin = (1 - holes) * lefts + left
    shortest = int(holes.min())
    for hole in range(bar.holes):
        reached = flat_through[back + hole * rights].max(axis=0)
        reached[(first <= hole) & (reached < 0)] = 0
        if hole:
            np.maximum(reached, before[hole - 1], out=reached)
        before[hole] = reached
        if hole + 1 >= shortest:
            fits = holes <= hole + 1
            found = flat_before[np.where(fits, begin + hole * lefts, 0)] + value
            through[pad + hole] = np.maximum.reduceat(np.where(fits, found, NEVER), runs)
    last = np.array(bar.last, dtype=np.int64)
    done = through[pad:][np.arange(bar.holes)[:, None] <= last[None, :]]
    return Walk(before, through, max(0, int(done.max(initial=0))))


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """A worth for every kind, and what it proves."""

    each: tuple[int, ...]
    """Of each kind. [cents / scale, >= 0]"""
    over: tuple[int, ...]
    """For each stock, by how much it may hold more than it costs; 0 for stock without limit."""
    total: int
    """Worth of all pieces, less what limited stock may hold over its price. [cents / scale]"""
    cents: int
    """The bound: the least price of whole stock that is not under the total."""


def prove(
    lattice: Lattice, each: Sequence[int], most: Sequence[int], *, scale: int = SCALE
) -> Worth | None:
    """What worths prove, or None if stock without limit may hold more than it costs.

    All pieces cost at least what they are worth; limited stock may hold more than it costs,
    once for each there is. Rounded up to a whole multiple of what all prices share.

    Args:
        lattice: Pieces and stock.
        each: Worth of each kind. [cents / scale]
        most: The most worth that each stock can hold. [cents / scale]
        scale: Parts of a cent.
    """
    over = tuple(
        max(0, held - stick.price * scale) for held, stick in zip(most, lattice.sticks, strict=True)
    )
    limits = [stick.supply for stick in lattice.sticks]
    if min(each) < 0 or any(o and n is None for o, n in zip(over, limits, strict=True)):
        return None
    total = sum(kind.wanted * one for kind, one in zip(lattice.kinds, each, strict=True))
    total -= sum((n or 0) * o for o, n in zip(over, limits, strict=True))
    step = gcd(*(stick.price for stick in lattice.sticks)) or 1
    cents = max(0, -(-total // (scale * step)) * step)
    return Worth(each=tuple(each), over=over, total=total, cents=cents)


def most_held(rows: Rows, each: Sequence[int]) -> tuple[int, ...]:
    """The most worth that each stock can hold, found by walking along it. [cents / scale]."""
    lattice, kinds = rows.lattice, len(rows.lattice.kinds)
    sticks = range(len(lattice.sticks))
    fine = max(stick.holes for stick in lattice.sticks) > LONGEST_WALK
    if fine and kinds > FEW_FINE_KINDS:
        return most_held(Rows(_coarser(lattice)), each)
    if kinds <= FEW_KINDS:
        return tuple(_hop(lattice, number, each) for number in sticks)
    values = np.array(each, dtype=np.int64)
    return tuple(walk(rows, number, values).best for number in sticks)


def _coarser(lattice: Lattice) -> Lattice:
    """Plain stock in fewer, wider steps, for a most that is never too little.

    Pieces are taken shorter by less than a step and their stock longer, so that all that fitted
    still fits. A step stays under 2 mm, shorter than any piece.
    """
    many = -(-max(stick.holes for stick in lattice.sticks) // LONGEST_WALK)
    kinds = (replace(kind, holes=max(1, kind.holes // many)) for kind in lattice.kinds)
    sticks = (
        replace(
            stick,
            holes=-(-stick.holes // many),
            first=tuple(hole // many for hole in stick.first),
            last=tuple(hole // many for hole in stick.last),
        )
        for stick in lattice.sticks
    )
    return Lattice(kinds=tuple(kinds), sticks=tuple(sticks), joint=lattice.joint)


def _hop(lattice: Lattice, stick: int, each: Sequence[int]) -> int:
    """The most worth that a stock can hold, looking only at holes where a piece can finish.

    Pieces are laid as far left as they go, which is never worse. A place that is reached
    with no more worth than an earlier one with the same right end is passed over.
    """
    bar = lattice.sticks[stick]
    kinds = [
        (kind.left, kind.holes - 1, kind.right, worth)
        for kind, worth in zip(lattice.kinds, each, strict=True)
        if worth > 0
    ]
    at: dict[int, dict[int, int]] = {}
    for left, more, right, worth in kinds:
        ends = at.setdefault(bar.first[left] + more, {})
        ends[right] = max(ends.get(right, 0), worth)
    best, beaten = 0, dict.fromkeys(range(len(lattice.joint)), 0)
    ahead = sorted(hole for hole in at if hole < bar.holes)
    while ahead:
        hole = heappop(ahead)
        for end, held in at.pop(hole).items():
            if held <= beaten[end]:
                continue
            beaten[end] = held
            if hole <= bar.last[end]:
                best = max(best, held)
            for left, more, right, worth in kinds:
                finish = hole + lattice.joint[end][left] + more
                if finish < bar.holes:
                    if finish not in at:
                        heappush(ahead, finish)
                    ends = at.setdefault(finish, {})
                    ends[right] = max(ends.get(right, 0), held + worth)
    return best


def worth_of(
    lattice: Lattice, prices: Sequence[float], most: Callable[[Sequence[int]], Sequence[int]]
) -> Worth:
    """Turn any prices into worths that prove a bound, however they were found.

    They are cut to whole parts of a cent, then made smaller together until no stock without
    limit holds more than it costs.

    Args:
        lattice: Pieces and stock.
        prices: Of each kind, e.g. from the linear programme. [cents]
        most: The most worth that each stock can hold, for given worths.
    """
    each = [max(0, floor(price * SCALE)) for price in prices]
    part, of = 1, 1
    for held, stick in zip(most(each), lattice.sticks, strict=True):
        if stick.supply is None and held * part > stick.price * SCALE * of:
            part, of = stick.price * SCALE, held
    scaled = [one * part // of for one in each]
    found = prove(lattice, scaled, most(scaled))
    assert found is not None, "worths made smaller together hold nowhere more than the price"
    return found
