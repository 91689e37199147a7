"""A night's plan made tidier at its price: fewer different bars, then a longer offcut."""

from __future__ import annotations

from random import Random

import pytest

from schemas.cut_plan import Piece
from services.cut_plan import check_plan, optimum, plan_cuts
from services.cut_plan.columns import generate
from services.cut_plan.first_fit import Pattern, cost, first_fit
from services.cut_plan.lattice import Lattice
from services.cut_plan.lower_bound import Rows, Worth, most_held, worth_of
from services.cut_plan.reading import groups
from services.cut_plan.stopwatch import Stopwatch
from services.cut_plan.tidy import tidy
from tests.rails_by_hand import KEEP, KERF, A, B, inches, kit, kits, piece, some_rails


def lattice_of(pieces: tuple[Piece, ...]) -> Lattice:
    """Pieces of system A and its kits, as a lattice."""
    return groups(pieces=pieces, stock=kits(A), kerf=KERF)[0].lattice


def worth(lattice: Lattice, bars: list[Pattern]) -> Worth:
    """What the pieces are worth."""
    grown = generate(lattice, bars, watch=Stopwatch(60))
    assert grown is not None
    return worth_of(lattice, grown.prices, lambda each: most_held(Rows(lattice), each))


def different(bars: list[Pattern]) -> int:
    """How many different bars."""
    return len({(bar.stick, tuple(sorted(bar.order))) for bar in bars})


def test_pairs_that_are_crossed_are_put_right() -> None:
    """Two long and two short on bars of four kinds: two kinds of bar will do."""
    pieces = tuple(
        piece(f"P{n}", holes=holes, left=inches(2), right=inches(2), pitch=inches(A.pitch))
        for n, holes in enumerate((10, 10, 9, 9, 8, 8, 7, 7))
    )
    stock = (kit(A, "96", cents=14_300),)
    lattice = groups(pieces=pieces, stock=stock, kerf=KERF)[0].lattice
    crossed = [Pattern(0, (0, 2)), Pattern(0, (0, 3)), Pattern(0, (1, 2)), Pattern(0, (1, 3))]

    tidied = tidy(
        lattice,
        crossed,
        worth=worth(lattice, crossed),
        tail=lambda _: 0,
        seconds=20,
        watch=Stopwatch(60),
    )

    assert (different(crossed), different(tidied)) == (4, 2)
    assert cost(lattice, tidied) == cost(lattice, crossed)


@pytest.mark.parametrize("seed", range(6))
def test_no_piece_is_lost_and_no_cent_added(seed: int) -> None:
    """Whatever the plan: the same pieces, the same price, never more different bars."""
    half = some_rails(A, dice=Random(seed), count=20, sizes=range(20, 50))
    twice = tuple(one.model_copy(update={"id": f"{one.id} again"}) for one in half)
    lattice = lattice_of((*half, *twice))
    before = first_fit(lattice)

    after = tidy(
        lattice,
        before,
        worth=worth(lattice, before),
        tail=lambda _: 0,
        seconds=10,
        watch=Stopwatch(60),
    )

    assert sorted(n for b in after for n in b.order) == sorted(n for b in before for n in b.order)
    assert cost(lattice, after) <= cost(lattice, before)
    assert different(after) <= different(before)


def test_a_night_breaks_its_ties_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """Seen as a night, a day's rails are cut at the same price on no more different bars."""
    half = some_rails(B, dice=Random(5), count=40, sizes=range(20, 60))
    pieces = (*half, *(one.model_copy(update={"id": f"{one.id} again"}) for one in half))
    monkeypatch.setattr(optimum, "MOST_KINDS", 10)

    plan = plan_cuts(pieces=pieces, stock=kits(B), kerf=KERF, keep=KEEP)
    monkeypatch.setattr(optimum, "tidy", lambda _, bars, **__: bars)
    untidy = plan_cuts(pieces=pieces, stock=kits(B), kerf=KERF, keep=KEEP)

    check_plan(plan, stock=kits(B), keep=KEEP)
    kinds = [
        {
            (bar.stock.id, tuple(sorted(one.piece(p.piece).length for p in bar.pieces)))
            for bar in one.bars
        }
        for one in (plan, untidy)
    ]
    assert plan.cents == untidy.cents
    assert len(kinds[0]) < len(kinds[1])
