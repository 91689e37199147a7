"""Sleeves, cores and handrail: plain stock, cut by the same method."""

from __future__ import annotations

from itertools import pairwise
from random import Random

import pytest

from schemas.cut_plan import PlainPiece, PlainStock
from schemas.errors import BrokenPlan, NoLayout
from schemas.lengths import PER_MM
from services.cut_plan import check_plain_bound
from services.cut_plan.plain import plain_cuts
from tests.rails_by_hand import KERF, SIXTEENTH, inches


def sleeves(*sizes: int) -> list[PlainPiece]:
    """Sleeves of these lengths."""
    return [
        PlainPiece(id=f"P{n} sleeve", what="sleeve", length=size) for n, size in enumerate(sizes)
    ]


def sold(*sizes: tuple[str, int]) -> list[PlainStock]:
    """Sleeve stock."""
    return [
        PlainStock(what="sleeve", key=f"sleeve-{size}", length=inches(size), cents=cents)
        for size, cents in sizes
    ]


def test_two_halves_need_one_cut_of_room() -> None:
    """Two of 23 15/16 come from 48 in with a 1/8 cut between them; two of 24 do not."""
    stock = sold(("48", 4_000))
    half = inches("383/16")

    fits = plain_cuts(pieces=sleeves(half, half), stock=stock, kerf=KERF, seconds=5).bars
    fails = plain_cuts(pieces=sleeves(*[inches("24")] * 2), stock=stock, kerf=KERF, seconds=5).bars

    assert [len(bar.pieces) for bar in fits] == [2]
    assert fits[0].left == 0
    assert [len(bar.pieces) for bar in fails] == [1, 1]


def test_whole_stock_needs_no_cut() -> None:
    """A sleeve as long as its stock leaves nothing and loses nothing."""
    bars = plain_cuts(
        pieces=sleeves(inches("48")), stock=sold(("48", 4_000)), kerf=KERF, seconds=5
    ).bars

    assert [(bar.pieces[0][1:], bar.left) for bar in bars] == [((0, inches("48")), 0)]


def test_cheaper_stock_is_taken() -> None:
    """One 39 in sleeve comes from the 40 in stock, two from a 96 in one if that is cheaper."""
    stock = sold(("96", 5_500), ("40", 3_000))

    one = plain_cuts(pieces=sleeves(inches("39")), stock=stock, kerf=KERF, seconds=5).bars
    two = plain_cuts(pieces=sleeves(*[inches("39")] * 2), stock=stock, kerf=KERF, seconds=5).bars

    assert [bar.stock for bar in one] == ["sleeve-40"]
    assert [bar.stock for bar in two] == ["sleeve-96"]


def test_too_long_a_piece_is_refused_with_the_longest_that_would_do() -> None:
    """A 49 in sleeve from 48 in stock: 1219.2 mm is the longest."""
    with pytest.raises(NoLayout, match=r"P0 sleeve .* the longest gives 1219\.2 mm"):
        plain_cuts(pieces=sleeves(inches("49")), stock=sold(("48", 4_000)), kerf=KERF, seconds=5)


def pairs_by_two_pointers(sizes: list[int], *, stock: int, kerf: int) -> int:
    """Fewest sticks when no three pieces fit one: the shortest joins the longest that takes it."""
    left = sorted(sizes)
    sticks = 0
    while left:
        longest = left.pop()
        if left and longest + kerf + left[0] <= stock:
            left.pop(0)
        sticks += 1
    return sticks


def test_pairing_is_the_fewest_sticks_there_can_be() -> None:
    """Where at most two fit a stick, pairing shortest with longest is best (derived)."""
    for seed in range(30):
        dice = Random(seed)
        sizes = [dice.randrange(20 * 16, 47 * 16) * SIXTEENTH for _ in range(dice.randint(1, 40))]

        bars = plain_cuts(
            pieces=sleeves(*sizes), stock=sold(("48", 4_000)), kerf=KERF, seconds=20
        ).bars

        assert len(bars) == pairs_by_two_pointers(sizes, stock=inches("48"), kerf=KERF)


def test_millimetres_from_inch_stock_lose_nothing() -> None:
    """Lengths that share no coarse measure with stock and kerf are still cut to the unit."""
    sizes = [(400 + 37 * n) * PER_MM for n in range(12)]

    bars = plain_cuts(pieces=sleeves(*sizes), stock=sold(("48", 4_000)), kerf=KERF, seconds=5).bars

    ends = sorted(end - start for bar in bars for _, start, end in bar.pieces)
    assert ends == sorted(sizes)
    for bar in bars:
        assert all(right[1] - left[2] == KERF for left, right in pairwise(bar.pieces))
        assert bar.pieces[-1][2] <= bar.length


def many_sleeves(*, seed: int, count: int, sizes: range) -> list[PlainPiece]:
    """Sleeves of any length on sixteenths of an inch."""
    dice = Random(seed)
    return sleeves(
        *(dice.randrange(sizes.start * 16, sizes.stop * 16) * SIXTEENTH for _ in range(count))
    )


@pytest.mark.parametrize("seed", range(12))
def test_sticks_state_their_price_and_a_bound_that_adds_up(seed: int) -> None:
    """Cost is the sticks' price, the bound is under it, and its worths prove it by addition."""
    stock = sold(("96", 5_500), ("48", 3_100), ("144", 8_900))

    made = plain_cuts(
        pieces=many_sleeves(seed=seed, count=14, sizes=range(11, 47)),
        stock=stock, kerf=KERF, seconds=20,
    )  # fmt: skip

    prices = {one.key: one.cents for one in stock}
    assert made.cents == sum(prices[bar.stock] for bar in made.bars)
    assert 0 < made.bound <= made.cents
    proven = [
        check_plain_bound(proof, bars=made.bars, stock=stock, kerf=KERF) for proof in made.proofs
    ]
    assert proven == [proof.cents for proof in made.proofs]
    assert sum(proven) <= made.bound


def test_a_worth_raised_by_hand_proves_nothing() -> None:
    """A bound is refused when a stick could hold more worth than it costs."""
    stock = sold(("48", 4_000))
    half = inches("383/16")
    made = plain_cuts(pieces=sleeves(half, half), stock=stock, kerf=KERF, seconds=5)
    proof = made.proofs[0]
    dearer = proof.model_copy(update={"worth": ((half, proof.worth[0][1] + 1),)})

    with pytest.raises(BrokenPlan, match="more worth than it costs"):
        check_plain_bound(dearer, bars=made.bars, stock=stock, kerf=KERF)


def test_sticks_cut_without_trying_every_set_still_have_a_bound() -> None:
    """Two hundred lengths that share no coarse measure: cut as they fit, bounded by length."""
    sizes = [400 * PER_MM + 41 * n for n in range(200)]
    stock = sold(("144", 8_900))

    made = plain_cuts(pieces=sleeves(*sizes), stock=stock, kerf=KERF, seconds=5)

    by_length = sum(size + KERF for size in sizes) * 8_900 / (inches("144") + KERF)
    assert by_length <= made.bound <= made.cents
    assert made.bound - by_length < 8_900


@pytest.mark.parametrize("short", [973, 1_100, 1_219])
def test_millimetres_under_a_blade_of_an_eighth_prove_their_bound(short: int) -> None:
    """Stock of so many steps is not walked along; a length wanted once may fit it twice.

    1,599 mm twice and a shorter one: 96 in hold two of the shorter, of which one is wanted. What
    a length is worth must not hang on that, or its proof fails and the whole job with it.
    """
    pieces = sleeves(1_599 * PER_MM, 1_599 * PER_MM, short * PER_MM)
    stock = sold(("96", 5_200))

    cuts = plain_cuts(pieces=pieces, stock=stock, kerf=KERF, seconds=5)

    assert cuts.cents == 3 * 5_200
    for proof in cuts.proofs:
        assert check_plain_bound(proof, bars=cuts.bars, stock=stock, kerf=KERF) <= cuts.bound
