"""The cheapest plan of one lattice, with the bound that no plan can beat.

A job's patterns are all tried. A night has too many; its patterns are generated, and
the plan says how far it may be from the best. First fit is always there to fall back on.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from time import monotonic
from zlib import crc32

from services.cut_plan.choice import (
    Chosen,
    Tail,
    choose,
    excess,
    fewest_then_longest,
    worthwhile,
)
from services.cut_plan.columns import generate, near_best
from services.cut_plan.first_fit import Pattern, cost, exchange, first_fit
from services.cut_plan.lattice import Lattice
from services.cut_plan.lower_bound import (
    LONGEST_WALK,
    SCALE,
    Rows,
    Worth,
    most_held,
    prove,
    worth_of,
)
from services.cut_plan.master import Linear, version
from services.cut_plan.patterns import every_pattern, maximal
from services.cut_plan.repair import repair
from services.cut_plan.stopwatch import Clock, Stopwatch
from services.cut_plan.subsets import MOST_PIECES, best_by_subsets, few_enough, one_of_each
from services.cut_plan.tidy import tidy

MOST_KINDS = 150
"""With more kinds of pieces it is a night: patterns are generated and not all tried."""
MOST_PATTERNS = 20_000
"""Beyond so many sets of pieces, patterns are generated and not all tried."""
MOST_CHOICES = 6_000
"""About how many generated patterns the night's plan is chosen among."""
FEWEST_CHOICES = 6
"""But at least so many for each kind."""

FOR_PATTERNS, FOR_PRICES, FOR_CHOICES = 0.3, 0.6, 0.2
"""Shares of the time left for trying all sets of pieces, for a night's prices, for its patterns;
with the time allowed to a night none of them is used up."""

FIRST_CHOICE = 400
"""So many patterns of least excess are tried before all of them."""

SHORT_WALK = 500
"""Rails have fewer holes than this, plain stock has more steps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """A plan of one lattice."""

    bars: tuple[Pattern, ...]
    cents: int
    bound: int
    """No plan costs less: by the solver's proof, or by the worths where they prove more."""
    worth: Worth
    """Worths that prove a bound, perhaps a lower one, without the solver."""
    first_fit: int
    """Cost of the first-fit plan."""
    how: str
    """How it was found and what the bound rests on."""


def optimum(
    lattice: Lattice, *, tail: Tail | None, seconds: float, clock: Clock = monotonic
) -> Solved:
    """Find the cheapest plan; of equals the one of fewest different bars, then longest offcut.

    When the time is up, what was found so far is the plan, and the gap is to the bound proven
    so far; first fit and the bound of the holes alone are always there.

    Args:
        lattice: Pieces and stock.
        tail: The longest offcut that a pattern leaves; none: any cheapest plan will do.
        seconds: Time for all of it. [s]
        clock: What that time goes by.

    Raises:
        NoLayout: There is not enough stock.
    """
    watch = Stopwatch(seconds, clock=clock)
    fallback = first_fit(lattice)
    few = len(lattice.kinds) <= MOST_KINDS
    stop = watch.part(FOR_PATTERNS).up
    patterns = every_pattern(lattice, most=MOST_PATTERNS, stop=stop) if few else None
    solved = None
    if patterns is not None:
        solved = _job(lattice, patterns, fallback, tail=tail, seconds=seconds, watch=watch)
    elif _can_be_walked(lattice):
        solved = _night(lattice, fallback, tail=tail, seconds=seconds, watch=watch)
    return solved or _as_it_fits(lattice, fallback)


def cheapest_bars(lattice: Lattice, *, seconds: float) -> Sequence[Pattern]:
    """Bars of the least price, whichever of equals; first fit where there are too many sets.

    Args:
        lattice: Pieces and stock.
        seconds: Time for the solver. [s]

    Raises:
        NoLayout: There is not enough stock.
    """
    fallback = first_fit(lattice)
    few = len(lattice.kinds) <= MOST_KINDS
    patterns = every_pattern(lattice, most=MOST_PATTERNS) if few else None
    if patterns is None:
        return fallback
    widest = maximal(patterns, lattice)
    watch = Stopwatch(seconds)
    tight = _tight(lattice, widest, watch)
    if tight is None or cost(lattice, fallback) <= tight.cents:
        return fallback
    return _best(lattice, widest, tight, fallback, watch=watch).bars


def _tight(lattice: Lattice, patterns: list[Pattern], watch: Stopwatch) -> Worth | None:
    """Worths that the patterns alone prove; none if the time was too short."""
    prices = Linear(lattice, patterns).solve(seconds=watch.left())
    if prices is None:
        return None
    return worth_of(lattice, prices.kinds, partial(_most_in, lattice, patterns))


def _job(
    lattice: Lattice,
    patterns: list[Pattern],
    fallback: list[Pattern],
    *,
    tail: Tail | None,
    seconds: float,
    watch: Stopwatch,
) -> Solved | None:
    """All patterns are there: the answer is the best, or says how far it may be from it."""
    widest = maximal(patterns, lattice)
    tight = _tight(lattice, widest, watch)
    if tight is None:
        return None
    limit = cost(lattice, fallback)
    small = few_enough(lattice, patterns)
    by = "by branch and bound"
    bars, bound = fallback, tight.cents
    if limit > bound and small:
        bars = best_by_subsets(lattice, patterns, [0] * len(patterns))
        bound, by = cost(lattice, bars), "by trying every subset of pieces"
    elif limit > bound:
        found = _best(lattice, widest, tight, fallback, watch=watch)
        bars, bound = found.bars, max(bound, found.bound)
    least = cost(lattice, bars)
    if tail is not None and not watch.up():
        alike = worthwhile(lattice, patterns, tight, limit=least)
        if small and one_of_each(lattice):
            bars = best_by_subsets(lattice, alike, [tail(one) for one in alike])
        else:
            fewer = fewest_then_longest(
                lattice, alike, least=least, tail=tail, seconds=watch.left() / 3
            )
            bars = fewer or tidy(
                lattice, bars, worth=tight, tail=tail, seconds=seconds, watch=watch
            )
    proven = f"proven the cheapest {by}" if least <= bound else "the bound is proven"
    return Solved(
        bars=tuple(sorted(bars)),
        cents=least,
        bound=min(bound, least),
        worth=_sure(lattice, widest, tight, watch),
        first_fit=limit,
        how=f"every set of pieces tried; {proven}, {version()}",
    )


def _best(
    lattice: Lattice,
    patterns: Sequence[Pattern],
    tight: Worth,
    fallback: list[Pattern],
    *,
    watch: Stopwatch,
) -> Chosen:
    """The cheapest choice among all patterns, looked for among the most promising first.

    A plan that is cheapest among patterns of little excess, and that stands no further over the
    bound than the least excess left out, is the cheapest of all.
    """
    best = Chosen(bars=fallback, bound=0)
    ranked = sorted((excess(lattice, one, tight), one) for one in patterns)
    for many in (FIRST_CHOICE, len(ranked)):
        limit = cost(lattice, best.bars)
        out = ranked[many][0] if many < len(ranked) else limit * SCALE
        choice = worthwhile(lattice, [one for _, one in ranked[:many]], tight, limit=limit)
        found = choose(lattice, sorted({*choice, *best.bars}), seconds=watch.left() / 2)
        if found is None:
            continue
        all_bound = min(found.bound, -(-(tight.total + out) // SCALE))
        bars = min(found.bars, best.bars, key=partial(cost, lattice))
        best = Chosen(bars=bars, bound=max(best.bound, all_bound))
        if cost(lattice, bars) <= best.bound or many >= len(ranked):
            break
    return best


def _can_be_walked(lattice: Lattice) -> bool:
    return max(stick.holes for stick in lattice.sticks) <= LONGEST_WALK


def _as_it_fits(lattice: Lattice, fallback: list[Pattern]) -> Solved:
    """Too many sets, and too fine a measure or too little time: first fit, and the holes' bound."""
    worth = _held_nowhere(lattice, _by_holes(lattice))
    least = cost(lattice, fallback)
    return Solved(
        bars=tuple(sorted(fallback)),
        cents=least,
        bound=worth.cents,
        worth=worth,
        first_fit=least,
        how="first fit, longest first; the bound is that of the lengths alone",
    )


def _by_holes(lattice: Lattice) -> Worth:
    """The bound of the holes alone.

    Each hole is worth its share of the price of the stock where a hole is cheapest; no stock
    without limit then holds more than it costs, and of the others the more is taken off.
    """
    free = [stick for stick in lattice.sticks if stick.supply is None] or lattice.sticks
    cheap = min(free, key=lambda stick: stick.price / stick.holes)
    each = [kind.holes * cheap.price * SCALE // cheap.holes for kind in lattice.kinds]
    most = [
        stick.price * SCALE
        if stick.supply is None
        else stick.holes * cheap.price * SCALE // cheap.holes
        for stick in lattice.sticks
    ]
    worth = prove(lattice, each, most)
    assert worth is not None, "a stock's holes are together worth its price at most"
    return worth


def _most_in(lattice: Lattice, patterns: Sequence[Pattern], each: Sequence[int]) -> tuple[int, ...]:
    """The most worth that each stock holds in any of the patterns. [cents / scale]."""
    most = [0] * len(lattice.sticks)
    for one in patterns:
        most[one.stick] = max(most[one.stick], sum(each[name] for name in one.order))
    return tuple(most)


def _sure(lattice: Lattice, patterns: Sequence[Pattern], tight: Worth, watch: Stopwatch) -> Worth:
    """Worths that stand without the patterns, which hold no piece more often than it is wanted.

    Stock of very many steps is hopped along, or looked at in wider steps.
    """
    if _can_be_walked(lattice):
        return _certified(lattice, patterns, tight, watch)
    scaled = _held_nowhere(lattice, tight)
    return max(scaled, _held_nowhere(lattice, _by_holes(lattice)), key=lambda one: one.cents)


def _held_nowhere(lattice: Lattice, worth: Worth) -> Worth:
    """Worths made smaller until what `most_held` finds on no stock is more than its price."""
    held = partial(most_held, Rows(lattice))
    return worth_of(lattice, [one / SCALE for one in worth.each], held)


def _certified(
    lattice: Lattice, patterns: Sequence[Pattern], tight: Worth, watch: Stopwatch
) -> Worth:
    """Worths that a walk along every stock proves, even with a piece more often than wanted.

    The worths of the patterns do where no stock gains by a piece too many; else others are found,
    save for a few pieces of stock of so many steps that a walk takes longer than the plan.
    """
    scaled = _held_nowhere(lattice, tight)
    fine = max(one.holes for one in lattice.sticks) > SHORT_WALK
    if scaled.cents >= tight.cents or (fine and len(lattice.kinds) <= MOST_PIECES):
        return scaled
    grown = generate(lattice, patterns, watch=watch)
    held = partial(most_held, Rows(lattice))
    other = worth_of(lattice, grown.prices, held) if grown else scaled
    return max(scaled, other, key=lambda worth: worth.cents)


def _night(
    lattice: Lattice,
    fallback: list[Pattern],
    *,
    tail: Tail | None,
    seconds: float,
    watch: Stopwatch,
) -> Solved | None:
    """Patterns are generated; the bound is that of the worths."""
    start = [*fallback, *_alone(lattice)]
    grown = generate(lattice, start, watch=watch.part(FOR_PRICES))
    if grown is None:
        return None
    grown_worth = worth_of(lattice, grown.prices, partial(most_held, Rows(lattice)))
    worth = max(grown_worth, _by_holes(lattice), key=lambda one: one.cents)
    limit = cost(lattice, fallback)
    bars = fallback
    if limit > worth.cents:
        more = near_best(lattice, worth.each, most=MOST_CHOICES, watch=watch.part(FOR_CHOICES))
        in_use = [one for one, n in zip(grown.patterns, grown.last.taken, strict=True) if n > 0]
        must = [*fallback, *in_use]
        choice = _most_promising(lattice, [*grown.patterns, *more], must, worth)
        found = choose(lattice, choice, seconds=min(seconds, watch.left()) / 2)
        plans = [fallback, *([exchange(lattice, found.bars)] if found else [])]
        best = min(plans, key=partial(cost, lattice))
        bars = repair(lattice, best, worth=worth, seconds=seconds, watch=watch)
    if tail is not None:
        bars = tidy(lattice, bars, worth=worth, tail=tail, seconds=seconds, watch=watch)
    return Solved(
        bars=tuple(sorted(bars)),
        cents=cost(lattice, bars),
        bound=worth.cents,
        worth=worth,
        first_fit=limit,
        how=f"sets of pieces generated; the bound is proven by whole numbers alone, {version()}",
    )


def _alone(lattice: Lattice) -> list[Pattern]:
    """Each kind by itself, on every stock that holds it."""
    return [
        Pattern(stick, (name,))
        for stick in range(len(lattice.sticks))
        for name in range(len(lattice.kinds))
        if lattice.starts(stick=stick, order=(name,)) is not None
    ]


def _most_promising(
    lattice: Lattice, patterns: Sequence[Pattern], must: Sequence[Pattern], worth: Worth
) -> list[Pattern]:
    """For every kind the patterns that cost least over the worth of their pieces.

    Patterns of equal excess are taken in a scattered order, so that no kind is left with
    partners that all others want too.

    Args:
        lattice: Pieces and stock.
        patterns: What there is to choose from.
        must: Patterns that are kept in any case.
        worth: Of each kind.
    """
    by_set = {(one.stick, tuple(sorted(one.order))): one for one in [*patterns, *must]}
    ranked = sorted(
        by_set.values(),
        key=lambda one: (excess(lattice, one, worth), crc32(repr(one.order).encode()), one),
    )
    enough = max(FEWEST_CHOICES, MOST_CHOICES // len(lattice.kinds))
    seen: Counter[int] = Counter()
    kept = {by_set[one.stick, tuple(sorted(one.order))] for one in must}
    for one in ranked:
        held = Counter(one.order)
        proper = all(n <= lattice.kinds[name].wanted for name, n in held.items())
        if proper and any(seen[name] < enough for name in held):
            kept.add(one)
            seen.update(held.keys())
    return sorted(kept)
