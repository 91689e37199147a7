"""Money stays in the office: no price in any text of a pack or a bundle."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from functools import cache

import pypdfium2
import pytest

from schemas.bundle import Stop
from schemas.job import Library
from schemas.plan import Plan
from services.pipeline import make_bundle, make_pack, make_plan, make_shop
from tests.builders import library, submission

JOBS = ("l-deck", "metric")
MONEY_WORDS = re.compile(r"[$€£¥]|\b(USD|cents?|price|prices|cost|costs|priced)\b", re.IGNORECASE)


@cache
def dear() -> Library:
    """The company with prices that stand out: every one a number of seven digits of its own."""
    company = library().company
    book = tuple(
        item.model_copy(update={"cents": 1_000_003 + 7_919 * number})
        for number, item in enumerate(company.price_book)
    )
    return library().model_copy(update={"company": company.model_copy(update={"price_book": book})})


@cache
def planned(name: str) -> Plan:
    """A demo job at those prices."""
    plan = make_plan(submission(name), library=dear()).plan
    assert plan is not None
    return plan


def amounts(plan: Plan) -> Iterator[int]:
    """Every amount of money that the plan knows. [cents]."""
    yield from (item.cents for item in plan.job.company.price_book)
    yield from (line.cents for line in plan.takeoff.lines)
    yield from (cents for _, cents in plan.takeoff.cost.by_group)
    yield from (bar.stock.cents for bar in plan.cuts.bars)
    yield from (plan.takeoff.cost.material_cents, plan.takeoff.cost.waste_cents)
    yield from (plan.cuts.cents, plan.cuts.bound_cents, plan.cuts.first_fit_cents)


def written(cents: int) -> tuple[str, ...]:
    """The ways in which an amount may be written."""
    whole, part = divmod(cents, 100)
    return str(cents), f"{cents:,}", f"{whole}.{part:02d}", f"{whole:,}.{part:02d}", str(whole)


def text_of(pdf: bytes) -> str:
    """All text of a PDF, a page after the other."""
    document = pypdfium2.PdfDocument(pdf)
    return "\n".join(page.get_textpage().get_text_range() for page in document)


def assert_no_money(text: str, *plans: Plan, least: int = 10_000) -> None:
    """No amount, no sign and no word of money, in a text of at least so many signs."""
    assert len(text) > least
    found = {
        way
        for plan in plans
        for cents in amounts(plan)
        if cents
        for way in written(cents)
        if re.search(rf"(?<![\d.,]){re.escape(way)}(?![\d])", text)
    }
    assert not found
    assert not MONEY_WORDS.findall(text)


@pytest.mark.parametrize("name", JOBS)
def test_no_price_stands_in_a_pack(name: str) -> None:
    """Neither of an item, nor a sum, nor what the cut plan cost."""
    plan = planned(name)

    assert_no_money(text_of(make_pack(plan, issued="2026-12-02").pdf), plan)


def test_no_price_stands_in_a_bundle() -> None:
    """Day sheet, load-out, evening return and all packs."""
    stops = [Stop(plan=planned(name), code="7K2M-Q9DX", replaces="nothing") for name in JOBS]

    made = make_bundle(
        crew="heron", day=date(2026, 12, 3), stops=stops, missing=[], library=dear(),
        issued="2026-12-02",
    )  # fmt: skip

    assert_no_money(text_of(made.pdf), *(stop.plan for stop in stops))


def test_no_price_stands_on_the_shop_s_sheets() -> None:
    """The saw man needs none either."""
    company = dear().company.model_copy(update={"cut_for": "night"})
    books = dear().model_copy(update={"company": company})
    plan = make_plan(submission("porch"), library=books).plan
    assert plan is not None

    (made,) = make_shop(
        [plan], pool="night", day=date(2026, 12, 3), library=books, issued="2026-12-02"
    )

    assert_no_money(text_of(made.pdf), plan, least=500)


def test_money_would_be_found() -> None:
    """The search finds an amount that is written into a text, in each way, and each word."""
    plan = planned("l-deck")
    text = "x" * 10_001

    for way in written(plan.takeoff.cost.material_cents):
        with pytest.raises(AssertionError):
            assert_no_money(f"{text} for {way} only", plan)
    for word in ("$ 5", "Price:", "USD"):
        with pytest.raises(AssertionError):
            assert_no_money(f"{text} {word}", plan)
