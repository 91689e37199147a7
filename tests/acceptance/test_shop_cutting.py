"""Rails cut ahead in the shop: only what cannot change, every piece led back to its job."""

from __future__ import annotations

import json
from datetime import date
from functools import cache

import pypdfium2 as pdfium

from schemas.bundle import Stop
from schemas.job import Library
from schemas.lengths import INCH
from schemas.plan import Plan
from schemas.shop import ShopFile
from schemas.submission import Submission
from services import pipeline
from services.cut_plan import check_bound, check_plan, stock_rails, with_boxed
from services.intake import read_document
from services.recheck import recheck, recheck_shop
from tests.builders import document, library, submission
from tests.planned import plan as cut_alone

DAY = date(2026, 12, 3)


def pooling(cut_for: str = "night") -> Library:
    """The demo's library, of a company that cuts ahead."""
    books = library()
    company = books.company.model_copy(update={"cut_for": cut_for, "keep_offcut": 20 * INCH})
    return books.model_copy(update={"company": company})


def porch(number: str) -> Submission:
    """The porch between walls, under another number."""
    tree = document("porch") | {"job": number}
    return read_document(json.dumps(tree).encode(), Submission)


def text_of(pdf: bytes) -> str:
    """All text of a document, in one line."""
    pages = [page.get_textpage().get_text_range() for page in pdfium.PdfDocument(pdf)]
    return " ".join(" ".join(pages).split())


@cache
def planned(number: str = "P-2042") -> Plan:
    """A porch planned by a company that cuts ahead."""
    plan = pipeline.make_plan(porch(number), library=pooling()).plan
    assert plan is not None
    return plan


@cache
def shop(*numbers: str) -> ShopFile:
    """Porches cut together."""
    made = pipeline.make_shop(
        [planned(number) for number in numbers], pool="night", day=DAY, library=pooling(),
        issued="2026-12-02",
    )  # fmt: skip
    assert len(made) == 1
    return made[0]


def test_only_openings_between_standing_posts_read_twice_are_cut_ahead() -> None:
    """The porch between walls is; a deck whose posts are still to be set is not."""
    deck = pipeline.make_plan(submission("l-deck"), library=pooling()).plan
    assert deck is not None

    assert {piece.cut_in for piece in planned().cuts.pieces} == {"shop"}
    assert {piece.cut_in for piece in deck.cuts.pieces} == {"site"}
    assert {piece.cut_in for piece in cut_alone("porch").cuts.pieces} == {"site"}


def test_an_opening_read_at_one_height_waits_for_the_site() -> None:
    """The other bays of the leg are still cut ahead."""
    tree = document("porch")
    first = tree["lines"][0]["legs"][0]["clears"][0]
    first.pop("top", None)
    sent = read_document(json.dumps(tree).encode(), Submission)

    plan = pipeline.make_plan(sent, library=pooling()).plan

    assert plan is not None
    place = {piece.bay: piece.cut_in for piece in plan.cuts.pieces}
    assert place["W-A1"] == "site"
    assert set(place.values()) == {"site", "shop"}
    assert recheck(plan) == ()


def test_the_jobs_own_plan_stays_valid_and_whole() -> None:
    """It stands the recheck, and shop and site share no bar."""
    plan = planned()

    assert recheck(plan) == ()
    for bar in plan.cuts.bars:
        assert len({plan.cuts.piece(p.piece).cut_in for p in bar.pieces}) == 1
    comes = plan.takeoff.pre_cut
    assert comes is not None
    kits = [bar.stock.kit for bar in plan.cuts.bars]
    assert sum(count for _, count in comes.kits) == len(kits)


def test_cutting_together_costs_no_more_than_apart() -> None:
    """And the shop's plan stands the second look, the recheck and the sum of its bound."""
    jobs = ("P-1", "P-2", "P-3")
    cuts = shop(*jobs).plan.cuts
    first = planned("P-1")
    stock = with_boxed(stock_rails(first.job), cuts.pieces, job=first.job)

    assert cuts.cents <= sum(planned(job).cuts.cents for job in jobs)
    assert recheck_shop(cuts, [planned(job) for job in jobs]) == ()
    check_plan(cuts, stock=stock, keep=first.job.company.keep_offcut)
    for proof in cuts.proofs:
        kerf = first.job.company.saw_kerf
        assert check_bound(proof, pieces=cuts.pieces, stock=stock, kerf=kerf) <= cuts.bound_cents


def test_every_piece_leads_back_to_job_bay_rail_and_revision() -> None:
    """Tickets of the shop are those that the packs name, each once."""
    made = shop("P-1", "P-2").plan

    of_shop = [ticket for piece in made.cuts.pieces for ticket in piece.tickets]

    named = [
        one.ticket
        for job in ("P-1", "P-2")
        for one in (planned(job).takeoff.pre_cut or made.jobs[0].comes).rails
    ]
    assert sorted(of_shop) == sorted(named)
    assert len(set(of_shop)) == len(of_shop)
    assert all(
        ticket.startswith(f"{piece.job}-{piece.revision}-")
        for piece in made.cuts.pieces
        for ticket in piece.tickets
    )
    assert [job.job for job in made.jobs] == ["P-1", "P-2"]


def test_the_pack_says_what_comes_cut_and_what_stays_in_the_yard() -> None:
    """On its cut list and its load-out, by ticket; a job cut by itself says nothing of it."""
    sheets = {sheet.key: sheet.model_dump_json() for sheet in pipeline.make_sheets(planned())}
    alone = "".join(s.model_dump_json() for s in pipeline.make_sheets(cut_alone("porch")))

    for key in ("cut-list", "load-out"):
        assert "ready cut from the shop" in sheets[key]
        assert "P-2042-1-01" in sheets[key]
    assert "leave in the yard" in sheets["load-out"]
    assert "ready cut" not in alone


def test_the_day_sheet_says_so_too_and_plans_no_offcuts_of_those_bars() -> None:
    """The truck is loaded from it, and the rack filled."""
    plan = planned()
    made = pipeline.make_bundle(
        crew="heron", day=DAY, stops=[Stop(plan=plan, code="7K2M-Q9DX", replaces="nothing")],
        missing=[], library=pooling(), issued="2026-12-02",
    )  # fmt: skip
    text = text_of(made.pdf)

    assert "Pieces ready cut from the shop, and their bag" in text
    assert "STAYS in the yard if those are on the truck" in text
    assert any(bar.offcuts for bar in plan.cuts.bars)
    assert "None is planned that is long enough to keep" in text


def test_the_crew_is_not_told_to_cut_what_comes_cut() -> None:
    """Its first section is held to the opening and dry fitted; no saw is set up."""
    steps = planned().sequence.steps

    first = next(step for step in steps if step.key == "first-section")
    assert "its rails come ready cut, tickets P-2042-1-0" in first.text
    assert not [step.key for step in steps if step.key.startswith("saw")]


def test_the_bag_holds_what_else_is_in_the_boxes_that_stay() -> None:
    """So that the truck carries no kit twice and no bracket too few."""
    plan = planned()
    comes = plan.takeoff.pre_cut
    assert comes is not None
    rail = plan.job.system.level
    kits = {kit.key: kit for kit in rail.kits}

    bag = dict(comes.bag)

    assert bag[rail.baluster_key] == sum(kits[k].balusters * n for k, n in comes.kits)
    assert bag[rail.bracket.key] == sum(kits[k].brackets * n for k, n in comes.kits)


def test_the_same_jobs_in_any_order_give_the_same_shop_sheets() -> None:
    """Byte for byte."""
    one, other = shop("P-1", "P-2"), shop("P-2", "P-1")

    assert (one.code, one.pdf) == (other.code, other.pdf)
    assert pipeline.read_shop(one.plan.model_dump_json().encode()) == one.plan


def test_a_piece_changed_between_pack_and_shop_is_found() -> None:
    """The recheck compares ticket by ticket."""
    cuts = shop("P-1").plan.cuts
    shorter = cuts.pieces[0].model_copy(update={"length": cuts.pieces[0].length - 508})
    wrong = cuts.model_copy(update={"pieces": (shorter, *cuts.pieces[1:])})

    breaches = recheck_shop(wrong, [planned("P-1")])

    assert any("not the piece of its job's plan" in says for says in breaches)
    assert any("asks the shop for them" in says for says in recheck_shop(cuts, []))


def test_jobs_with_nothing_to_cut_ahead_need_no_shop() -> None:
    """Posts in place, and every opening read at one height only: nothing is printed."""
    tree = document("porch")
    for clear in tree["lines"][0]["legs"][0]["clears"]:
        clear.pop("top", None)
    sent = read_document(json.dumps(tree).encode(), Submission)
    plan = pipeline.make_plan(sent, library=pooling()).plan
    assert plan is not None

    made = pipeline.make_shop([plan], pool="night", day=DAY, library=pooling(), issued="-")

    assert plan.takeoff.pre_cut is None
    assert made == ()
