"""The choice among patterns, as a programme that HiGHS solves.

Least price so that every piece is cut at least once for each that is wanted, with no more
of any stock than there is. One thread and a fixed seed: the same question
gets the same answer. The status of every run is looked at; a run that ended
without one counts as no answer.

Source:
    Gilmore and Gomory 1961, 1963: the cutting-stock problem by patterns.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, gcd, inf

import highspy
import numpy as np

from schemas.errors import NotNow
from services.cut_plan.first_fit import Pattern
from services.cut_plan.lattice import Lattice

CLEAR = 1e-6
"""Solver values nearer than this to a whole number are that number."""
NODES_A_SECOND = 50
"""Branches tried for each second allowed: few enough that they, and not a busy machine's clock,
mostly end a long search; so the same question gets the same answer."""
LIMITS = (highspy.HighsModelStatus.kTimeLimit, highspy.HighsModelStatus.kSolutionLimit)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A condition: low <= sum of value * column <= high."""

    low: float
    high: float
    terms: tuple[tuple[int, float], ...]
    """Column and value."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the solver found."""

    counts: tuple[int, ...]
    """Whole value of each column."""
    bound: int
    """Proven least objective."""
    proven: bool
    """No better answer exists."""


class Quiet(highspy.Highs):
    """A solver that prints nothing, on one thread, from a fixed seed."""

    def __init__(self) -> None:
        """Start it."""
        super().__init__()  # type: ignore[no-untyped-call]  # no types come with it

    def enableCallbacks(self) -> None:  # noqa: N802 the solver's own name
        """Nobody listens; silence comes before the first call that would print a banner."""
        for option, value in (("output_flag", False), ("threads", 1), ("random_seed", 0)):
            self.setOptionValue(option, value)


def version() -> str:
    """Name and version of the solver, as it stands in a plan."""
    return f"HiGHS {Quiet().version()}"


def rows_for(lattice: Lattice, patterns: Sequence[Pattern], *, exactly: bool = False) -> list[Row]:
    """One row a kind, one for each stock of limited supply."""
    of_kind: list[list[tuple[int, float]]] = [[] for _ in lattice.kinds]
    of_stick: list[list[tuple[int, float]]] = [[] for _ in lattice.sticks]
    for column, pattern in enumerate(patterns):
        for kind, number in Counter(pattern.order).items():
            of_kind[kind].append((column, number))
        of_stick[pattern.stick].append((column, 1.0))
    demand = [
        Row(low=kind.wanted, high=kind.wanted if exactly else inf, terms=tuple(terms))
        for kind, terms in zip(lattice.kinds, of_kind, strict=True)
    ]
    supply = [
        Row(low=0, high=stick.supply, terms=tuple(terms))
        for stick, terms in zip(lattice.sticks, of_stick, strict=True)
        if stick.supply is not None
    ]
    return [*demand, *supply]


def _load(
    solver: highspy.Highs,
    *,
    costs: Sequence[float],
    most: Sequence[float],
    rows: Sequence[Row],
    whole: bool,
) -> None:
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(costs), len(rows)
    model.col_cost_ = np.array(costs, dtype=np.float64)
    model.col_lower_ = np.zeros(len(costs))
    model.col_upper_ = np.array(most, dtype=np.float64)
    model.row_lower_ = np.array([row.low for row in rows], dtype=np.float64)
    model.row_upper_ = np.array([row.high for row in rows], dtype=np.float64)
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.cumsum([0, *(len(row.terms) for row in rows)], dtype=np.int32)
    model.a_matrix_.index_ = np.array([c for r in rows for c, _ in r.terms], dtype=np.int32)
    model.a_matrix_.value_ = np.array([v for r in rows for _, v in r.terms], dtype=np.float64)
    if whole:
        model.integrality_ = [highspy.HighsVarType.kInteger] * len(costs)
    solver.passModel(model)


def solve_whole(
    *,
    costs: Sequence[int],
    most: Sequence[float],
    rows: Sequence[Row],
    seconds: float,
) -> Answer | None:
    """Least cost in whole numbers.

    The solver is given no answer to begin with: where two columns are alike it may then report a
    cost that its own answer does not have. An answer is only taken when its cost, added up
    again, is the one that was reported.

    Args:
        costs: Whole cost of each column.
        most: Upper limit of each column; it may be infinite.
        rows: Conditions.
        seconds: Time limit. [s]

    Returns:
        The best answer found; None if none was found in time or there is none.
    """
    if seconds <= 0:
        return None
    step = gcd(*costs) or 1
    solver = Quiet()
    for option, value in (
        ("time_limit", seconds), ("mip_max_nodes", max(1, int(NODES_A_SECOND * seconds))),
        ("mip_rel_gap", 0.0), ("mip_abs_gap", 1 - CLEAR),
    ):  # fmt: skip
        solver.setOptionValue(option, value)
    _load(solver, costs=[cost // step for cost in costs], most=most, rows=rows, whole=True)
    solver.run()
    status, info = solver.getModelStatus(), solver.getInfo()
    proven = status == highspy.HighsModelStatus.kOptimal
    if not proven and (
        status not in LIMITS
        or info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible
    ):
        return None
    counts = tuple(round(value) for value in solver.getSolution().col_value)
    cost = sum(one * count for one, count in zip(costs, counts, strict=True))
    if abs(cost - step * info.objective_function_value) > step / 2:
        return None
    under = info.mip_dual_bound
    bound = cost if proven else max(0, ceil(under - CLEAR) * step) if under > -inf else 0
    return Answer(counts=counts, bound=min(bound, cost), proven=proven)


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """What the linear programme says a piece is worth."""

    kinds: tuple[float, ...]
    """Price of one more of each kind. [cents]"""
    sticks: tuple[float, ...]
    """What one more of a limited stock would save; 0 for the others. [cents]"""
    cents: float
    """Cost of the linear programme."""
    taken: tuple[float, ...]
    """How often each pattern is cut, in fractions."""


class Linear:
    """The linear programme over a growing set of patterns."""

    def __init__(self, lattice: Lattice, patterns: Sequence[Pattern]) -> None:
        """Start from patterns that together hold every kind."""
        self.lattice = lattice
        self.limited = [n for n, stick in enumerate(lattice.sticks) if stick.supply is not None]
        self.solver = Quiet()
        _load(
            self.solver,
            costs=[lattice.sticks[pattern.stick].price for pattern in patterns],
            most=[inf] * len(patterns),
            rows=rows_for(lattice, patterns),
            whole=False,
        )

    def add(self, patterns: Sequence[Pattern]) -> None:
        """Let more patterns take part."""
        rows: list[int] = []
        values: list[float] = []
        starts: list[int] = []
        for pattern in patterns:
            starts.append(len(rows))
            for kind, number in sorted(Counter(pattern.order).items()):
                rows.append(kind)
                values.append(number)
            if pattern.stick in self.limited:
                rows.append(len(self.lattice.kinds) + self.limited.index(pattern.stick))
                values.append(1)
        self.solver.addCols(
            len(patterns),
            np.array([self.lattice.sticks[p.stick].price for p in patterns], dtype=np.float64),
            np.zeros(len(patterns)),
            np.full(len(patterns), inf),
            len(rows),
            np.array(starts, dtype=np.int32),
            np.array(rows, dtype=np.int32),
            np.array(values, dtype=np.float64),
        )

    def solve(self, *, seconds: float = inf) -> Prices | None:
        """Solve it, from where the last run ended.

        Args:
            seconds: Time limit. [s]

        Returns:
            Its prices; None if the time was too short.

        Raises:
            NotNow: The solver gave no optimal answer, which these programmes always have.
        """
        if seconds <= 0:
            return None
        self.solver.setOptionValue("time_limit", self.solver.getRunTime() + seconds)
        self.solver.run()
        status = self.solver.getModelStatus()
        if status == highspy.HighsModelStatus.kTimeLimit:
            return None
        if status != highspy.HighsModelStatus.kOptimal:
            msg = f"the linear programme ended as {self.solver.modelStatusToString(status)}"
            raise NotNow(msg)
        solution = self.solver.getSolution()
        kinds = len(self.lattice.kinds)
        sticks = [0.0] * len(self.lattice.sticks)
        for at, number in enumerate(self.limited):
            sticks[number] = max(0.0, -solution.row_dual[kinds + at])
        return Prices(
            kinds=tuple(max(0.0, price) for price in solution.row_dual[:kinds]),
            sticks=tuple(sticks),
            cents=self.solver.getInfo().objective_function_value,
            taken=tuple(solution.col_value),
        )
