"""A job planned with offcuts off the rack: they are taken before stock is bought, and the same."""

from __future__ import annotations

import pytest

from schemas.cut_plan import PlainStock, StockRail
from schemas.errors import BrokenPlan
from schemas.plan import Plan
from services import pipeline
from services.recheck import recheck
from tests.builders import library, submission
from tests.planned import plan as planned


def rack() -> tuple[StockRail | PlainStock, ...]:
    """What the demo's L-deck leaves of its own bars, had they been cut, and a piece of no use."""
    first = planned("l-deck")
    left = pipeline.left_for_rack(first.cuts, stem="P-1-1", cut_in="site")
    kit = next(bar.stock for bar in first.cuts.bars if bar.stock.orientation == "level")
    long = kit.model_copy(
        update={"id": "long", "kit": None, "cents": 0, "boxed_cents": 0, "supply": 1}
    )
    other = long.model_copy(update={"id": "other", "colour": "slate"})
    return (*(one.stock for one in left), long, other)


def made(offcuts: tuple[StockRail | PlainStock, ...]) -> Plan:
    """The L-deck, planned with these on the rack."""
    plan = pipeline.make_plan(submission("l-deck"), library=library(), rack=offcuts).plan
    assert plan is not None
    return plan


def test_offcuts_are_taken_before_stock_is_bought() -> None:
    """The plan is cheaper, names what it took, and stands the recheck; the load-out lists it."""
    without, plan = planned("l-deck"), made(rack())

    assert "long" in pipeline.off_rack(plan)
    assert plan.cuts.cents < without.cuts.cents
    assert {one.id for one in plan.cuts.offered} >= {"long"}
    assert "other" not in {one.id for one in plan.cuts.offered}
    assert recheck(plan) == ()
    sheet = next(s for s in pipeline.make_sheets(plan) if s.key == "load-out")
    assert "Off the rack" in sheet.model_dump_json()
    assert '"long"' in sheet.model_dump_json()


def test_the_same_offcuts_in_any_order_give_the_same_pack() -> None:
    """Byte for byte."""
    one, other = made(rack()), made(tuple(reversed(rack())))

    packs = [pipeline.make_pack(plan, issued="2026-12-02").pdf for plan in (one, other)]

    assert one == other
    assert packs[0] == packs[1]


def test_an_offcut_that_was_not_set_aside_is_found_by_the_recheck() -> None:
    """Another job may have it."""
    plan = made(rack())
    cuts = plan.cuts.model_copy(update={"offered": ()})

    breaches = recheck(plan.model_copy(update={"cuts": cuts}))

    assert any("offcut long was not set aside for this plan" in says for says in breaches)


def test_a_damaged_plan_is_not_packed(monkeypatch: pytest.MonkeyPatch) -> None:
    """The recheck stands between plan and paper."""
    monkeypatch.setattr("services.recheck.recheck", lambda _: ("A1-A2: opens too wide",))

    with pytest.raises(BrokenPlan, match="opens too wide"):
        made(())
