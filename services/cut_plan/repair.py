"""Bettering a night's plan a few bars at a time.

The bars that cost most over the worth of their pieces are taken apart together with some
others, and their pieces are cut anew as if they were a small job.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from services.cut_plan.choice import choose, excess
from services.cut_plan.first_fit import Pattern, cost
from services.cut_plan.lattice import Kind, Lattice, Stick
from services.cut_plan.lower_bound import SCALE, Worth
from services.cut_plan.patterns import Held, every_pattern
from services.cut_plan.stopwatch import Stopwatch

TRIES_A_SECOND = 3
"""Small jobs tried for each second that the solver is allowed."""
IDLE = 20
"""Stop after so many that brought nothing."""
PIECES = 30
"""Pieces in each of them."""
SECONDS = 2.0
"""Time for each of them; most need a tenth. [s]"""
MOST_PATTERNS = 20_000
"""Small jobs with more patterns are left alone."""


def repair(
    lattice: Lattice, bars: list[Pattern], *, worth: Worth, seconds: float, watch: Stopwatch
) -> list[Pattern]:
    """Take bars apart and cut them anew until the bound is met or the tries are used up.

    Args:
        lattice: Pieces and stock.
        bars: A plan.
        worth: Of each kind, with the bound that it proves.
        seconds: Time that the solver was allowed; it sets the number of tries. [s]
        watch: When it is up, the plan is left as it is.
    """
    idle = 0
    tries = int(TRIES_A_SECOND * seconds)
    for turn in range(tries):
        if cost(lattice, bars) <= worth.cents or idle == IDLE or watch.up():
            break
        ranked = sorted(bars, key=lambda one: (-excess(lattice, one, worth), one))
        taken, rest = _take(ranked, turn, tries)
        anew = _anew(lattice, taken, rest, worth=worth, watch=watch)
        better = anew is not None and cost(lattice, anew) < cost(lattice, taken)
        idle = 0 if better else idle + 1
        if anew is not None:
            bars = [*rest, *anew]
        if not rest:
            break
    return bars


def _take(ranked: list[Pattern], turn: int, tries: int) -> tuple[list[Pattern], list[Pattern]]:
    """Half the pieces from the worst bars, half from a stretch that moves on every turn."""
    step = max(1, len(ranked) // tries)
    begin = turn % 3
    order = [*range(begin, len(ranked)), *range(begin)]
    at = (turn * step * 7) % len(ranked)
    chosen: list[int] = []
    pieces = 0
    for number in order:
        if pieces >= PIECES // 2:
            break
        chosen.append(number)
        pieces += len(ranked[number].order)
    for offset in range(len(ranked)):
        number = (at + offset) % len(ranked)
        if pieces >= PIECES:
            break
        if number not in chosen:
            chosen.append(number)
            pieces += len(ranked[number].order)
    marked = set(chosen)
    rest = [bar for number, bar in enumerate(ranked) if number not in marked]
    return [ranked[number] for number in chosen], rest


def _anew(
    lattice: Lattice,
    taken: list[Pattern],
    rest: list[Pattern],
    *,
    worth: Worth,
    watch: Stopwatch,
) -> list[Pattern] | None:
    """A cheaper way to cut the same pieces, or another of the same price; None for neither."""
    small = small_job(lattice, taken, rest, worth=worth, watch=watch)
    if small is None or not small.patterns:
        return None
    found = choose(small.lattice, small.patterns, seconds=min(SECONDS, watch.left()))
    if found is None:
        return None
    bars = [small.back(bar) for bar in found.bars]
    return bars if cost(lattice, bars) <= cost(lattice, taken) else None


@dataclass(frozen=True, slots=True, kw_only=True)
class SmallJob:
    """Some bars of a night as a job of their own."""

    lattice: Lattice
    patterns: list[Pattern]
    """All that a plan no dearer than those bars may hold."""
    names: list[int]
    """The night's name of each of its kinds."""

    def back(self, pattern: Pattern) -> Pattern:
        """A pattern of it as one of the night's."""
        return Pattern(pattern.stick, tuple(self.names[name] for name in pattern.order))


def small_job(
    lattice: Lattice,
    taken: list[Pattern],
    rest: list[Pattern],
    *,
    worth: Worth,
    watch: Stopwatch,
) -> SmallJob | None:
    """Bars of a night as a job of their own; none if their sets are too many for us or the time.

    Args:
        lattice: The night.
        taken: The bars.
        rest: All other bars; stock of which there are few may be used up there.
        worth: Of each kind.
        watch: For how long.
    """
    names = sorted({name for bar in taken for name in bar.order})
    small = _small(lattice, names, taken, rest)
    room = sum(excess(lattice, bar, worth) for bar in taken)
    each = [worth.each[name] for name in names]
    hopeful = _hopeful(small, each, worth.over, room)
    patterns = every_pattern(small, most=MOST_PATTERNS, hopeful=hopeful, stop=watch.up)
    if patterns is None:
        return None
    job = SmallJob(lattice=small, patterns=patterns, names=names)
    kept = [one for one in patterns if excess(lattice, job.back(one), worth) <= room]
    return SmallJob(lattice=small, patterns=kept, names=names)


def _small(
    lattice: Lattice, names: list[int], taken: list[Pattern], rest: list[Pattern]
) -> Lattice:
    """Only the pieces taken, and the stock that is not used elsewhere."""
    wanted = Counter(name for bar in taken for name in bar.order)
    used = Counter(bar.stick for bar in rest)
    return Lattice(
        kinds=tuple(
            Kind(
                holes=lattice.kinds[name].holes,
                left=lattice.kinds[name].left,
                right=lattice.kinds[name].right,
                wanted=wanted[name],
            )
            for name in names
        ),
        sticks=tuple(
            Stick(
                holes=stick.holes,
                first=stick.first,
                last=stick.last,
                price=stick.price,
                supply=None if stick.supply is None else stick.supply - used[number],
            )
            for number, stick in enumerate(lattice.sticks)
        ),
        joint=lattice.joint,
    )


def _hopeful(
    small: Lattice, each: Sequence[int], over: Sequence[int], room: int
) -> Callable[[Held], bool]:
    """Whether a set can be filled up to a pattern whose excess is within the room.

    What may still be added is the best worth for the holes that are left, as if joints took
    none; so no pattern within the room is lost.
    """
    longest = max(stick.holes for stick in small.sticks)
    fill = [0] * (longest + 1)
    for holes in range(1, longest + 1):
        fill[holes] = max(
            (
                fill[holes - kind.holes] + worth
                for kind, worth in zip(small.kinds, each, strict=True)
                if kind.holes <= holes
            ),
            default=0,
        )
    need = [
        (stick.holes, stick.price * SCALE + more - room)
        for stick, more in zip(small.sticks, over, strict=True)
        if stick.supply != 0
    ]

    def hopeful(held: Held) -> bool:
        holes = sum(small.kinds[name].holes for name in held)
        worth = sum(each[name] for name in held)
        return any(
            holes <= longest and worth + fill[longest - holes] >= least for longest, least in need
        )

    return hopeful
