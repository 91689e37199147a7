"""Choosing bars among patterns: least price, then fewest different bars, then longest offcut."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import inf

from services.cut_plan.first_fit import Pattern
from services.cut_plan.lattice import Lattice
from services.cut_plan.lower_bound import SCALE, Worth
from services.cut_plan.master import Row, rows_for, solve_whole

Tail = Callable[[Pattern], int]
"""The longest offcut worth keeping that a pattern leaves; 0 for none. [length]"""

MOST_ALIKE = 4_000
"""Beyond so many patterns that a cheapest plan may hold, any cheapest plan will do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """Bars that hold every piece exactly once."""

    bars: list[Pattern]
    bound: int
    """No choice among these patterns costs less. [cents]"""


def excess(lattice: Lattice, pattern: Pattern, worth: Worth) -> int:
    """What a pattern costs over the worth of its pieces; never negative. [cents / scale]."""
    held = sum(worth.each[name] for name in pattern.order)
    return lattice.sticks[pattern.stick].price * SCALE + worth.over[pattern.stick] - held


def worthwhile(
    lattice: Lattice, patterns: Sequence[Pattern], worth: Worth, *, limit: int
) -> list[Pattern]:
    """Patterns that some plan no dearer than the limit may hold; the others cannot be in one.

    A plan costs at least the worth of all pieces and the excess of each of its patterns. So a
    pattern whose own excess lifts that sum over the limit is out.
    """
    room = limit * SCALE - worth.total
    return [one for one in patterns if excess(lattice, one, worth) <= room]


def choose(
    lattice: Lattice,
    patterns: Sequence[Pattern],
    *,
    seconds: float,
) -> Chosen | None:
    """The cheapest choice among patterns; None if the solver found none in time.

    Args:
        lattice: Pieces and stock.
        patterns: What may be cut.
        seconds: Time limit. [s]
    """
    answer = solve_whole(
        costs=[lattice.sticks[one.stick].price for one in patterns],
        most=[inf] * len(patterns),
        rows=rows_for(lattice, patterns),
        seconds=seconds,
    )
    if answer is None:
        return None
    return Chosen(bars=once(lattice, spread(patterns, answer.counts)), bound=answer.bound)


def spread(patterns: Sequence[Pattern], counts: Sequence[int]) -> list[Pattern]:
    """Each pattern as often as it was chosen."""
    return [one for one, count in zip(patterns, counts, strict=True) for _ in range(count)]


def once(lattice: Lattice, bars: Sequence[Pattern]) -> list[Pattern]:
    """The same bars without the pieces that are there more often than wanted."""
    left = [kind.wanted for kind in lattice.kinds]
    kept: list[Pattern] = []
    for bar in bars:
        order: list[int] = []
        for name in bar.order:
            if left[name]:
                left[name] -= 1
                order.append(name)
        if order:
            kept.append(Pattern(bar.stick, tuple(order)))
    return kept


def fewest_then_longest(
    lattice: Lattice,
    patterns: Sequence[Pattern],
    *,
    least: int,
    tail: Tail,
    seconds: float,
) -> list[Pattern] | None:
    """Among plans of the least price the one of fewest different bars, then longest offcut.

    Args:
        lattice: Pieces and stock.
        patterns: All that a cheapest plan may hold.
        least: The least price. [cents]
        tail: The longest offcut that a pattern leaves.
        seconds: Time limit for each of the two runs. [s]

    Returns:
        The bars; None if there are too many patterns or the solver found no answer.
    """
    if len(patterns) > MOST_ALIKE:
        return None
    often = [_most_often(lattice, one) for one in patterns]
    several = [at for at, most in enumerate(often) if most > 1]
    costs = [0 if most > 1 else 1 for most in often] + [1] * len(several)
    limits: list[float] = [*often, *([1] * len(several))]
    rows = _rows_at_least_price(lattice, patterns, often, several, least)
    fewest = solve_whole(costs=costs, most=limits, rows=rows, seconds=seconds)
    if fewest is None:
        return None
    tails = [tail(one) for one in patterns]
    if not any(tails):
        return spread(patterns, fewest.counts[: len(patterns)])
    rows.append(_fixed(costs, fewest.counts))
    longest = _longest(patterns, tails, limits, rows, seconds=seconds)
    counts = longest or fewest.counts
    return spread(patterns, counts[: len(patterns)])


def _most_often(lattice: Lattice, pattern: Pattern) -> int:
    """How often a pattern can be cut before it holds a piece too many."""
    held = Counter(pattern.order).items()
    most = min(lattice.kinds[name].wanted // number for name, number in held)
    supply = lattice.sticks[pattern.stick].supply
    return most if supply is None else min(most, supply)


def _rows_at_least_price(
    lattice: Lattice,
    patterns: Sequence[Pattern],
    often: Sequence[int],
    several: Sequence[int],
    least: int,
) -> list[Row]:
    """Every piece exactly once, no dearer than the least, and a mark for each pattern in use."""
    price = tuple((at, float(lattice.sticks[one.stick].price)) for at, one in enumerate(patterns))
    used = [
        Row(low=0, high=inf, terms=((at, -1.0), (len(patterns) + mark, float(often[at]))))
        for mark, at in enumerate(several)
    ]
    return [
        *rows_for(lattice, patterns, exactly=True),
        Row(low=0, high=least, terms=price),
        *used,
    ]


def _fixed(costs: Sequence[int], counts: Sequence[int]) -> Row:
    """No more different bars than were found."""
    found = sum(cost * count for cost, count in zip(costs, counts, strict=True))
    terms = tuple((at, 1.0) for at, cost in enumerate(costs) if cost)
    return Row(low=0, high=found, terms=terms)


def _longest(
    patterns: Sequence[Pattern],
    tails: Sequence[int],
    limits: Sequence[float],
    rows: Sequence[Row],
    *,
    seconds: float,
) -> tuple[int, ...] | None:
    """The plan with the longest offcut: one pattern in use is named for its offcut."""
    named = [at for at in range(len(patterns)) if tails[at]]
    top = max(tails)
    base = len(limits)
    costs = [0] * base + [top - tails[at] for at in named] + [top]
    only_used = [
        Row(low=0, high=inf, terms=((at, 1.0), (base + mark, -1.0)))
        for mark, at in enumerate(named)
    ]
    one = Row(low=1, high=1, terms=tuple((base + n, 1.0) for n in range(len(named) + 1)))
    answer = solve_whole(
        costs=costs,
        most=[*limits, *([1] * (len(named) + 1))],
        rows=[*rows, *only_used, one],
        seconds=seconds,
    )
    return answer.counts if answer else None
