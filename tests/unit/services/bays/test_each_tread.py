"""Treads measured one by one: nosings, handrail and heights follow them; their spread is held."""

from __future__ import annotations

from typing import Any

import pytest

from schemas.lengths import INCH
from schemas.pack import Outcome
from services.pipeline import make_plan
from services.recheck import recheck
from tests.builders import document, library, submission

EVEN = ["11"] * 5


def _planned(each: list[str], **stair: object) -> Outcome:
    tree: dict[str, Any] = document("l-deck")
    tree["stairs"][0] |= {"each_tread": each} | stair
    return make_plan(submission(tree), library=library())


def _asked(each: list[str], **stair: object) -> dict[str, str]:
    return {q.key: q.severity for q in _planned(each, **stair).questions}


@pytest.mark.parametrize(
    ("odd", "asked"), [("11 3/8", False), ("11 7/16", True), ("10 5/8", False), ("10 9/16", True)]
)
def test_spread_of_treads_is_a_hold(odd: str, asked: bool) -> None:  # noqa: FBT001
    """International Residential Code 2021, R311.7.5.2: 3/8 in from the greatest to the smallest."""
    found = _asked([odd, *EVEN[1:]], total_run=None, straightedge=None)

    assert found.get("tread-spread.S1") == ("hold" if asked else None)


def test_spread_of_treads_stands_in_the_findings() -> None:
    """Measured one by one it is a figure with a margin; else it is not known."""
    plan = _planned(["11 1/8", *EVEN[1:]], total_run=None).plan
    assert plan is not None

    (finding,) = (f for f in plan.compliance.findings if f.rule == "stair-tread-spread")
    assert (finding.found, finding.verdict) == ("1/8 in", "meets")
    assert recheck(plan) == ()


@pytest.mark.parametrize(
    ("each", "asked"), [(EVEN, False), (EVEN[1:], True), ([*EVEN, "11"], True)]
)
def test_treads_are_one_fewer_than_risers(each: list[str], asked: bool) -> None:  # noqa: FBT001
    """Six risers have five treads between them; another count stops."""
    found = _asked(each)

    assert ("stop" in found.values()) == asked


def test_sum_of_treads_is_held_against_the_total_run() -> None:
    """55 in of treads and a total run of 56: only the total would put that right."""
    (asked,) = _planned(EVEN, total_run="56").questions

    assert asked.key == "run.S1"
    assert "the treads measured one by one make 55 in" in asked.says
    assert [put.pointer for option in asked.options for put in option.sets] == [
        "/stairs/0/total_run"
    ]


def test_nosings_stand_as_measured() -> None:
    """Each nosing lies where the treads above it put it, and its height follows the rake.

    From the top down 11 1/8, 11, 11, 11, 10 7/8: nosings 2 to 5 lie 1/8 in further out, where
    a line of 7 1/2 on 11 has fallen 0.085 in more; the lowest is where it was.
    """
    plain, odd = _planned(EVEN).plan, _planned(["10 7/8", *EVEN[1:4], "11 1/8"]).plan
    assert plain is not None
    assert odd is not None
    was, now = plain.bays.stair[0].heights, odd.bays.stair[0].heights

    outs = [(b.from_upper_face - a.from_upper_face) / INCH for a, b in zip(was, now, strict=True)]
    lower = odd.bays.stair[0].top_over_nosing - plain.bays.stair[0].top_over_nosing
    falls = [(b.top - a.top - lower) / INCH for a, b in zip(was, now, strict=True)]

    assert outs == [0, 0.125, 0.125, 0.125, 0.125, 0]
    assert falls == pytest.approx([0, *[-0.0852] * 4, 0], abs=1 / 320 / 8)
    assert recheck(odd) == ()
