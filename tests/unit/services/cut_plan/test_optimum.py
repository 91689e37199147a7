"""Cut plans against every way to cut, on jobs small enough to try them all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, permutations
from math import inf
from random import Random

import pytest

from schemas.cut_plan import CutPlan, Piece, StockRail
from schemas.errors import BrokenPlan, GeometryError, NoLayout
from services.cut_plan import check_plan, optimum, plan_cuts
from tests.rails_by_hand import (
    KEEP,
    KERF,
    SIXTEENTH,
    A,
    B,
    C,
    fits_by_trying,
    inches,
    kit,
    kits,
    offcut,
    piece,
    rail,
    some_rails,
)


def planned(pieces: Sequence[Piece], stock: Sequence[StockRail], *, keep: int = KEEP) -> CutPlan:
    """A plan that has stood the second look."""
    plan = plan_cuts(pieces=pieces, stock=stock, kerf=KERF, keep=keep)
    check_plan(plan, stock=stock, keep=keep)
    return plan


def ways_to_share(pieces: Sequence[Piece]) -> Iterator[list[list[Piece]]]:
    """Every way to put the pieces on bars."""
    if not pieces:
        yield []
        return
    first, rest = pieces[0], pieces[1:]
    for number in range(len(rest) + 1):
        for others in combinations(rest, number):
            left = [one for one in rest if one not in others]
            for shared in ways_to_share(left):
                yield [[first, *others], *shared]


def least_by_trying(pieces: Sequence[Piece], stock: Sequence[StockRail]) -> float:
    """The least price over every sharing, order and hole; offcuts are one of each."""
    free = [one for one in stock if one.supply is not None]
    sold = [one for one in stock if one.supply is None]

    def holds(one: StockRail, group: Sequence[Piece]) -> bool:
        return any(fits_by_trying(one, order) for order in permutations(group))

    def price(group: Sequence[Piece]) -> float:
        return min((one.cents for one in sold if holds(one, group)), default=inf)

    def cheapest(groups: list[list[Piece]], rack: list[StockRail]) -> float:
        if not groups:
            return 0
        first, rest = groups[0], groups[1:]
        best = price(first) + cheapest(rest, rack)
        for one in rack:
            if holds(one, first):
                left = [other for other in rack if other is not one]
                best = min(best, cheapest(rest, left))
        return best

    return min(cheapest(groups, free) for groups in ways_to_share(pieces))


@pytest.mark.parametrize("seed", range(24))
def test_price_is_the_least_of_every_way_to_cut(seed: int) -> None:
    """Three to five rails, kits and sometimes an offcut: no sharing, order or hole is cheaper."""
    dice = Random(seed)
    profile = [A, B, C][seed % 3]
    pieces = some_rails(profile, dice=dice, count=dice.randint(3, 5), sizes=range(20, 60))
    stock = list(kits(profile, trim=dice.choice([0, inches("1/4")])))
    if dice.random() < 0.5:
        stock.append(
            offcut(
                profile,
                name="rack",
                length=dice.randrange(30 * 16, 60 * 16) * SIXTEENTH,
                first_hole=dice.randrange(16, 70) * SIXTEENTH,
            )
        )

    plan = planned(pieces, stock)

    assert plan.cents == least_by_trying(pieces, stock)
    assert plan.bound_cents == plan.cents


def test_equal_price_takes_fewer_different_bars() -> None:
    """Four pieces that pair in two ways: the way with two bars alike is taken."""
    short, long = 8, 9
    sizes = [long, long, short, short]
    pieces = [
        piece(f"P{n}", holes=holes, left=inches(2), right=inches(2), pitch=inches(A.pitch))
        for n, holes in enumerate(sizes)
    ]

    plan = planned(pieces, [kit(A, "96", cents=14_300)])

    bars = [tuple(plan.piece(p.piece).holes for p in bar.pieces) for bar in plan.bars]
    assert plan.cents == 2 * 14_300
    assert len({tuple(sorted(bar)) for bar in bars}) == 1


def test_equal_bars_keep_the_longest_offcut() -> None:
    """Three pieces on two bars of one price: the offcuts are gathered on one bar."""
    pieces = [
        piece(f"P{n}", holes=holes, left=inches(2), right=inches(2), pitch=inches(A.pitch))
        for n, holes in enumerate([12, 6, 4])
    ]

    plan = planned(pieces, [kit(A, "96", cents=14_300)], keep=inches(20))

    longest = max(offcut.length for bar in plan.bars for offcut in bar.offcuts)
    every = [
        96 * inches(1) - sum(p.length for p in group)
        for group in ([pieces[1], pieces[2]], [pieces[2]], [pieces[1]])
    ]
    assert len(plan.bars) == 2
    assert longest > max(every) - inches(6)


def test_offcuts_go_before_kits() -> None:
    """A rail that an offcut holds costs nothing; the same offcut does not serve twice."""
    pieces = [rail(A, "P1", "36"), rail(A, "P2", "36")]
    rack = offcut(A, name="rack-7", length=inches(42), first_hole=inches(3))

    plan = planned(pieces, [*kits(A), rack])

    assert sorted(bar.stock.id for bar in plan.bars) == ["kit-72", "rack-7"]
    assert plan.cents == 11_200


def test_piece_without_stock_is_refused_with_lengths_that_would_do() -> None:
    """A 67 9/16 rail fits no 72 in kit: the refusal says what so many holes give."""
    odd = piece("A1-A2", holes=15, left=inches("73/32"), right=inches("73/32"),
                pitch=inches(A.pitch))  # fmt: skip

    with pytest.raises(NoLayout, match=r"A1-A2 of 15 holes .* 14 holes: up to .*15 holes: up to"):
        planned([odd], [kit(A, "72")])


def test_nearest_length_that_is_named_does_fit() -> None:
    """The longest that 15 holes give on a 72 in kit is 67 1/2, and it is cut."""
    longest = piece("P", holes=15, left=inches("9/4"), right=inches("9/4"), pitch=inches(A.pitch))

    plan = planned([longest], [kit(A, "72")])

    assert longest.length == inches("135/2")
    assert len(plan.bars) == 1


def test_stock_that_runs_out_is_refused() -> None:
    """Two rails and one offcut, no kits on sale: there is not enough."""
    pieces = [rail(A, "P1", "36"), rail(A, "P2", "36")]
    rack = offcut(A, name="rack-7", length=inches(42), first_hole=inches(3))

    with pytest.raises(NoLayout, match="not enough stock"):
        planned(pieces, [rack])


def test_names_must_differ() -> None:
    """Two pieces of one name cannot be told apart on the bench."""
    with pytest.raises(BrokenPlan, match="one name for two things to cut: P1"):
        planned([rail(A, "P1", "36"), rail(A, "P1", "40")], kits(A))


def test_stock_of_one_kind_has_one_pitch() -> None:
    """Stock whose holes stand at two pitches is not one system."""
    with pytest.raises(GeometryError, match="several pitches"):
        planned([rail(A, "P1", "36")], [kit(A, "72"), kit(C, "96")])


def test_no_pieces_make_an_empty_plan() -> None:
    """Nothing to cut costs nothing, and that is proven."""
    plan = planned([], kits(A))

    assert (plan.cents, plan.bound_cents, plan.bars) == (0, 0, ())
    assert plan.gap == 0


def test_colours_and_orientations_are_cut_apart() -> None:
    """Each bar holds one colour and orientation, and each such group has its own proof."""
    level = some_rails(A, dice=Random(3), count=6, sizes=range(24, 50))
    black = [one.model_copy(update={"id": f"{one.id} b", "colour": "black"}) for one in level]
    stair = [one.model_copy(update={"id": f"{one.id} s", "orientation": "stair"}) for one in level]
    sold = kits(A)
    stock = [
        *sold,
        *(one.model_copy(update={"colour": "black"}) for one in sold),
        *(one.model_copy(update={"orientation": "stair"}) for one in sold),
    ]

    plan = planned([*level, *black, *stair], stock)

    assert {(proof.orientation, proof.colour) for proof in plan.proofs} == {
        ("level", "white"), ("level", "black"), ("stair", "white"),
    }  # fmt: skip
    assert plan.cents == sum(planned(group, stock).cents for group in (level, black, stair))


def test_generated_patterns_agree_with_all_patterns(monkeypatch: pytest.MonkeyPatch) -> None:
    """Jobs solved as if they were nights cost no less than proven, and rarely more."""
    more = 0
    for seed in range(30):
        dice = Random(seed)
        profile = [A, B, C][seed % 3]
        pieces = some_rails(profile, dice=dice, count=14, sizes=range(20, 60))
        proven = planned(pieces, kits(profile))
        with monkeypatch.context() as patch:
            patch.setattr(optimum, "MOST_KINDS", 0)
            night = planned(pieces, kits(profile))

        assert night.bound_cents <= proven.cents <= night.cents <= night.first_fit_cents
        more += night.cents > proven.cents

    assert more <= 6


def test_time_that_runs_out_leaves_an_honest_plan() -> None:
    """With no time at all the plan can still be cut, and its bound still holds."""
    pieces = some_rails(C, dice=Random(5), count=30, sizes=range(18, 48))
    stock = kits(C)

    hasty = plan_cuts(pieces=pieces, stock=stock, kerf=KERF, keep=KEEP, seconds=0)
    best = planned(pieces, stock)

    check_plan(hasty, stock=stock, keep=KEEP)
    assert hasty.bound_cents <= best.cents <= hasty.cents <= hasty.first_fit_cents
