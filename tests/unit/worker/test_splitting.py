"""A split job through the whole pipeline: what its two packs are made of and say."""

from __future__ import annotations

from datetime import date
from functools import cache
from typing import Any

from schemas.pages import Ticks
from schemas.plan import Plan
from services.pages.job_card import job_card
from services.pipeline import make_plan
from tests import builders
from tests.unit.services.pages.sheet_text import words
from worker.splitting import parts_of

NEXT = date(2026, 12, 4)


def whole() -> dict[str, Any]:
    """The demo's deck, and its porch between walls as a second line with leg P."""
    tree = builders.document("l-deck") | {"remove_feet": 0}
    (porch,) = builders.document("porch")["lines"]
    porch["legs"][0]["name"] = "P"
    return tree | {"lines": [*tree["lines"], porch]}


@cache
def planned(part: int | None = None) -> Plan:
    """The whole job, or one of its parts, planned."""
    tree = whole()
    if part is not None:
        tree = parts_of(tree, second=["P"], day=NEXT, crew="wren")[part - 1]
    outcome = make_plan(builders.submission(tree), library=builders.library())
    assert outcome.plan is not None, outcome.questions
    return outcome.plan


def bays(plan: Plan) -> set[str]:
    """Names of all bays, level and on stairs."""
    return {bay.name for bay in plan.bays.level} | {bay.name for bay in plan.bays.stair}


def test_the_parts_have_the_bays_of_the_whole_and_none_twice() -> None:
    """And each part is counted over as complete by itself."""
    first, second = planned(1), planned(2)

    assert bays(first) | bays(second) == bays(planned())
    assert not bays(first) & bays(second)
    assert all(row[-1] for part in (first, second) for row in part.compliance.complete)


def test_each_card_names_the_other_part_and_asks_for_a_guard_there() -> None:
    """Its job, legs, crew and day; the guard is a hold point, for no edge stays open overnight."""
    first, second = job_card(planned(1)), job_card(planned(2))

    assert "Part 1 of 2 of job P-2041" in words(first)
    assert "P-2041-2: legs P, crew Wren, 4 December 2026" in words(first)
    assert "P-2041-1: legs A, B, C, D, E, crew Heron, 3 December 2026" in words(second)
    for card, legs in ((first, "P"), (second, "A, B, C, D, E")):
        ticks = [tick for block in card.blocks if isinstance(block, Ticks) for tick in block.ticks]
        assert [t.hold for t in ticks if t.text.startswith(f"Leave legs {legs} as")] == [True]


def test_a_whole_jobs_card_says_nothing_of_parts() -> None:
    """It has no other part."""
    assert "of 2 of job" not in words(job_card(planned()))
