"""Sleeves, cores and handrail: plain stock, cut by the same method."""

from __future__ import annotations

from itertools import pairwise
from random import Random

import pytest

from schemas.cut_plan import PlainPiece, PlainStock
from schemas.errors import NoLayout
from schemas.lengths import PER_MM
from services.cut_plan.plain import plain_bars
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

    fits = plain_bars(pieces=sleeves(half, half), stock=stock, kerf=KERF, seconds=5)
    fails = plain_bars(pieces=sleeves(*[inches("24")] * 2), stock=stock, kerf=KERF, seconds=5)

    assert [len(bar.pieces) for bar in fits] == [2]
    assert fits[0].left == 0
    assert [len(bar.pieces) for bar in fails] == [1, 1]


def test_whole_stock_needs_no_cut() -> None:
    """A sleeve as long as its stock leaves nothing and loses nothing."""
    bars = plain_bars(pieces=sleeves(inches("48")), stock=sold(("48", 4_000)), kerf=KERF, seconds=5)

    assert [(bar.pieces[0][1:], bar.left) for bar in bars] == [((0, inches("48")), 0)]


def test_cheaper_stock_is_taken() -> None:
    """One 39 in sleeve comes from the 40 in stock, two from a 96 in one if that is cheaper."""
    stock = sold(("96", 5_500), ("40", 3_000))

    one = plain_bars(pieces=sleeves(inches("39")), stock=stock, kerf=KERF, seconds=5)
    two = plain_bars(pieces=sleeves(*[inches("39")] * 2), stock=stock, kerf=KERF, seconds=5)

    assert [bar.stock for bar in one] == ["sleeve-40"]
    assert [bar.stock for bar in two] == ["sleeve-96"]


def test_too_long_a_piece_is_refused_with_the_longest_that_would_do() -> None:
    """A 49 in sleeve from 48 in stock: 1219.2 mm is the longest."""
    with pytest.raises(NoLayout, match=r"P0 sleeve .* the longest gives 1219\.2 mm"):
        plain_bars(pieces=sleeves(inches("49")), stock=sold(("48", 4_000)), kerf=KERF, seconds=5)


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

        bars = plain_bars(pieces=sleeves(*sizes), stock=sold(("48", 4_000)), kerf=KERF, seconds=20)

        assert len(bars) == pairs_by_two_pointers(sizes, stock=inches("48"), kerf=KERF)


def test_millimetres_from_inch_stock_lose_nothing() -> None:
    """Lengths that share no coarse measure with stock and kerf are still cut to the unit."""
    sizes = [(400 + 37 * n) * PER_MM for n in range(12)]

    bars = plain_bars(pieces=sleeves(*sizes), stock=sold(("48", 4_000)), kerf=KERF, seconds=5)

    ends = sorted(end - start for bar in bars for _, start, end in bar.pieces)
    assert ends == sorted(sizes)
    for bar in bars:
        assert all(right[1] - left[2] == KERF for left, right in pairwise(bar.pieces))
        assert bar.pieces[-1][2] <= bar.length
