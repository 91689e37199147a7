"""Two hundred random cut plans against another model of the same question, solved elsewhere.

The other model knows no patterns and no count of holes: it lets pieces follow one another along
each stock by their raw positions, as a flow, and asks SciPy for the least price.

Source:
    J. M. Valerio de Carvalho, Exact solution of bin-packing problems using column generation
    and branch-and-bound, Annals of Operations Research 86 (1999): the arc-flow model.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from importlib import import_module
from random import Random
from typing import Any

import numpy as np
import pytest

from schemas.cut_plan import Piece, StockRail
from services.cut_plan import plan_cuts
from tests.rails_by_hand import KEEP, KERF, SIXTEENTH, A, B, C, inches, kits, offcut, some_rails

OPTIMIZE: Any = import_module("scipy.optimize")
SPARSE: Any = import_module("scipy.sparse")
"""SciPy comes without types."""
START = -1


def least_by_flow(pieces: Sequence[Piece], stock: Sequence[StockRail]) -> int:
    """The least price: one unit of flow is one stock, its path the pieces from left to right."""
    costs: list[float] = []
    limits: list[float] = []
    rows: dict[object, dict[int, float]] = defaultdict(dict)
    kinds = sorted({(p.holes, p.margin_left, p.margin_right) for p in pieces})
    wanted = [
        sum((p.holes, p.margin_left, p.margin_right) == kind for p in pieces) for kind in kinds
    ]
    for number, one in enumerate(stock):
        source = len(costs)
        costs.append(one.cents)
        limits.append(len(pieces) if one.supply is None else one.supply)
        rows[number, START][source] = 1
        ends, seen = [START], {START}
        while ends:
            end = ends.pop()
            for at, kind in enumerate(kinds):
                finish = _finish(one, end, kind)
                if finish is None:
                    continue
                column = len(costs)
                costs.append(0)
                limits.append(len(pieces))
                rows[number, end][column] = -1
                rows[number, finish][column] = 1
                rows["kind", at][column] = 1
                if finish not in seen:
                    seen.add(finish)
                    ends.append(finish)
    return _solve(costs, limits, rows, wanted)


def _finish(stock: StockRail, end: int, kind: tuple[int, int, int]) -> int | None:
    """Where the piece ends if it lies as far left as it can behind that end; none: no room."""
    holes, left, right = kind
    least = stock.trim_left if end == START else end + KERF
    for first in range(stock.holes - holes + 1):
        at = stock.first_hole + first * stock.pitch
        if at - left >= least:
            finish = at + (holes - 1) * stock.pitch + right
            return finish if finish <= stock.length - stock.trim_right else None
    return None


def _solve(
    costs: list[float],
    limits: list[float],
    rows: dict[object, dict[int, float]],
    wanted: list[int],
) -> int:
    """No more flow leaves a place than reaches it; every kind is cut as often as wanted."""
    row, column, value, low = [], [], [], []
    for number, (name, terms) in enumerate(rows.items()):
        is_kind = isinstance(name, tuple) and name[0] == "kind"
        low.append(float(wanted[name[1]]) if is_kind and isinstance(name, tuple) else 0.0)
        for at, one in terms.items():
            row.append(number)
            column.append(at)
            value.append(one)
    matrix = SPARSE.csr_array((value, (row, column)), shape=(len(rows), len(costs)))
    answer = OPTIMIZE.milp(
        np.array(costs),
        integrality=np.ones(len(costs)),
        bounds=OPTIMIZE.Bounds(0, np.array(limits)),
        constraints=OPTIMIZE.LinearConstraint(matrix, np.array(low), np.inf),
        options={"mip_rel_gap": 0},
    )
    assert answer.success, answer.message
    return int(answer.fun + 0.5)


@pytest.mark.parametrize("seed", range(200))
def test_price_is_that_of_the_flow_model(seed: int) -> None:
    """Four to twelve rails, kits with or without trims, up to two offcuts: one least price."""
    dice = Random(seed)
    profile = [A, B, C][seed % 3]
    low = dice.choice([18, 24, 30])
    pieces = some_rails(
        profile, dice=dice, count=dice.randint(4, 12), sizes=range(low, low + dice.choice([12, 36]))
    )
    rack = [
        offcut(
            profile,
            name=f"rack-{number}",
            length=dice.randrange(26 * 16, 90 * 16) * SIXTEENTH,
            first_hole=dice.randrange(0, 72) * SIXTEENTH,
        )
        for number in range(dice.randint(0, 2))
    ]
    stock = [*kits(profile, trim=dice.choice([0, inches("1/4")])), *rack]

    plan = plan_cuts(pieces=pieces, stock=stock, kerf=KERF, keep=KEEP)

    assert plan.cents == plan.bound_cents == least_by_flow(pieces, stock)
