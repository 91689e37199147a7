"""Patterns as they are needed: column generation for a night of pieces.

A night has too many sets of pieces to try them all. The linear programme over a
few patterns gives every piece a price; a walk along each stock's holes then finds the
patterns that hold more than they cost, and they are added, until there is none.

Source:
    Gilmore and Gomory 1961, 1963; prices held half-way to the best ones seen, as in
    Wentges 1997.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from services.cut_plan.first_fit import Pattern
from services.cut_plan.lattice import Lattice
from services.cut_plan.lower_bound import NEVER, SCALE, Rows, Walk, Whole, walk
from services.cut_plan.master import Linear, Prices
from services.cut_plan.stopwatch import Stopwatch

ROUNDS = 400
"""More rounds than any night has needed; the bound is true wherever it stops."""
EACH_ROUND = 60
"""Patterns added for each stock in a round."""
NEAR = 2e-7
"""Share of the cost by which the linear programme may stay over its bound."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Generated:
    """Patterns worth choosing among."""

    patterns: tuple[Pattern, ...]
    prices: tuple[float, ...]
    """Of each kind; they gave the best bound. [cents]"""
    last: Prices


def generate(lattice: Lattice, start: Sequence[Pattern], *, watch: Stopwatch) -> Generated | None:
    """Grow a set of patterns until the linear programme over all patterns is solved.

    Args:
        lattice: Pieces and stock.
        start: Patterns that together make a plan.
        watch: When it is up, what there is so far will do; the bound is true all the same.

    Returns:
        The patterns; None if the time was too short to begin.
    """
    rows = Rows(lattice)
    patterns = list(dict.fromkeys(start))
    known = {_named(pattern) for pattern in patterns}
    linear = Linear(lattice, patterns)
    prices = linear.solve(seconds=watch.left())
    if prices is None:
        return None
    best, best_bound = np.array(prices.kinds), -1.0
    for _ in range(ROUNDS):
        true = np.array(prices.kinds)
        new: list[Pattern] = []
        for tried in ((true + best) / 2, true):
            bound, new = _round(rows, tried, prices, known)
            if bound > best_bound:
                best, best_bound = tried, bound
            if new or prices.cents - best_bound <= NEAR * prices.cents:
                break
        if not new or prices.cents - best_bound <= NEAR * prices.cents or watch.up():
            break
        linear.add(new)
        again = linear.solve(seconds=watch.left())
        if again is None:
            break
        patterns.extend(new)
        prices = again
    return Generated(patterns=tuple(patterns), prices=tuple(map(float, best)), last=prices)


def _named(pattern: Pattern) -> tuple[int, tuple[int, ...]]:
    return (pattern.stick, tuple(sorted(pattern.order)))


def _round(
    rows: Rows,
    tried: np.typing.NDArray[np.float64],
    prices: Prices,
    known: set[tuple[int, tuple[int, ...]]],
) -> tuple[float, list[Pattern]]:
    """Walk along every stock; the bound of the prices tried, and patterns that would pay."""
    worth = np.floor(np.maximum(0, tried) * SCALE).astype(np.int64)
    new: list[Pattern] = []
    share, over = 1.0, 0.0
    for number, stick in enumerate(rows.lattice.sticks):
        before = walk(rows, number, worth)
        if stick.supply is None and before.best > stick.price * SCALE:
            share = min(share, stick.price * SCALE / before.best)
        elif stick.supply is not None:
            over += stick.supply * max(0.0, before.best / SCALE - stick.price)
        least = stick.price + prices.sticks[number]
        if before.best > least * SCALE * (1 - 1e-9) - 1:
            new.extend(_paying(rows, number, worth, before, prices, known))
    return share * float((worth * rows.wanted).sum()) / SCALE - over, new


def _paying(
    rows: Rows,
    number: int,
    worth: Whole,
    before: Walk,
    prices: Prices,
    known: set[tuple[int, tuple[int, ...]]],
) -> list[Pattern]:
    """The best pattern through each kind, where it holds more than it costs."""
    beyond = walk_back(rows, number, worth)
    best, at = best_through(rows, number, worth, before, beyond)
    cost = rows.lattice.sticks[number].price + prices.sticks[number]
    found: list[Pattern] = []
    seen: set[int] = set()
    for kind in np.argsort(-best, kind="stable"):
        if len(found) >= EACH_ROUND or best[kind] <= 0:
            break
        if int(kind) in seen:
            continue
        pattern = trace(rows, number, worth, before, beyond, int(kind), int(at[kind]))
        seen.update(pattern.order)
        gain = sum(prices.kinds[name] for name in pattern.order) - cost
        if gain > 1e-7 * max(1.0, cost) and _named(pattern) not in known:
            known.add(_named(pattern))
            found.append(pattern)
    return found


def near_best(
    lattice: Lattice, each: Sequence[int], *, most: int, watch: Stopwatch
) -> list[Pattern]:
    """Patterns that cost least over their worth: for two pieces at the left, the best rest.

    The linear programme is content with few patterns; a plan in whole numbers needs more to
    choose among. Every kind gets its best neighbours; among equals, each kind begins with
    another one, so that they spread.

    Args:
        lattice: Pieces and stock.
        each: Worth of each kind. [cents / scale]
        most: About how many for each stock.
        watch: When it is up, those found so far will do.
    """
    rows, worth = Rows(lattice), np.array(each, dtype=np.int64)
    kinds = len(worth)
    turn = (np.arange(kinds)[:, None] + np.arange(kinds)[None, :]) % kinds
    found: list[Pattern] = []
    for number, stick in enumerate(lattice.sticks):
        beyond = walk_back(rows, number, worth)
        ends = np.array(stick.first, dtype=np.int64)[rows.left] + rows.holes - 1
        finish = ends[:, None] + rows.joint[rows.right][:, rows.left] + rows.holes[None, :] - 1
        fits = finish < stick.holes
        rest = beyond.after[np.where(fits, finish, 0), rows.right[None, :]]
        total = np.where(fits, worth[:, None] + worth[None, :] + rest, NEVER)
        rank = np.argsort(-np.take_along_axis(total, turn, axis=1), axis=1, kind="stable")
        chosen = np.take_along_axis(turn, rank[:, : max(1, most // kinds)], axis=1)
        for one, others in enumerate(chosen):
            if watch.up():
                return found
            for other in others[total[one, others] > 0]:
                order = [one, int(other)]
                _trace_right(rows, worth, beyond, order, int(finish[one, other]))
                found.append(Pattern(number, tuple(order)))
    return found


@dataclass(frozen=True, slots=True)
class WalkBack:
    """Best worths along a stock from its right end."""

    after: Whole
    """after[hole, right end]: of what lies behind a piece that finishes at that hole."""
    onward: Whole
    """onward[hole, left end]: of pieces from that hole on, the first with that left end."""


def walk_back(rows: Rows, stick: int, worth: Whole) -> WalkBack:
    """Walk along a stock from the right, as `walk` does from the left."""
    bar = rows.lattice.sticks[stick]
    rights, lefts = rows.joint.shape
    order, runs = rows.by_left
    holes, right, value = rows.holes[order], rows.right[order], worth[order]
    last = np.array(bar.last, dtype=np.int64)
    after = np.full((bar.holes, rights), NEVER, dtype=np.int64)
    onward = np.full((bar.holes + rows.widest + 1, lefts), NEVER, dtype=np.int64)
    flat_after, flat_onward = after.reshape(-1), onward.reshape(-1)
    ahead = rows.joint * lefts + np.arange(lefts)[None, :]
    finish = (holes - 1) * rights + right
    shortest = int(holes.min())
    for hole in range(bar.holes - 1, -1, -1):
        reached = flat_onward[ahead + hole * lefts].max(axis=1)
        reached[(last >= hole) & (reached < 0)] = 0
        after[hole] = reached
        onward[hole] = onward[hole + 1]
        if hole + shortest <= bar.holes:
            fits = hole + holes <= bar.holes
            found = flat_after[np.where(fits, finish + hole * rights, 0)] + value
            begun = np.maximum.reduceat(np.where(fits, found, NEVER), runs)
            np.maximum(onward[hole], begun, out=onward[hole])
    return WalkBack(after, onward)


def best_through(
    rows: Rows, stick: int, worth: Whole, before: Walk, beyond: WalkBack
) -> tuple[Whole, Whole]:
    """For each kind, the best worth of a pattern that holds it, and its first hole there."""
    holes = rows.lattice.sticks[stick].holes
    first = np.arange(holes)[:, None]
    finish = first + rows.holes[None, :] - 1
    fits = finish < holes
    finish = np.where(fits, finish, 0)
    total = before.before[first, rows.left[None, :]] + beyond.after[finish, rows.right[None, :]]
    total = np.where(fits, total + worth[None, :], NEVER)
    at = total.argmax(axis=0)
    return total[at, np.arange(len(at))], at


def trace(
    rows: Rows, stick: int, worth: Whole, before: Walk, beyond: WalkBack, kind: int, at: int
) -> Pattern:
    """The best pattern that holds a kind at a hole."""
    order = [kind]
    _trace_left(rows, stick, worth, before, order, at)
    _trace_right(rows, worth, beyond, order, at + rows.lattice.kinds[kind].holes - 1)
    return Pattern(stick, tuple(order))


def _trace_left(
    rows: Rows, stick: int, worth: Whole, walked: Walk, order: list[int], hole: int
) -> None:
    """Put what lies before in front, piece by piece."""
    first, pad = rows.lattice.sticks[stick].first, rows.widest
    left = rows.lattice.kinds[order[0]].left
    by_right, runs = rows.by_right
    ends = np.append(runs, len(by_right))
    while True:
        value = walked.before[hole, left]
        while hole and walked.before[hole - 1, left] == value:
            hole -= 1
        if value == 0 and first[left] <= hole:
            return
        joints = rows.joint[:, left]
        right = int(
            np.flatnonzero(walked.through[pad + hole - joints, np.arange(len(joints))] == value)[0]
        )
        hole -= int(joints[right])
        names = by_right[ends[right] : ends[right + 1]]
        starts = hole - rows.holes[names] + 1
        fits = starts >= 0
        got = walked.before[np.where(fits, starts, 0), rows.left[names]] + worth[names]
        name = int(names[np.flatnonzero(fits & (got == value))[0]])
        order.insert(0, name)
        hole -= rows.lattice.kinds[name].holes - 1
        left = rows.lattice.kinds[name].left


def _trace_right(rows: Rows, worth: Whole, walked: WalkBack, order: list[int], hole: int) -> None:
    """Put what lies behind at the end, piece by piece."""
    right = rows.lattice.kinds[order[-1]].right
    by_left, runs = rows.by_left
    ends = np.append(runs, len(by_left))
    while (value := walked.after[hole, right]) > 0:
        joints = rows.joint[right]
        left = int(np.flatnonzero(walked.onward[hole + joints, np.arange(len(joints))] == value)[0])
        hole += int(joints[left])
        while walked.onward[hole + 1, left] == value:
            hole += 1
        names = by_left[ends[left] : ends[left + 1]]
        finish = hole + rows.holes[names] - 1
        fits = finish < len(walked.after)
        got = walked.after[np.where(fits, finish, 0), rows.right[names]] + worth[names]
        name = int(names[np.flatnonzero(fits & (got == value))[0]])
        order.append(name)
        hole += rows.lattice.kinds[name].holes - 1
        right = rows.lattice.kinds[name].right
