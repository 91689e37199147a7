"""A few pieces cut by trying every subset, against the solver and against every sharing."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from schemas.cut_plan import Piece
from services.cut_plan import optimum, plan_cuts
from services.cut_plan.first_fit import cost, first_fit
from services.cut_plan.patterns import every_pattern
from services.cut_plan.reading import groups
from services.cut_plan.subsets import best_by_subsets, few_enough, one_of_each
from tests.rails_by_hand import KEEP, KERF, A, B, C, kits, offcut, some_rails


def pieces_of(seed: int, *, twice: bool) -> tuple[Piece, ...]:
    """Rails of any length, or the half of them and each once more."""
    profile = [A, B, C][seed % 3]
    dice = Random(seed)
    found = some_rails(profile, dice=dice, count=dice.randint(4, 9), sizes=range(16, 60))
    if not twice:
        return found
    return tuple(
        one.model_copy(update={"id": f"{one.id}-{n}", "bay": f"{one.bay}-{n}"})
        for one, n in product(found[: len(found) // 2 + 1], range(2))
    )


@pytest.mark.parametrize("twice", [False, True])
@pytest.mark.parametrize("seed", range(30))
def test_it_finds_the_solvers_price_bars_and_offcut(
    seed: int, monkeypatch: pytest.MonkeyPatch, *, twice: bool
) -> None:
    """Price, number of different bars and longest offcut are those that HiGHS finds."""
    stock = kits([A, B, C][seed % 3])
    pieces = pieces_of(seed, twice=twice)

    mine = plan_cuts(pieces=pieces, stock=stock, kerf=KERF, keep=KEEP)
    monkeypatch.setattr(optimum, "few_enough", lambda *_: False)
    solvers = plan_cuts(pieces=pieces, stock=stock, kerf=KERF, keep=KEEP)

    assert mine.cents == mine.bound_cents == solvers.cents
    found = []
    for plan in (mine, solvers):
        kinds = {
            (bar.stock.id, tuple(sorted(plan.piece(p.piece).length for p in bar.pieces)))
            for bar in plan.bars
        }
        longest = max((o.length for bar in plan.bars for o in bar.offcuts), default=0)
        found.append((len(kinds), longest))
    assert found[0] == found[1]


def test_pieces_alike_are_each_cut_once() -> None:
    """Three kinds, two of each: every piece lies on a bar, and none on two."""
    pieces = pieces_of(7, twice=True)
    lattice = groups(pieces=pieces, stock=kits(B), kerf=KERF)[0].lattice
    patterns = every_pattern(lattice, most=20_000)
    assert patterns is not None

    bars = best_by_subsets(lattice, patterns, [0] * len(patterns))

    held = [name for bar in bars for name in bar.order]
    assert [held.count(n) for n in range(len(lattice.kinds))] == [k.wanted for k in lattice.kinds]
    assert cost(lattice, bars) <= cost(lattice, first_fit(lattice))


def test_it_is_for_few_pieces_and_stock_without_limit() -> None:
    """Many pieces, or an offcut that is there once, are left to the solver."""
    few, many = pieces_of(3, twice=False), some_rails(A, dice=Random(1), count=20, sizes=range(60))
    rack = offcut(A, name="rack", length=KEEP, first_hole=KERF)

    answers = []
    for pieces, stock in ((few, kits(A)), (few, (*kits(A), rack)), (many, kits(A))):
        lattice = groups(pieces=pieces, stock=stock, kerf=KERF)[0].lattice
        patterns = every_pattern(lattice, most=20_000)
        assert patterns is not None
        answers.append(few_enough(lattice, patterns))

    assert answers == [True, False, False]
    assert one_of_each(groups(pieces=few, stock=kits(A), kerf=KERF)[0].lattice)
