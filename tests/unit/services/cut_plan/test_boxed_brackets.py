"""Brackets boxed with a kit: what they spare the job is taken off the kit's price, once."""

from __future__ import annotations

import pytest

from services.cut_plan import cut_pieces, stock_rails, with_boxed
from tests import planned


def credited(name: str) -> dict[str, int]:
    """What each kit's brackets are worth to a demo job."""
    plan = planned.plan(name)
    pieces = cut_pieces(plan.job, plan.bays)
    stock = with_boxed(stock_rails(plan.job), pieces, job=plan.job)
    return {one.id: one.boxed_cents for one in stock}


def test_a_kit_spares_the_brackets_in_its_box() -> None:
    """Where every bay takes four ordinary brackets, each kit counts for all it brings."""
    plan = planned.plan("porch")
    rail = plan.job.system.level
    loose = next(i for i in plan.job.company.price_book if i.key == rail.bracket.key)

    found = credited("porch")

    for kit in rail.kits:
        assert found[kit.key] == min(4, kit.brackets) * (loose.cents // loose.package)
    assert any(found.values())


@pytest.mark.parametrize(
    "name", ["l-deck", "porch", "corner-45", "wraparound", "two-stair-sides", "metric"]
)
def test_no_bracket_is_credited_that_the_job_cannot_use(name: str) -> None:
    """All bars together are credited no more than the loose price of what their bays take."""
    plan = planned.plan(name)

    for system, orientation in ((plan.job.system, "level"), (plan.job.stair_system, "stair")):
        rail = system.level if orientation == "level" else system.stair
        if rail is None:
            continue
        loose = next(i for i in plan.job.company.price_book if i.key == rail.bracket.key)
        bars = [bar for bar in plan.cuts.bars if bar.stock.orientation == orientation]
        taken = sum(p.brackets for p in plan.cuts.pieces if p.orientation == orientation)
        assert sum(bar.stock.boxed_cents for bar in bars) <= taken * (loose.cents // loose.package)


def test_the_plans_price_is_net_of_them() -> None:
    """Cost and bound are both counted so, and the gap stays none."""
    cuts = planned.plan("l-deck").cuts

    shelf = sum(bar.stock.cents for bar in cuts.bars)
    boxed = sum(bar.stock.boxed_cents for bar in cuts.bars)

    assert cuts.cents == shelf - boxed
    assert cuts.bound_cents == cuts.cents


def test_tickets_name_job_revision_and_rail() -> None:
    """One for each rail, all different, numbered through the job."""
    plan = planned.plan("l-deck")

    tickets = [ticket for piece in plan.cuts.pieces for ticket in piece.tickets]

    rails = sum(2 if piece.rails == "pair" else 1 for piece in plan.cuts.pieces)
    assert len(set(tickets)) == len(tickets) == rails
    head = f"{plan.job.job}-{plan.job.revision}-"
    assert sorted(tickets) == [f"{head}{n:02}" for n in range(1, rails + 1)]
