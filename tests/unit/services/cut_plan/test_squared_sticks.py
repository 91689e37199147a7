"""Sticks whose ends are squared first: what they give, what joins, and what the recheck finds."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from schemas.cut_plan import PlainBar
from schemas.errors import NoLayout
from schemas.job import Library
from schemas.lengths import INCH
from schemas.plan import Plan
from schemas.rail_system import RailSystem
from services.cut_plan import plain_pieces
from services.pipeline import make_plan
from services.recheck import recheck
from tests import builders

TRIM = INCH // 4


def books(**handrail: Any) -> Library:  # noqa: ANN401 fields of a handrail
    """The demo's library: ends squared by 1/4 in, and something of the handrail changed."""
    library = builders.library()
    company = library.company.model_copy(update={"end_trim": TRIM})
    systems = tuple(_with_handrail(system, handrail) for system in library.systems)
    return library.model_copy(update={"company": company, "systems": systems})


def _with_handrail(system: RailSystem, changed: dict[str, Any]) -> RailSystem:
    if system.handrail is None:
        return system
    return system.model_copy(update={"handrail": system.handrail.model_copy(update=changed)})


@cache
def squared(stick: int = 96 * INCH) -> Plan:
    """The demo's deck, its handrail out of sticks of that length."""
    outcome = make_plan(builders.submission("l-deck"), library=books(stock=stick))
    assert outcome.plan is not None, [question.says for question in outcome.questions]
    return outcome.plan


def handrail(whole: Plan) -> int:
    """Length of the longest handrail on the slope."""
    return max((bay.handrail or 0) - bay.handrail_level for bay in whole.bays.stair)


def test_sleeves_cores_and_handrail_begin_behind_the_trim() -> None:
    """Every stick of the deck is squared a quarter inch, and the plan stands the recheck."""
    whole = squared()

    assert {bar.what for bar in whole.cuts.plain} == {"sleeve", "core", "handrail"}
    assert {bar.trim for bar in whole.cuts.plain} == {TRIM}
    assert {bar.pieces[0][1] for bar in whole.cuts.plain} == {TRIM}
    assert recheck(whole) == ()


@pytest.mark.parametrize(("over", "joints"), [(2 * TRIM, 0), (2 * TRIM - 1, 1)])
def test_a_stick_gives_its_length_less_both_trims(over: int, joints: int) -> None:
    """The last unit decides: one joint has one joiner and one bracket near it, counted twice."""
    long = handrail(squared())

    whole = squared(long + over)

    side = next(bay for bay in whole.bays.stair if bay.handrail)
    plain = next(bay for bay in squared().bays.stair if bay.handrail)
    assert side.handrail_brackets == plain.handrail_brackets + joints
    joiners = [line.needed for line in whole.takeoff.lines if line.item == "grip-joiner"]
    assert joiners == [joints * sum(bay.handrail is not None for bay in whole.bays.stair)]
    assert recheck(whole) == ()


def test_a_joint_without_its_own_bracket_is_found() -> None:
    """Brackets enough for the spacing alone leave the joint without one."""
    whole = squared(handrail(squared()))
    stairs = tuple(
        bay.model_copy(update={"handrail_brackets": bay.handrail_brackets - 1})
        for bay in whole.bays.stair
    )
    spoilt = whole.model_copy(update={"bays": whole.bays.model_copy(update={"stair": stairs})})

    assert any("too long between two" in says for says in recheck(spoilt))


@pytest.mark.parametrize(("stick", "stub"), [(26, False), (24, True)])
def test_sticks_that_would_leave_stubs_are_refused(stick: int, *, stub: bool) -> None:
    """A joined piece under 12 in is none, however short the sticks on sale are."""
    whole = squared()
    rails = books(stock=stick * INCH)
    stair_system = next(one for one in rails.systems if one.key == whole.job.stair_system.key)
    job = whole.job.model_copy(update={"stair_system": stair_system, "company": rails.company})
    long = whole.bays.stair[0].model_copy(
        update={"handrail": stick * INCH - 2 * TRIM + INCH // 16, "handrail_level": 0}
    )
    bays = whole.bays.model_copy(update={"stair": (long,)})

    if stub:
        with pytest.raises(NoLayout, match="pieces under 12 in; a longer stick is needed"):
            plain_pieces(job, whole.layout, bays)
    else:
        pieces = [one for one in plain_pieces(job, whole.layout, bays) if one.what == "handrail"]
        assert min(one.length for one in pieces) >= 12 * INCH


def _moved(bar: PlainBar, by: int) -> PlainBar:
    pieces = tuple((name, start + by, end + by) for name, start, end in bar.pieces)
    return bar.model_copy(update={"pieces": pieces})


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda bar: _moved(bar, -1), "cut out of an end not squared"),
        (lambda bar: bar.model_copy(update={"kerf": bar.kerf + 1}), "are not the stick"),
        (lambda bar: bar.model_copy(update={"left": bar.left + 1}), "are not the stick"),
        (lambda bar: bar.model_copy(update={"trim": bar.trim - 1}), "are not the stick"),
        (lambda bar: bar.model_copy(update={"racked": not bar.racked}), "is for the rack"),
    ],
)
def test_a_stick_that_does_not_add_up_is_found(change: Any, says: str) -> None:  # noqa: ANN401
    """A unit too many or too few anywhere on it, or an end left as it came."""
    whole = squared()
    plain = tuple(change(bar) if n == 0 else bar for n, bar in enumerate(whole.cuts.plain))
    spoilt = whole.model_copy(update={"cuts": whole.cuts.model_copy(update={"plain": plain})})

    assert any(says in one for one in recheck(spoilt))
