"""Fewer different bars for a night, and a longer offcut, at the price it has.

Bars that hold pieces of which there are several are taken apart a few at a time and cut anew as
a small job, whose ties are broken as any job's. What is no better as a whole is left.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from services.cut_plan.choice import Tail, fewest_then_longest
from services.cut_plan.first_fit import Pattern, cost
from services.cut_plan.lattice import Lattice
from services.cut_plan.lower_bound import Worth
from services.cut_plan.repair import small_job
from services.cut_plan.stopwatch import Stopwatch

PIECES = 20
"""Pieces taken apart at a time."""
TRIES_A_SECOND = 1.5
"""So many times for each second that the solver is allowed."""
SECONDS = 0.5
"""Time for each of the two questions a time; most need a hundredth. [s]"""


def tidy(
    lattice: Lattice,
    bars: list[Pattern],
    *,
    worth: Worth,
    tail: Tail,
    seconds: float,
    watch: Stopwatch,
) -> list[Pattern]:
    """The same pieces at the same price on fewer different bars, or with a longer offcut.

    Args:
        lattice: Pieces and stock.
        bars: A plan.
        worth: Of each kind.
        tail: The longest offcut that a pattern leaves.
        seconds: Time that the solver was allowed; it sets the number of tries. [s]
        watch: When it is up, the plan is left as it is.
    """
    look = _Look(lattice, tail)
    for kinds in _runs(lattice, int(TRIES_A_SECOND * seconds)):
        if watch.up():
            break
        taken, rest = _with(bars, kinds)
        many = len(taken) > 1
        small = small_job(lattice, taken, rest, worth=worth, watch=watch) if many else None
        if small is None or not small.patterns:
            continue
        fewer = fewest_then_longest(
            small.lattice,
            small.patterns,
            least=cost(lattice, taken),
            tail=lambda one, back=small.back: tail(back(one)),  # type: ignore[misc]  # bound here
            seconds=min(SECONDS, watch.left() / 2),
        )
        if fewer is not None:
            anew = [*rest, *(small.back(one) for one in fewer)]
            if look.rank(anew) < look.rank(bars):
                bars = anew
    return bars


@dataclass(frozen=True, slots=True)
class _Look:
    """How tidy a plan is."""

    lattice: Lattice
    tail: Tail

    def rank(self, bars: Sequence[Pattern]) -> tuple[int, int, int]:
        """Price, number of different bars, and the longest offcut: less is better."""
        kinds = {(bar.stick, tuple(sorted(bar.order))): bar for bar in bars}
        longest = max((self.tail(bar) for bar in kinds.values()), default=0)
        return (cost(self.lattice, list(bars)), len(kinds), -longest)


def _runs(lattice: Lattice, most: int) -> list[list[int]]:
    """Kinds of which there are several, a few at a time, spread over all lengths."""
    several = [name for name, kind in enumerate(lattice.kinds) if kind.wanted > 1]
    runs: list[list[int]] = [[]]
    for name in several:
        if sum(lattice.kinds[one].wanted for one in runs[-1]) >= PIECES // 2:
            runs.append([])
        runs[-1].append(name)
    step = max(1, len(runs) // max(1, most))
    return [run for run in runs[::step] if run][:most]


def _with(bars: Sequence[Pattern], kinds: Sequence[int]) -> tuple[list[Pattern], list[Pattern]]:
    """Bars that hold one of these kinds, up to so many pieces; and all others."""
    taken: list[Pattern] = []
    rest: list[Pattern] = []
    pieces = 0
    for bar in sorted(bars):
        if pieces < PIECES and not set(kinds).isdisjoint(bar.order):
            taken.append(bar)
            pieces += len(bar.order)
        else:
            rest.append(bar)
    return taken, rest
