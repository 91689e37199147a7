"""The least stock of rails of which some may be chosen: layouts and cutting as one programme.

Every stretch has several layouts, each with rails of its own; one of each stretch is built. One
whole number a pattern of the stock, one yes or no a layout:

    least sum of price * pattern
    each rail: cut as often as the layouts chosen have it; each stretch: one layout

Where the sets of rails are too many to try, the bound is what worths prove: no stock holds
rails worth more than its price, so the job costs at least what the least worth layout of every
stretch is worth.

Source:
    Gilmore and Gomory 1961 for the patterns, Farley 1990 for the bound; one layout of each
    stretch is a multiple-choice row.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from math import inf

from schemas.record import Cents
from services.cut_plan.columns import generate
from services.cut_plan.first_fit import Pattern, first_fit
from services.cut_plan.lattice import Kind, Lattice
from services.cut_plan.lower_bound import SCALE, Rows, most_held, worth_of
from services.cut_plan.master import Row, rows_for, solve_whole
from services.cut_plan.patterns import every_pattern
from services.cut_plan.stopwatch import Stopwatch

MOST_PATTERNS = 4_000
"""With more sets of rails than this, only the bound of the worths is stated."""
SECONDS = 2.0
"""Time for the whole question; most need a twentieth. [s]"""

Names = tuple[int, ...]
"""Kinds of a lattice, one for each rail."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Least:
    """What the cheapest choice of layouts takes."""

    cents: Cents | None
    """Of the cheapest choice found; none: none was looked for or found."""
    bound: Cents
    """No choice among them takes less: proven."""
    chosen: tuple[int, ...] = ()
    """Which layout of each stretch that is."""


def least_choice(lattice: Lattice, *, fixed: Names, choices: Sequence[Sequence[Names]]) -> Least:
    """The cheapest choice of one layout a stretch, cut together with the rails that are there.

    Args:
        lattice: All rails of all layouts, with the most of each that any choice has; all of its
            stock without limit.
        fixed: Rails that are cut in any case.
        choices: For each stretch its layouts, each as its rails.
    """
    watch = Stopwatch(SECONDS)
    patterns = every_pattern(lattice, most=MOST_PATTERNS, stop=watch.part(0.5).up)
    if patterns is None:
        return Least(cents=None, bound=_by_worths(lattice, fixed, choices, watch))
    starts = [len(patterns)]
    for layouts in choices:
        starts.append(starts[-1] + len(layouts))
    yes_or_no = starts[-1] - starts[0]
    prices = [lattice.sticks[one.stick].price for one in patterns]
    answer = solve_whole(
        costs=[*prices, *[0] * yes_or_no],
        most=[*[inf] * len(patterns), *[1] * yes_or_no],
        rows=_rows(lattice, patterns, fixed, choices, starts),
        seconds=watch.left(),
    )
    if answer is None:
        return Least(cents=None, bound=_by_worths(lattice, fixed, choices, watch))
    chosen = tuple(
        next(n for n in range(len(layouts)) if answer.counts[start + n])
        for layouts, start in zip(choices, starts, strict=False)
    )
    cents = sum(price * count for price, count in zip(prices, answer.counts, strict=False))
    return Least(cents=cents, bound=answer.bound, chosen=chosen)


def _rows(
    lattice: Lattice,
    patterns: Sequence[Pattern],
    fixed: Names,
    choices: Sequence[Sequence[Names]],
    starts: Sequence[int],
) -> list[Row]:
    """Every rail of what is fixed and chosen is cut; one layout of each stretch is chosen."""
    there = Counter(fixed)
    taken: list[list[tuple[int, float]]] = [[] for _ in lattice.kinds]
    for layouts, start in zip(choices, starts, strict=False):
        for number, rails in enumerate(layouts):
            for kind, count in Counter(rails).items():
                taken[kind].append((start + number, -float(count)))
    cut = [
        Row(low=there[kind], high=inf, terms=(*row.terms, *taken[kind]))
        for kind, row in enumerate(rows_for(lattice, patterns)[: len(lattice.kinds)])
    ]
    one = [
        Row(low=1, high=1, terms=tuple((start + number, 1.0) for number in range(len(layouts))))
        for layouts, start in zip(choices, starts, strict=False)
    ]
    return [*cut, *one]


def _by_worths(
    lattice: Lattice, fixed: Names, choices: Sequence[Sequence[Names]], watch: Stopwatch
) -> Cents:
    """What worths of the first layouts' rails prove of any choice; 0 if they prove nothing."""
    first = Counter((*fixed, *(name for layouts in choices for name in layouts[0])))
    kinds = tuple(
        Kind(holes=kind.holes, left=kind.left, right=kind.right, wanted=max(1, first[name]))
        for name, kind in enumerate(lattice.kinds)
    )
    asked = Lattice(kinds=kinds, sticks=lattice.sticks, joint=lattice.joint)
    grown = generate(asked, first_fit(asked), watch=watch)
    if grown is None:
        return 0
    worth = worth_of(asked, grown.prices, partial(most_held, Rows(asked))).each
    total = sum(worth[name] for name in fixed) + sum(
        min(sum(worth[name] for name in rails) for rails in layouts) for layouts in choices
    )
    return -(-total // SCALE)
