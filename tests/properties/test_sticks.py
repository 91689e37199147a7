"""Sticks without holes: all of a stick is accounted for, its ends squared, its price the least."""

from __future__ import annotations

from itertools import pairwise
from math import inf

from hypothesis import given, settings
from hypothesis import strategies as st

from schemas.cut_plan import PlainPiece, PlainStock
from schemas.lengths import INCH, PER_MM
from services.cut_plan import check_plain_bound
from services.cut_plan.lower_bound import Rows, most_held
from services.cut_plan.plain import Lot, PlainCuts, plain_cuts, plain_lattice
from tests.rails_by_hand import KERF, SIXTEENTH

KEEP = 24 * INCH
TRIMS = st.sampled_from((0, INCH // 16, INCH // 4, INCH))
LENGTHS = st.integers(10 * 16, 48 * 16).map(lambda marks: marks * SIXTEENTH)
WHOLE = st.just(48 * INCH)
WANTED = st.lists(st.one_of(LENGTHS, WHOLE), min_size=1, max_size=7)


def sticks(trim: int) -> list[PlainStock]:
    """Three lengths on sale, two of which hold a whole 48 in piece, squared or as they come."""
    return [
        PlainStock(what="core", key=f"core-{size}", length=size * INCH, cents=cents,
                   trim_left=trim, trim_right=trim)
        for size, cents in ((48, 2_000), (51, 2_300), (96, 3_700))
    ]  # fmt: skip


def cut(wanted: list[int], stock: list[PlainStock]) -> PlainCuts:
    """Cores of these lengths."""
    pieces = [PlainPiece(id=f"P{n}", what="core", length=size) for n, size in enumerate(wanted)]
    return plain_cuts(pieces=pieces, stock=stock, kerf=KERF, keep=KEEP, seconds=20)


@settings(max_examples=80, deadline=None)
@given(WANTED, TRIMS)
def test_stock_is_pieces_cuts_trim_and_rest_to_the_unit(wanted: list[int], trim: int) -> None:
    """Counted from where the pieces lie, not from what the bar says is left."""
    made = cut(wanted, sticks(trim))

    for bar in made.bars:
        between = [after[1] - before[2] for before, after in pairwise(bar.pieces)]
        behind = bar.length - bar.pieces[-1][2]
        assert set(between) <= {KERF}
        assert bar.pieces[0][1] == bar.trim
        assert bar.kerf == sum(between) + min(KERF, behind)
        assert bar.left == behind - min(KERF, behind)
        assert bar.racked == (bar.left >= KEEP)
    cut_up = sum(end - start for bar in made.bars for _, start, end in bar.pieces)
    assert cut_up == sum(wanted)
    assert sum(bar.length for bar in made.bars) == cut_up + sum(
        bar.trim + bar.kerf + bar.left for bar in made.bars
    )


@settings(max_examples=80, deadline=None)
@given(WANTED, TRIMS)
def test_no_piece_keeps_an_end_as_it_came(wanted: list[int], trim: int) -> None:
    """Both ends of every stick that is sawn are squared; one that goes along whole is not sawn."""
    made = cut(wanted, sticks(trim))

    for bar in made.bars:
        first, last = bar.pieces[0][1], bar.pieces[-1][2]
        whole = len(bar.pieces) == 1 and (first, last) == (0, bar.length)
        assert whole or (first >= trim and bar.length - last >= trim)


def least_by_hand(wanted: list[int], stock: list[PlainStock]) -> float:
    """The least price by parting the pieces into sticks in every way there is."""
    if not wanted:
        return 0
    best = inf
    others = wanted[1:]
    for chosen in range(1 << len(others)):
        mine = [wanted[0], *(one for n, one in enumerate(others) if chosen >> n & 1)]
        rest = [one for n, one in enumerate(others) if not chosen >> n & 1]
        needs = sum(mine) + KERF * (len(mine) - 1)
        prices = [
            one.cents
            for one in stock
            if needs <= one.length - one.trim_left - one.trim_right
            or (len(mine) == 1 and mine[0] == one.length)
        ]
        if prices:
            best = min(best, min(prices) + least_by_hand(rest, stock))
    return best


@settings(max_examples=60, deadline=None)
@given(st.lists(st.one_of(LENGTHS, WHOLE), min_size=1, max_size=6), TRIMS)
def test_squared_sticks_cost_what_trying_every_way_costs(wanted: list[int], trim: int) -> None:
    """Brute force over all partings, whole sticks included; the bound is proven again."""
    stock = sticks(trim)

    made = cut(wanted, stock)

    assert made.cents == made.bound == least_by_hand(wanted, stock)
    for proof in made.proofs:
        assert check_plain_bound(proof, bars=made.bars, stock=stock, kerf=KERF) <= made.cents


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(300, 1900), min_size=2, max_size=16))
def test_any_lengths_in_millimetres_prove_their_bound(wanted: list[int]) -> None:
    """Lengths that share no wider step are proven by the same check as those in sixteenths."""
    stock = [PlainStock(what="core", key="core-96", length=96 * INCH, cents=3_700)]

    made = cut([size * PER_MM for size in wanted], stock)

    (proof,) = made.proofs
    proven = check_plain_bound(proof, bars=made.bars, stock=stock, kerf=KERF)
    assert 0 < proven <= made.bound <= made.cents


@settings(max_examples=40, deadline=None)
@given(st.lists(st.integers(300, 1900), min_size=13, max_size=16, unique=True))
def test_wider_steps_never_hold_less(wanted: list[int]) -> None:
    """What a stick of many lengths is said to hold at most is never under what it can hold."""
    lot = Lot(96 * INCH, 3_700)
    lattice = plain_lattice(
        wanted=dict.fromkeys(sorted((one * PER_MM for one in wanted), reverse=True), 1),
        stock=[lot], kerf=KERF,
    )  # fmt: skip
    each = [kind.holes for kind in lattice.kinds]

    (most,) = most_held(Rows(lattice), each)

    assert most >= fullest(each, lattice.sticks[0].holes)


def fullest(each: list[int], room: int) -> int:
    """The fullest a stick can be, each length as often as it likes, by a set of all sums."""
    sums, ahead = {0}, [0]
    while ahead:
        at = ahead.pop()
        for one in each:
            if at + one <= room and at + one not in sums:
                sums.add(at + one)
                ahead.append(at + one)
    return max(sums)
