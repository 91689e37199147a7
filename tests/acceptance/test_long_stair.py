"""A flight longer than any stair kit: asked about, parted by a mid post, planned and printed."""

from __future__ import annotations

from functools import cache
from math import hypot
from typing import Any

import pytest

from schemas.lengths import read_length
from schemas.pack import Outcome
from schemas.plan import Plan
from schemas.site import Answer
from services.pipeline import make_pack, make_plan
from tests.builders import document, library, submission


def _tree(**more: object) -> dict[str, Any]:
    """Fourteen risers of 7 1/2 on 10 1/2 out of a straight deck; rails on both sides."""
    tree = document("two-stair-sides")
    own = {"risers": 14, "total_rise": "105", "total_run": "136 1/2"}
    tree["stairs"] = [tree["stairs"][0] | own | more]
    tree["lines"][0]["legs"][0]["drop"] = "105"
    return tree


@cache
def _answered() -> Outcome:
    yes = Answer(question="mid-post.S1", option="auto", by="R. Oyelaran", why="owner agrees")
    return make_plan(submission(_tree()), library=library(), answers=(yes,))


def _plan() -> Plan:
    plan = _answered().plan
    assert plan is not None, [question.says for question in _answered().questions]
    return plan


def _in(written: str) -> int:
    return read_length(written, "in")


def test_without_permission_it_is_a_question() -> None:
    """171 1/8 along the slope against 95: a stop with the figures and the way on."""
    asked = make_plan(submission(_tree()), library=library())

    assert asked.plan is None
    (stop,) = [question for question in asked.questions if question.severity == "stop"]
    assert stop.key == "mid-post.S1"
    assert "171 1/8 in" in stop.says
    assert [option.key for option in stop.options] == ["auto"]


def test_answer_parts_both_sides_alike() -> None:
    """Two bays a side, lower first, each the same opening: (139 1/4 - 4 1/2) / 2 = 67 3/8."""
    bays = _plan().bays.stair

    assert [bay.name for bay in bays] == ["S1-L1", "S1-L2", "S1-R1", "S1-R2"]
    assert {bay.clear for bay in bays} == {_in("67 3/8")}


def test_both_bays_lie_on_one_line() -> None:
    """One height over the nosing line, and every nosing is told once a side."""
    bays = _plan().bays.stair

    assert len({(bay.rail_over_nosing, bay.top_over_nosing) for bay in bays}) == 1
    told = [nose.nosing for bay in (bays[1], bays[0]) for nose in bay.heights]
    assert told == list(range(1, 15))


def test_mid_post_heights_stand_on_its_tread() -> None:
    """Faces 66 1/8 and 70 5/8 down from the top nosing, tread seven risers down.

    With T over the line: T + 52 1/2 - 66 1/8 * 7.5 / 10.5 at the uphill bay's lower end.
    """
    lower, upper = _plan().bays.stair[:2]

    line = upper.top_over_nosing + _in("52 1/2")
    slope = 7.5 / 10.5
    assert upper.top_at_lower == pytest.approx(line - _in("66 1/8") * slope, abs=_in("1/16"))
    assert lower.top_at_upper == pytest.approx(line - _in("70 5/8") * slope, abs=_in("1/16"))


def test_mid_post_shows_the_same_reveal() -> None:
    """Its sleeve covers the higher rail, the one that goes on uphill, by the same reveal."""
    heights = {height.post: height for height in _plan().bays.posts}
    upper = _plan().bays.stair[1]

    assert heights["S1-LM1"].rail_top == upper.top_at_lower
    assert heights["S1-LM1"].reveal == heights["S1-L"].reveal
    assert {mark.bay for mark in heights["S1-LM1"].faces} == {"S1-L1", "S1-L2"}


def test_handrail_passes_the_mid_post_in_one() -> None:
    """13 treads along the slope, told once a side, at the foot."""
    lower, upper = _plan().bays.stair[:2]

    along = 13 * hypot(7.5, 10.5)
    assert lower.handrail == pytest.approx(_in(f"{along:.4f}"), abs=_in("1/16"))
    assert upper.handrail is None


def test_mid_posts_are_set_covered_and_printed() -> None:
    """On the takeoff, in the steps and on sheets of their own."""
    plan = _plan()
    to_set = [post for post in plan.layout.posts if not post.in_place]
    caps = next(line for line in plan.takeoff.lines if line.item == plan.job.system.sleeve.cap_key)

    keys = {key for key, _, _ in make_pack(plan, issued="test").sheets}

    assert caps.needed == len(to_set) == 7
    assert any("S1-LM1" in step.text for step in plan.sequence.steps if step.stage == "Posts")
    assert {"stair-S1-L1", "stair-S1-L2"} <= keys


def test_unequal_risers_keep_the_mid_post_on_its_own_tread() -> None:
    """Risers measured one by one: the foot is their sum down to that tread, not a product."""
    each = ["7 1/2"] * 6 + ["7 3/8", "7 5/8"] + ["7 1/2"] * 6
    tree = _tree(each_riser=each, mid_posts="auto")

    plan = make_plan(submission(tree), library=library()).plan

    assert plan is not None
    upper = plan.bays.stair[1]
    seven_down = sum(_in(riser) for riser in each[7:])
    line = upper.top_over_nosing + seven_down - _in("66 1/8") * 7.5 / 10.5
    assert upper.top_at_lower == pytest.approx(line, abs=_in("1/16"))
