"""Pieces and stock as they are read from a demo job and its bays."""

from __future__ import annotations

from math import ceil, radians, tan

import pytest

from schemas.cut_plan import Piece
from schemas.errors import UnknownThing
from schemas.job import Job
from schemas.lengths import INCH
from services.cut_plan import (
    RailCut,
    check_plan,
    cut_pieces,
    fits_stock,
    named_for_night,
    offcut_stock,
    plain_pieces,
    plain_stock,
    plan_cuts,
    stock_bill,
    stock_rails,
    with_boxed,
)
from services.cut_plan.pieces import shared
from tests import builders, planned
from tests.rails_by_hand import KERF, SIXTEENTH, A, inches, kits, piece


def rails_of(name: str) -> tuple[Job, tuple[Piece, ...]]:
    """A demo job and its pieces."""
    plan = planned.plan(name)
    return plan.job, cut_pieces(plan.job, plan.bays)


def test_every_rail_of_every_bay_becomes_a_piece() -> None:
    """Each bay gives a top and a bottom rail of its cut lengths, and nothing else."""
    plan = planned.plan("l-deck")

    pieces = cut_pieces(plan.job, plan.bays)

    found = sorted(
        (one.bay, rail, one.length, one.holes)
        for one in pieces
        for rail in (("top", "bottom") if one.rails == "pair" else (one.rails,))
    )
    level = [
        (bay.name, rail, cut, bay.balusters)
        for bay in plan.bays.level
        for rail, cut in (("top", bay.top_cut), ("bottom", bay.bottom_cut))
    ]
    stair = [
        (bay.name, rail, bay.cut, bay.balusters)
        for bay in plan.bays.stair
        for rail in ("top", "bottom")
    ]
    assert found == sorted([*level, *stair])


def test_bay_out_of_plumb_is_cut_from_one_stock_pair() -> None:
    """A bay of two rail lengths is two pieces that start at one hole of one bar."""
    plan = planned.plan("l-deck")
    bay = plan.bays.level[0]
    wider = bay.model_copy(
        update={
            "top_cut": bay.bottom_cut + 2 * SIXTEENTH,
            "top_margin_left": bay.margin_left + SIXTEENTH,
            "top_margin_right": bay.margin_right + SIXTEENTH,
        }
    )
    bays = plan.bays.model_copy(update={"level": (wider,), "stair": ()})
    stock = stock_rails(plan.job)

    pieces = cut_pieces(plan.job, bays)
    cuts = plan_cuts(pieces=pieces, stock=stock, kerf=KERF, keep=plan.job.company.keep_offcut)

    check_plan(cuts, stock=stock, keep=plan.job.company.keep_offcut)
    bar = cuts.bars[0]
    assert [one.id for one in pieces] == [f"{bay.name} top", f"{bay.name} bottom"]
    assert len(cuts.bars) == 1
    assert len({placed.first_hole for placed in bar.pieces}) == 1
    assert bar.waste_bottom == bar.waste + 2 * SIXTEENTH


def test_long_points_stand_out_by_the_tangent_of_the_saw_setting() -> None:
    """Half the width at a level mitre, the whole depth at a stair's plumb cut, rounded up."""
    job, mitred = rails_of("corner-45")
    stair_job, sloped = rails_of("two-stair-sides")
    stair = stair_job.stair_system.stair
    assert stair is not None

    level = next(one for one in mitred if one.saw_left_deg or one.saw_right_deg)
    plumb = next(one for one in sloped if one.orientation == "stair")

    width = max(job.system.level.top_width, job.system.level.bottom_width)
    depth = max(stair.top_depth, stair.bottom_depth)
    assert (level.reach_left, level.reach_right) == tuple(
        ceil(width / 2 * tan(radians(abs(deg))))
        for deg in (level.saw_left_deg, level.saw_right_deg)
    )
    assert plumb.reach_left == plumb.reach_right
    assert plumb.reach_left == ceil(depth * tan(radians(plumb.saw_left_deg)))


def test_stock_is_every_kit_at_its_price_and_the_matching_offcuts() -> None:
    """Kits of both orientations at the price book's price; a white offcut is no use for black."""
    job = builders.job("l-deck")
    kit = stock_rails(job)[0]
    mine = kit.model_copy(update={"id": "rack-1", "kit": None, "supply": 1, "cents": 0})
    other = mine.model_copy(update={"id": "rack-2", "colour": "no-such"})
    prices = {item.key: item.cents for item in job.company.price_book}

    stock = stock_rails(job, (mine, other))

    sold = [one for one in stock if one.kit]
    stair = job.stair_system.stair
    assert [one.id for one in stock if not one.kit] == ["rack-1"]
    assert [one.kit for one in sold] == [
        *(one.key for one in job.system.level.kits),
        *(one.key for one in (stair.kits if stair else ())),
    ]
    assert all(one.cents == prices[one.id] for one in sold)


def test_stock_without_a_price_is_refused_by_name() -> None:
    """A kit that the price book does not list cannot be reckoned with."""
    job = builders.job("l-deck")
    key = job.system.level.kits[0].key
    book = tuple(item for item in job.company.price_book if item.key != key)
    poor = job.model_copy(update={"company": job.company.model_copy(update={"price_book": book})})

    with pytest.raises(UnknownThing, match=key):
        stock_rails(poor)


def test_handrail_longer_than_a_stick_leaves_no_stub() -> None:
    """Two sticks and 5/16 in are three pieces about alike, on marks; their lengths add up."""
    plan = planned.plan("two-stair-sides")
    sold = plan.job.stair_system.handrail
    assert sold is not None
    long = 2 * sold.stock + 5 * INCH // 16
    bay = plan.bays.stair[0].model_copy(update={"handrail": long})
    bays = plan.bays.model_copy(update={"stair": (bay,)})

    pieces = [one for one in plain_pieces(plan.job, plan.layout, bays) if one.what == "handrail"]

    assert [one.id for one in pieces] == [f"{bay.name} handrail {n}" for n in (1, 2, 3)]
    assert sum(one.length for one in pieces) == long
    lengths = [one.length for one in pieces]
    assert max(lengths) - min(lengths) <= plan.job.step
    assert all(length % plan.job.step == 0 for length in lengths)


def test_plain_stock_comes_at_the_price_books_price() -> None:
    """Sleeves and, with a stair, the handrail stick."""
    job = builders.job("two-stair-sides")
    prices = {item.key: item.cents / item.package for item in job.company.price_book}

    stock = plain_stock(job)

    assert {one.what for one in stock} >= {"sleeve", "handrail"}
    assert all(one.cents >= prices[one.key] for one in stock)


def test_offcut_of_one_plan_serves_the_next() -> None:
    """What a plan keeps comes back as stock with its own phase, and a rail is cut from it."""
    pitch = inches(A.pitch)
    first = piece("P1", holes=9, left=inches(2), right=inches(2), pitch=pitch)
    second = piece("P2", holes=8, left=inches(2), right=inches(2), pitch=pitch)
    sold = (next(one for one in kits(A) if one.id == "kit-120"),)

    plan = plan_cuts(pieces=[first], stock=sold, kerf=KERF, keep=inches(24))
    bar = plan.bars[0]
    rack = offcut_stock(bar.stock, bar.offcuts[0], tag="rack-1")
    again = plan_cuts(pieces=[second], stock=[*sold, rack], kerf=KERF, keep=inches(24))

    check_plan(again, stock=[*sold, rack], keep=inches(24))
    assert again.cents == 0
    assert again.bars[0].stock.id == "rack-1"
    whole = 120 * inches(1)
    assert rack.length == whole - bar.pieces[0].end - KERF
    assert (bar.offcuts[0].start + rack.first_hole - bar.stock.first_hole) % pitch == 0


def test_two_jobs_can_be_cut_as_one() -> None:
    """Pieces of two jobs carry their job's name, so that like-named bays stay apart."""
    job, pieces = rails_of("l-deck")
    other = tuple(one.model_copy(update={"job": "J-other"}) for one in pieces)
    stock = stock_rails(job)
    keep = job.company.keep_offcut

    night = plan_cuts(pieces=named_for_night([*pieces, *other]), stock=stock, kerf=KERF, keep=keep)

    check_plan(night, stock=stock, keep=keep)
    apart = plan_cuts(pieces=pieces, stock=stock, kerf=KERF, keep=keep)
    assert night.cents <= 2 * apart.cents
    assert {one.job for one in night.pieces} == {job.job, "J-other"}


def test_piece_fits_some_stock_or_none() -> None:
    """What the plan would refuse is known beforehand."""
    pitch = inches(A.pitch)
    fits = piece("P", holes=15, left=inches("9/4"), right=inches("9/4"), pitch=pitch)
    fails = piece("Q", holes=15, left=inches("73/32"), right=inches("73/32"), pitch=pitch)
    stock = [one for one in kits(A) if one.id == "kit-72"]

    assert fits_stock(fits, stock)
    assert not fits_stock(fails, stock)


def test_layout_can_ask_what_its_bays_cost() -> None:
    """The price of openings is that of the plan for their rails; no rail, no price."""
    plan = planned.plan("l-deck")
    job = plan.job
    square = [
        bay
        for bay in plan.bays.level
        if bay.top_cut == bay.bottom_cut and not bay.mitre_left_deg and not bay.mitre_right_deg
    ]
    known = {
        bay.name: RailCut(
            holes=bay.balusters,
            bottom=(bay.bottom_cut, bay.margin_left, bay.margin_right),
            top=(bay.top_cut, bay.top_margin_left, bay.top_margin_right),
        )
        for bay in square
    }
    ask = stock_bill(job, cut=known.get)
    names = tuple(known)
    pieces = [one for one in cut_pieces(job, plan.bays) if one.bay in known]
    cheapest = plan_cuts(
        pieces=pieces,
        stock=with_boxed(stock_rails(job), pieces, job=job),
        kerf=job.company.saw_kerf,
        keep=job.company.keep_offcut,
    )

    bill = ask(names, proven=True)

    assert bill is not None
    assert bill == ask(names[::-1], proven=False)
    assert bill.cents == cheapest.cents
    assert sum(count for _, count in bill.kits) == len(cheapest.bars)
    assert ask(("no such bay",), proven=False) is None


def test_cores_reach_under_the_lowest_bolt_wherever_their_tops_are_marked() -> None:
    """The highest mark leaves the detail's depth, and the wood its lowest bolt asks for."""
    plan = planned.plan("l-deck")
    assert plan.job.detail is not None
    detail, heights = plan.job.detail, {post.post: post for post in plan.bays.posts}
    feet = {post.name for post in plan.layout.posts if post.where == "stair-lower"}
    sticks = [bar.pieces for bar in plan.cuts.plain if bar.what == "core"]

    cores = [
        (name.removesuffix(" core"), end - start) for bar in sticks for name, start, end in bar
    ]

    assert cores
    for post, length in cores:
        reach = length - heights[post].core_most
        bolt = detail.bolt_below + detail.bolt_apart + 7 * INCH // 2
        if post in feet:
            assert reach == INCH // 2, (
                "a plate stands on the pad; left long until the line is proved"
            )
        else:
            assert reach >= max(detail.core_below, bolt)


@pytest.mark.parametrize("over", [INCH // 16, INCH, 40 * INCH, 96 * INCH])
def test_no_joined_handrail_has_a_piece_under_a_foot(over: int) -> None:
    """However little it is over a 96 in stick, no piece is shorter than 12 in (common practice)."""
    lengths = shared(96 * INCH + over, stick=96 * INCH, step=INCH // 16)

    assert sum(lengths) == 96 * INCH + over
    assert len(lengths) == 2
    assert 12 * INCH <= min(lengths) <= max(lengths) <= 96 * INCH
