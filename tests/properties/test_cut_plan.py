"""What holds for every cut plan, whatever the pieces and the stock."""

from __future__ import annotations

from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from schemas.cut_plan import CutPlan, Piece, StockRail
from schemas.lengths import INCH
from services.cut_plan import check_bound, check_plan, left_for_rack, plan_cuts
from services.cut_plan.pieces import reach
from tests.rails_by_hand import (
    KEEP,
    KERF,
    SIXTEENTH,
    A,
    B,
    C,
    Profile,
    inches,
    kits,
    lengths,
    offcut,
    piece,
    some_rails,
)

jobs = st.builds(
    lambda profile, seed, count, low, trim: (
        profile,
        some_rails(profile, dice=Random(seed), count=count, sizes=range(low, low + 40)),
        kits(profile, trim=trim),
    ),
    st.sampled_from([A, B, C]),
    st.integers(0, 10**6),
    st.integers(1, 12),
    st.integers(18, 28),
    st.sampled_from([0, inches("1/4")]),
)
"""A profile, up to twelve rails, its kits."""

Drawn = tuple[Profile, tuple[Piece, ...], tuple[StockRail, ...]]


def rack_of(profile: Profile, seed: int) -> tuple[StockRail, ...]:
    """Up to three offcuts of any phase."""
    dice = Random(seed)
    return tuple(
        offcut(
            profile,
            name=f"rack-{number}",
            length=dice.randrange(26 * 16, 90 * 16) * SIXTEENTH,
            first_hole=dice.randrange(0, 72) * SIXTEENTH,
            supply=dice.randint(1, 2),
        )
        for number in range(dice.randint(0, 3))
    )


def cut(pieces: tuple[Piece, ...], stock: tuple[StockRail, ...], *, kerf: int = KERF) -> CutPlan:
    """The plan, looked at a second time."""
    plan = plan_cuts(pieces=pieces, stock=stock, kerf=kerf, keep=KEEP)
    check_plan(plan, stock=stock, keep=KEEP)
    return plan


@settings(max_examples=60, deadline=None)
@given(jobs, st.integers(0, 10**6))
def test_every_plan_stands_the_second_look(drawn: Drawn, seed: int) -> None:
    """Every hole where the factory made it, room for every cut, nothing lost, the bound proven."""
    profile, pieces, sold = drawn
    stock = (*sold, *rack_of(profile, seed))

    plan = cut(pieces, stock)

    proven = [check_bound(one, pieces=pieces, stock=stock, kerf=KERF) for one in plan.proofs]
    taken = sum(bar.stock.length for bar in plan.bars)
    kept = sum(one.length for bar in plan.bars for one in bar.offcuts)
    assert taken == lengths(pieces) + kept + sum(bar.waste for bar in plan.bars)
    assert sum(proven) <= plan.bound_cents == plan.cents <= plan.first_fit_cents


@settings(max_examples=30, deadline=None)
@given(jobs, st.randoms(use_true_random=False))
def test_order_of_pieces_and_stock_plays_no_part(drawn: Drawn, dice: Random) -> None:
    """Shuffled pieces and stock give the very same plan."""
    _, pieces, sold = drawn
    shuffled, turned = list(pieces), list(sold)
    dice.shuffle(shuffled)
    dice.shuffle(turned)

    assert cut(tuple(shuffled), tuple(turned)) == cut(pieces, sold)


@settings(max_examples=30, deadline=None)
@given(jobs, st.integers(0, 10**6))
def test_more_stock_and_fewer_pieces_never_cost_more(drawn: Drawn, seed: int) -> None:
    """An offcut more, or a bay less, and the price stays or falls."""
    profile, pieces, sold = drawn
    cents = cut(pieces, sold).cents

    assert cut(pieces, (*sold, *rack_of(profile, seed))).cents <= cents
    assert cut(pieces[1:], sold).cents <= cents


@settings(max_examples=20, deadline=None)
@given(jobs, st.integers(1, 11))
def test_cutting_together_never_costs_more_than_apart(drawn: Drawn, at: int) -> None:
    """Two jobs cut as one cost no more than each by itself."""
    _, pieces, sold = drawn

    together = cut(pieces, sold).cents

    assert together <= cut(pieces[:at], sold).cents + cut(pieces[at:], sold).cents


@settings(max_examples=20, deadline=None)
@given(jobs)
def test_twice_the_size_is_the_same_plan(drawn: Drawn) -> None:
    """Doubling every length changes no hole, no bar and no price."""
    _, pieces, sold = drawn
    big_pieces = tuple(
        one.model_copy(
            update={
                name: 2 * getattr(one, name) for name in ("length", "margin_left", "margin_right")
            }
        )
        for one in pieces
    )
    names = ("length", "first_hole", "pitch", "trim_left", "trim_right")
    big_stock = tuple(
        one.model_copy(update={name: 2 * getattr(one, name) for name in names}) for one in sold
    )

    small = cut(pieces, sold)
    big = plan_cuts(pieces=big_pieces, stock=big_stock, kerf=2 * KERF, keep=2 * KEEP)

    assert [[(p.piece, p.first_hole) for p in bar.pieces] for bar in small.bars] == [
        [(p.piece, p.first_hole) for p in bar.pieces] for bar in big.bars
    ]
    assert small.cents == big.cents


@settings(max_examples=40, deadline=None)
@given(jobs, st.integers(0, 10**6), st.sampled_from(["mitre", "plumb", "two lengths"]))
def test_angled_and_unequal_rails_stand_the_second_look(drawn: Drawn, seed: int, how: str) -> None:
    """Mitres, plumb cuts of two slopes and bays out of plumb: long points clear, nothing lost."""
    profile, pieces, _ = drawn
    dice = Random(seed)
    made = [part for one in pieces for part in _changed(one, how, dice, inches(profile.pitch))]
    stock = tuple(
        one.model_copy(update={"orientation": made[0].orientation, "length": one.length + length,
                               "holes": one.holes + length // one.pitch})
        for one in kits(profile)
        for length in [2 * inches(profile.pitch)]
    )  # fmt: skip

    plan = cut(tuple(made), stock)

    for rail in ("top", "bottom"):
        mine = [one for one in made if one.rails in ("pair", rail)]
        waste = [
            bar.waste if rail == "top" or bar.waste_bottom is None else bar.waste_bottom
            for bar in plan.bars
        ]
        kept = sum(one.length for bar in plan.bars for one in bar.offcuts)
        assert lengths(mine) + sum(waste) + kept == sum(bar.stock.length for bar in plan.bars)


def _changed(one: Piece, how: str, dice: Random, pitch: int) -> list[Piece]:
    """The rail with angled ends, or as a top and a bottom rail of two lengths."""
    holes, left, right = one.holes, one.margin_left, one.margin_right
    if how == "two lengths":
        by = dice.randint(0, 4) * SIXTEENTH
        return [
            piece(f"{one.id} top", holes=holes, left=left, right=right, pitch=pitch, rails="top",
                  bay=one.id),
            piece(f"{one.id} bottom", holes=holes, left=left - by, right=right - by, pitch=pitch,
                  rails="bottom", bay=one.id),
        ]  # fmt: skip
    if how == "mitre":
        ends = (dice.choice([0.0, 22.5, 45.0]), dice.choice([0.0, 22.5]))
        out = [reach(across=3 * INCH, deg=deg, share=2) for deg in ends]
        return [piece(one.id, holes=holes, left=left, right=right, pitch=pitch, saw=ends,
                      reach=(out[0], out[1]))]  # fmt: skip
    slope = dice.choice([30.0, 36.87])
    out = [reach(across=2 * INCH, deg=slope, share=1)] * 2
    return [piece(one.id, holes=holes, left=left, right=right, pitch=pitch, orientation="stair",
                  saw=(slope, slope), reach=(out[0], out[1]))]  # fmt: skip


@settings(max_examples=25, deadline=None)
@given(st.sampled_from([A, B, C]), st.integers(0, 10**6))
def test_nothing_is_lost_between_stock_pieces_and_rack(profile: Profile, seed: int) -> None:
    """Three nights of two jobs each, cut together, each from what the nights before left.

    All that was bought is in a piece, on the rack, in the scrap box or in waste, to the unit; and
    no offcut is used twice.
    """
    dice = Random(seed)
    rack: dict[str, StockRail] = {}
    bought = cut_up = waste = scrap = 0
    used: list[str] = []
    for night in range(3):
        pieces = tuple(
            one.model_copy(update={"id": f"J{job} {one.id}", "job": f"J{job}", "cut_in": "shop"})
            for job in range(2)
            for one in some_rails(profile, dice=dice, count=dice.randint(1, 5), sizes=range(20, 50))
        )

        plan = cut(pieces, (*kits(profile), *rack.values()))

        taken = [bar.stock.id for bar in plan.bars if bar.stock.kit is None]
        used += taken
        rack = {tag: one for tag, one in rack.items() if tag not in taken}
        left = left_for_rack(plan, stem=f"N{night}", cut_in="shop")
        rack |= {one.tag: one.stock for one in left if isinstance(one.stock, StockRail)}
        bought += sum(bar.stock.length for bar in plan.bars if bar.stock.kit)
        cut_up += lengths(pieces)
        waste += sum(bar.waste for bar in plan.bars)
        scrap += sum(o.length for bar in plan.bars for o in bar.offcuts if not o.holes)
    assert bought == cut_up + waste + scrap + sum(one.length for one in rack.values())
    assert len(used) == len(set(used))
