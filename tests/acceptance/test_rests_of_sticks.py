"""Rests of sticks: long enough to keep, they hang on the rack and are cut before one is bought."""

from __future__ import annotations

from functools import cache

from schemas.cut_plan import PlainStock, RackPiece
from schemas.lengths import INCH
from schemas.plan import Plan
from services import pipeline
from services.recheck import recheck
from tests.builders import library, submission
from tests.planned import plan as planned

HANDRAIL = "handrail"


def rests() -> tuple[RackPiece, ...]:
    """What the demo's L-deck leaves of its sticks."""
    left = pipeline.left_for_rack(planned("l-deck").cuts, stem="P-1-1", cut_in="site")
    return tuple(one for one in left if isinstance(one.stock, PlainStock))


def rest(tag: str, *, length: int, what: str = HANDRAIL, made_of: str = "cove") -> PlainStock:
    """One put there by hand, its far end as it came."""
    key = {"handrail": "grip-rail-96", "core": "core-96"}[what]
    return PlainStock.model_validate(
        {
            "what": what, "key": key, "length": length, "cents": 0, "supply": 1, "tag": tag,
            "made_of": made_of,
        }
    )  # fmt: skip


@cache
def made(*offered: PlainStock) -> Plan:
    """The L-deck, planned with these on the rack."""
    plan = pipeline.make_plan(submission("l-deck"), library=library(), rack=offered).plan
    assert plan is not None
    return plan


def test_what_is_long_enough_to_keep_hangs_on_the_rack() -> None:
    """Each with its length, its stick, the job it is left of, and a tag of its own."""
    kept = [bar for bar in planned("l-deck").cuts.plain if bar.left >= 24 * INCH]

    found = rests()

    assert kept
    assert [one.stock.length for one in found] == [bar.left for bar in kept]
    assert len({one.tag for one in found}) == len(found)
    assert {one.home for one in found} == {planned("l-deck").job.job}


def test_the_pack_lists_them_to_be_tagged() -> None:
    """On the cut list, stick by stick."""
    sheet = next(s for s in pipeline.make_sheets(planned("l-deck")) if s.key == "cut-list")
    numbers = [bar.number for bar in planned("l-deck").cuts.plain if bar.racked]

    text = sheet.model_dump_json()

    assert numbers
    assert all(f"stick {number}" in text for number in numbers)


def test_a_rest_is_cut_before_a_stick_is_bought() -> None:
    """A handrail's length on the rack saves a stick, on the load and in the price."""
    whole = planned("l-deck")
    long = max(
        end - start
        for bar in whole.cuts.plain
        if bar.what == HANDRAIL
        for _, start, end in bar.pieces
    )

    plan = made(rest("R0001", length=long), rest("R0002", length=long - 1))

    assert pipeline.off_rack(plan) == ("R0001",)
    assert plan.cuts.plain_cents == whole.cuts.plain_cents - 5_200
    assert plan.cuts.plain_bound_cents <= plan.cuts.plain_cents
    assert recheck(plan) == ()
    loaded = {line.item: line.needed for line in plan.takeoff.lines}
    before = {line.item: line.needed for line in whole.takeoff.lines}
    assert loaded.get("grip-rail-96", 0) == before["grip-rail-96"] - 1
    sheet = next(s for s in pipeline.make_sheets(plan) if s.key == "load-out")
    assert "R0001" in sheet.model_dump_json()


def test_what_is_of_another_size_is_passed_over() -> None:
    """A core of 5 1/2 in, and another system's handrail."""
    thick = rest("R0003", length=90 * INCH, what="core", made_of=f"{11 * INCH // 2}")
    other = rest("R0004", length=90 * INCH, made_of="tern")

    plan = made(thick, other)

    assert pipeline.off_rack(plan) == ()
    assert plan.cuts.plain_offered == ()


def test_a_rest_that_was_not_set_aside_is_found() -> None:
    """Another job may have it; and no rest is cut twice."""
    plan = made(rest("R0001", length=90 * INCH))
    cuts = plan.cuts.model_copy(update={"plain_offered": ()})
    twice = tuple(bar.model_copy(update={"tag": "R0001"}) for bar in plan.cuts.plain)
    doubled = plan.cuts.model_copy(update={"plain": twice})

    lost = recheck(plan.model_copy(update={"cuts": cuts}))
    again = recheck(plan.model_copy(update={"cuts": doubled}))

    assert any("R0001 was not set aside" in says for says in lost)
    assert any("the rest R0001 is cut" in says for says in again)
