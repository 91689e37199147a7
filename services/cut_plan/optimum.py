"""The plan of a lattice: first fit, with a bound."""

from __future__ import annotations
from collections.abc import Callable
from dataclasses import dataclass
from services.cut_plan.first_fit import Pattern, cost, first_fit
from services.cut_plan.lattice import Lattice
from services.cut_plan.lower_bound import Rows, certify

Tail = Callable[[Pattern], int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    bars: tuple[Pattern, ...]
    cents: int
    bound: int
    certified: int
    worth: tuple[int, ...]
    first_fit: int
    how: str


def optimum(lattice: Lattice, *, tail: Tail, seconds: float) -> Solved:
    bars = first_fit(lattice)
    best = min(s.price / s.holes for s in lattice.sticks if s.price) if lattice.sticks else 0
    worth, bound = certify(Rows(lattice), [best * kind.holes for kind in lattice.kinds])
    return Solved(
        bars=tuple(sorted(bars)),
        cents=cost(lattice, bars),
        bound=bound,
        certified=bound,
        worth=worth,
        first_fit=cost(lattice, bars),
        how="first fit, longest first",
    )
