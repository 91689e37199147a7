"""Patterns: every set of pieces that one stock can hold, and in which order.

A set that fits still fits when a piece is taken out, so sets are built up one piece at a
time and a set is dropped as soon as one of its parts does not fit. It is not so that a
shorter piece fits where a longer one does: margins count, and each set is tried.
"""

from __future__ import annotations

from collections.abc import Callable

from services.cut_plan.first_fit import Pattern
from services.cut_plan.lattice import Lattice, Stick

Held = tuple[int, ...]
"""Kinds on one stock, ascending."""
Ends = dict[int, tuple[int, int]]
"""By the kind that lies last: the least hole at which it finishes, and the kind before it."""


def every_pattern(
    lattice: Lattice,
    *,
    most: int,
    hopeful: Callable[[Held], bool] = lambda _: True,
    stop: Callable[[], bool] = lambda: False,
) -> list[Pattern] | None:
    """Every set of pieces on the stock that is cheapest for it, and on all limited stock.

    Args:
        lattice: Pieces and stock.
        most: Give up beyond so many sets.
        hopeful: Which sets to look at; when a set is, so must be every part of it.
        stop: Asked again and again; give up when it says so.

    Returns:
        Patterns in a fixed order, each laid so that it ends as far left as it can; None
        if there are more sets than `most`, or if told to stop.
    """
    found: list[Pattern] = []
    for sticks in _alike(lattice):
        sets = _sets(lattice, sticks, most=most, hopeful=hopeful, stop=stop)
        if sets is None or len(sets) + len(found) > most:
            return None
        found.extend(
            pattern
            for held, ends in sets.items()
            for pattern in _placed(lattice, sticks, sets, held, ends)
        )
    return sorted(_cheapest(lattice, found))


def _alike(lattice: Lattice) -> list[list[int]]:
    """Stock that starts alike: what ends least on one ends least on all."""
    alike: dict[tuple[int, ...], list[int]] = {}
    for number, stick in enumerate(lattice.sticks):
        alike.setdefault(stick.first, []).append(number)
    return list(alike.values())


def _sets(
    lattice: Lattice,
    sticks: list[int],
    *,
    most: int,
    hopeful: Callable[[Held], bool],
    stop: Callable[[], bool],
) -> dict[Held, Ends] | None:
    """All sets that fit at least one of the sticks, with their least ends."""
    bars = [lattice.sticks[number] for number in sticks]
    most_holes = max(bar.holes for bar in bars)
    holes = [kind.holes for kind in lattice.kinds]
    wanted = [kind.wanted for kind in lattice.kinds]
    sets: dict[Held, Ends] = {}
    layer: list[Held] = [()]
    while layer:
        following: list[Held] = []
        for held in layer:
            if stop():
                return None
            free = most_holes - sum(holes[one] for one in held)
            for kind in range(held[-1] if held else 0, len(holes)):
                if holes[kind] > free:
                    continue
                longer = (*held, kind)
                if longer.count(kind) > wanted[kind] or not hopeful(longer):
                    continue
                ends = _least_ends(lattice, bars[0].first, sets, longer)
                if ends and any(_holds(lattice, bar, ends) for bar in bars):
                    sets[longer] = ends
                    following.append(longer)
                    if len(sets) > most:
                        return None
        layer = following
    return sets


def _least_ends(
    lattice: Lattice, first: tuple[int, ...], sets: dict[Held, Ends], held: Held
) -> Ends:
    """For each kind that may lie last, where it ends at best; empty if a part does not fit."""
    if len(held) == 1:
        kind = lattice.kinds[held[0]]
        return {held[0]: (first[kind.left] + kind.holes - 1, -1)}
    ends: Ends = {}
    for at, name in enumerate(held):
        if at and held[at - 1] == name:
            continue
        before = sets.get((*held[:at], *held[at + 1 :]))
        if before is None:
            return {}
        kind = lattice.kinds[name]
        end, previous = min(
            (end + lattice.joint[lattice.kinds[other].right][kind.left], other)
            for other, (end, _) in before.items()
        )
        ends[name] = (end + kind.holes - 1, previous)
    return ends


def _holds(lattice: Lattice, bar: Stick, ends: Ends) -> bool:
    return any(end <= bar.last[lattice.kinds[name].right] for name, (end, _) in ends.items())


def _placed(
    lattice: Lattice, sticks: list[int], sets: dict[Held, Ends], held: Held, ends: Ends
) -> list[Pattern]:
    """The set on each of the sticks that holds it."""
    placed: list[Pattern] = []
    for number in sticks:
        last = lattice.sticks[number].last
        fits = [
            (end, name) for name, (end, _) in ends.items() if end <= last[lattice.kinds[name].right]
        ]
        if fits:
            placed.append(Pattern(number, _order(sets, held, min(fits)[1])))
    return placed


def _order(sets: dict[Held, Ends], held: Held, name: int) -> tuple[int, ...]:
    """Kinds from left to right, walked back from the last one."""
    order: list[int] = []
    while name >= 0:
        order.append(name)
        before = sets[held][name][1]
        at = held.index(name)
        held, name = (*held[:at], *held[at + 1 :]), before
    return tuple(reversed(order))


def _cheapest(lattice: Lattice, patterns: list[Pattern]) -> list[Pattern]:
    """Of stock without limit keep the cheapest for each set, the longer at one price."""
    best: dict[Held, Pattern] = {}
    kept: list[Pattern] = []
    for pattern in patterns:
        if lattice.sticks[pattern.stick].supply is not None:
            kept.append(pattern)
            continue
        held = tuple(sorted(pattern.order))
        before = best.get(held)
        if before is None or _rank(lattice, pattern) < _rank(lattice, before):
            best[held] = pattern
    return [*kept, *best.values()]


def _rank(lattice: Lattice, pattern: Pattern) -> tuple[int, int]:
    return (lattice.sticks[pattern.stick].price, pattern.stick)


def maximal(patterns: list[Pattern], lattice: Lattice) -> list[Pattern]:
    """Patterns to which nothing can be added at no higher price on the same stock."""
    held = {(p.stick, tuple(sorted(p.order))) for p in patterns}
    smaller: set[tuple[int, Held]] = set()
    price = {key: lattice.sticks[key[0]].price for key in held}
    by_set: dict[Held, list[int]] = {}
    for stick, names in held:
        by_set.setdefault(names, []).append(stick)
    for stick, names in held:
        for at in range(len(names)):
            less = (*names[:at], *names[at + 1 :])
            for other in by_set.get(less, ()):
                same = other == stick
                free = lattice.sticks[stick].supply is None
                if same or (free and price[stick, names] <= price[other, less]):
                    smaller.add((other, less))
    return [p for p in patterns if (p.stick, tuple(sorted(p.order))) not in smaller]
