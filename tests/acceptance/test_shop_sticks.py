"""Sleeves and cores cut ahead: left long, ticketed, and only where no flight decides on them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from datetime import date
from functools import cache

import pytest

from schemas.cut_plan import CutPlan, PlainPiece
from schemas.lengths import INCH
from schemas.plan import Plan
from schemas.shop import ShopFile
from services import pipeline
from services.exports import read_load, read_shop, total_orders
from services.recheck import recheck, recheck_shop
from tests.acceptance.test_shop_cutting import DAY, pooling, text_of
from tests.builders import document, submission
from tests.planned import plan as cut_alone
from worker.splitting import days_of

LEFT_LONG = INCH // 2


@cache
def deck() -> Plan:
    """The L-deck, with a stair, of a company that cuts for the night."""
    plan = pipeline.make_plan(submission("l-deck"), library=pooling()).plan
    assert plan is not None
    return plan


@cache
def shop() -> ShopFile:
    """What the shop cuts for it."""
    (made,) = pipeline.make_shop(
        [deck()], pool="night", day=DAY, library=pooling(), issued="2026-12-02"
    )
    return made


def sticks(plan: Plan, cut_in: str) -> dict[str, PlainPiece]:
    """Pieces of sticks by name."""
    return {one.id: one for one in plan.cuts.plain_pieces if one.cut_in == cut_in}


def test_only_posts_whose_height_is_known_are_cut_for() -> None:
    """The posts at the foot of the flight wait for the line to be proved, and so does handrail."""
    feet = {bay.lower_post for bay in deck().bays.stair}
    to_set = {post.name for post in deck().layout.posts if not post.in_place}

    ahead, later = sticks(deck(), "shop"), sticks(deck(), "site")

    assert feet
    assert {name.partition(" ")[0] for name in ahead} == to_set - feet
    assert Counter(one.what for one in ahead.values()) == {
        "sleeve": len(to_set - feet), "core": len(to_set - feet),
    }  # fmt: skip
    assert {one.what for one in later.values()} == {"sleeve", "core", "handrail"}
    assert {name.partition(" ")[0] for name, one in later.items() if one.what == "core"} == feet


def test_a_sleeve_is_left_long_and_a_core_is_not() -> None:
    """Half an inch over what the post's sheet says; a core's top is marked on site anyway."""
    heights = {height.post: height for height in deck().bays.posts}
    alone = {
        name: end - start
        for bar in cut_alone("l-deck").cuts.plain
        for name, start, end in bar.pieces
    }

    for name, piece in sticks(deck(), "shop").items():
        post = name.partition(" ")[0]
        assert piece.over == (LEFT_LONG if piece.what == "sleeve" else 0)
        assert piece.length == alone[name] + piece.over
        if piece.what == "sleeve":
            assert piece.length - piece.over == heights[post].sleeve


def test_a_sleeve_that_fills_its_stick_is_left_as_long_as_that_gives() -> None:
    """Sleeves are sold up to 60 in; 70 in are left over of none."""
    books = pooling()
    company = books.company.model_copy(update={"shop_leaves": 70 * INCH})
    plan = pipeline.make_plan(
        submission("l-deck"), library=books.model_copy(update={"company": company})
    ).plan
    assert plan is not None

    lengths = {one.length for one in sticks(plan, "shop").values() if one.what == "sleeve"}

    assert lengths == {60 * INCH}
    assert recheck(plan) == ()


def test_tickets_go_on_where_the_rails_end_and_none_is_given_twice() -> None:
    """Job, revision, number; the pack names the same as the shop's sheets."""
    numbers = [ticket for piece in deck().cuts.pieces for ticket in piece.tickets]
    own = [one.ticket for one in deck().cuts.plain_pieces if one.ticket]

    of_shop = [one.ticket for one in shop().plan.cuts.plain_pieces]

    assert sorted(own) == sorted(str(one) for one in of_shop)
    assert len({*numbers, *own}) == len(numbers) + len(own)
    assert all(ticket.startswith(f"{deck().job.job}-{deck().job.revision}-") for ticket in own)
    comes = deck().takeoff.pre_cut
    assert comes is not None
    assert sorted(one.ticket for one in comes.rails) == sorted(own)
    text = text_of(shop().pdf)
    assert all(f"no. {ticket.rpartition('-')[2]}" in text for ticket in own)
    assert "1/2 long: trim it once its post stands" in text


def test_both_plans_stand_the_recheck_and_nothing_is_lost() -> None:
    """The job's own plan is whole without the shop; every stick of the shop adds up."""
    cuts = shop().plan.cuts

    assert recheck(deck()) == ()
    assert recheck_shop(cuts, [deck()]) == ()
    for bar in cuts.plain:
        cut = sum(end - start for _, start, end in bar.pieces)
        assert bar.length == bar.trim + cut + bar.kerf + bar.left
    assert cuts.plain_bound_cents == cuts.plain_cents


def test_the_sticks_that_stay_in_the_yard_are_those_of_what_comes_cut() -> None:
    """No stick of the job's own plan holds both a piece that comes cut and one that does not."""
    plan, comes = deck(), deck().takeoff.pre_cut
    assert comes is not None

    ahead = Counter(bar.stock for bar in plan.cuts.plain if bar.cut_in == "shop")

    assert dict(comes.kits) == ahead
    place = {one.id: one.cut_in for one in plan.cuts.plain_pieces}
    assert all(len({place[name] for name, _, _ in bar.pieces}) == 1 for bar in plan.cuts.plain)


def test_the_shop_s_sticks_are_bought_and_the_jobs_own_are_not() -> None:
    """The order has the sticks that the shop cuts, not twice as many."""
    load = read_load(deck().model_dump_json().encode())
    ahead = read_shop(shop().plan.model_dump_json().encode())

    def bought(*shops: object) -> Counter[tuple[str, str | None]]:
        order = total_orders(
            [load], library=pooling(), needed_by=DAY, issued=DAY,
            shops=[ahead for _ in shops],
        )  # fmt: skip
        return Counter({(line.item, line.variant): line.packages for line in order.lines})

    of_shop = Counter(bar.stock for bar in ahead.cuts.plain)
    comes = deck().takeoff.pre_cut
    assert comes is not None
    for key, variant in (("cove-sleeve-48", "chalk"), ("core-96", None)):
        saved = bought()[key, variant] - bought(1)[key, variant]
        assert saved == dict(comes.kits)[key] - of_shop[key]


def _in_shop(plan: Plan, change: Callable[[PlainPiece], bool]) -> Plan:
    """The plan with some sticks sent to the shop."""
    names = {one.id for one in plan.cuts.plain_pieces if change(one)}
    pieces = tuple(
        one.model_copy(update={"cut_in": "shop"}) if one.id in names else one
        for one in plan.cuts.plain_pieces
    )
    cuts = plan.cuts.model_copy(update={"plain_pieces": pieces})
    return plan.model_copy(update={"cuts": cuts})


@pytest.mark.parametrize("what", ["handrail", "core", "sleeve"])
def test_what_must_wait_is_not_cut_ahead(what: str) -> None:
    """A handrail, or core and sleeve at the foot of a flight, sent to the shop is found."""
    spoilt = _in_shop(deck(), lambda one: one.what == what and one.cut_in == "site")

    assert any("its length is only known on site" in says for says in recheck(spoilt))


def test_a_rail_between_posts_still_to_be_set_is_not_cut_ahead() -> None:
    """Its opening is only found once they stand."""
    pieces = tuple(
        one.model_copy(update={"cut_in": "shop"}) if one.bay == "B1-B2" else one
        for one in deck().cuts.pieces
    )
    cuts = deck().cuts.model_copy(update={"pieces": pieces})
    spoilt = deck().model_copy(update={"cuts": cuts})

    assert any(piece.cut_in == "shop" for piece in pieces)
    assert any("its opening is not one read twice" in says for says in recheck(spoilt))


def _shorter(cuts: CutPlan) -> CutPlan:
    first, *rest = cuts.plain_pieces
    return cuts.model_copy(
        update={"plain_pieces": (first.model_copy(update={"length": first.length - 1}), *rest)}
    )


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (_shorter, "not the piece of its job's plan"),
        (lambda cuts: cuts.model_copy(update={"plain_pieces": cuts.plain_pieces[1:]}), "not both"),
        (lambda cuts: cuts.model_copy(update={"plain": cuts.plain[1:]}), "is cut 0 times"),
    ],
)
def test_a_shop_that_cuts_another_stick_is_found(
    spoil: Callable[[CutPlan], CutPlan], says: str
) -> None:
    """One shorter, one left out, one that lies on no stick."""
    assert any(says in one for one in recheck_shop(spoil(shop().plan.cuts), [deck()]))


def test_a_company_that_cuts_by_job_cuts_nothing_ahead() -> None:
    """No tickets for sticks, no sleeve left long; only the cores at the foot of a flight are."""
    alone = cut_alone("l-deck").cuts.plain_pieces

    assert {(one.cut_in, one.ticket) for one in alone} == {("site", None)}
    assert {one.id: one.over for one in alone if one.over} == {
        "S1-L core": LEFT_LONG, "S1-R core": LEFT_LONG,
    }  # fmt: skip


def test_on_two_days_sleeves_come_cut_on_the_first() -> None:
    """The second day's rails are cut to what is found then."""
    trees = days_of(document("l-deck"), day=date(2026, 12, 9), crew="wren")
    first, second = (pipeline.make_plan(submission(tree), library=pooling()).plan for tree in trees)
    assert first is not None
    assert second is not None

    comes = first.takeoff.pre_cut

    assert comes is not None
    assert {one.rail for one in comes.rails} == {"sleeve", "core"}
    assert second.takeoff.pre_cut is None
