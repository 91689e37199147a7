"""Two flights and the landing between them, from the measure to the printed pack."""

from __future__ import annotations

from functools import cache

import pytest

from schemas.lengths import read_length
from schemas.part_rule import PartRule
from schemas.plan import Plan
from services.pipeline import make_pack, make_plan
from tests.builders import library, submission
from tests.landings import two_flights


@cache
def _plan() -> Plan:
    made = make_plan(submission(two_flights()), library=library())
    assert made.plan is not None, [question.says for question in made.questions]
    return made.plan


def _in(written: str) -> int:
    return read_length(written, "in")


def test_a_measured_turn_asks_only_of_the_handrails() -> None:
    """Flights, edges and posts are known; whether the handrails go round the landing is not."""
    asked = make_plan(submission(two_flights()), library=library()).questions

    assert [(one.key, one.severity) for one in asked] == [("handrail-landing.S2", "hold")]


@pytest.mark.parametrize("handrail", [[], ["left"]])
def test_handrails_that_do_not_meet_at_the_landing_ask_nothing(handrail: list[str]) -> None:
    """None on the lower flight, or none beside it on the upper one."""
    flights = two_flights(lower={"handrail": handrail}, upper={"handrail": ["right"]})

    asked = make_plan(submission(flights), library=library()).questions

    assert not [one.key for one in asked if one.key.startswith("handrail-landing")]


def test_a_part_rule_for_landings_is_the_answer() -> None:
    """An elbow that goes along by rule is on the load, and nothing is asked."""
    rule = PartRule(key="grip-elbow", group="handrail", per="handrail-landing", count=2)
    ours = library()
    extras = (*ours.company.extras, rule)
    company = ours.company.model_copy(update={"extras": extras})

    made = make_plan(
        submission(two_flights()), library=ours.model_copy(update={"company": company})
    )

    assert made.questions == ()
    assert made.plan is not None
    assert {one.item: one.needed for one in made.plan.takeoff.lines}["grip-elbow"] == 4


def test_post_at_the_turn_stands_once() -> None:
    """S1's left foot is the first post of the landing, its right foot the last one."""
    layout = _plan().layout
    feet = {bay.name: bay.left.post for bay in layout.bays if bay.kind == "stair"}

    assert feet == {"S1-L": "F1", "S1-R": "H2", "S2-L": "S2-L", "S2-R": "S2-R"}
    assert not {"S1-L", "S1-R"} & {post.name for post in layout.posts}


def test_post_at_the_turn_carries_two_lines() -> None:
    """F1 is unfolded with S1 coming down to it and S2 going down from it, each at its height."""
    heights = {height.post: height for height in _plan().bays.posts}
    stairs = {bay.name: bay for bay in _plan().bays.stair}

    tops = {mark.bay: mark.topside for mark in heights["F1"].faces if mark.rail == "top"}
    assert tops == {"S1-L": stairs["S1-L"].top_at_lower, "S2-L": stairs["S2-L"].top_at_upper}
    assert heights["F1"].rail_top == max(tops.values())


def test_landing_rail_meets_the_foot_of_the_flight_above() -> None:
    """H2 carries the landing's level rail and the rake of S1, both above the landing."""
    heights = {height.post: height for height in _plan().bays.posts}

    assert {mark.bay for mark in heights["H2"].faces} == {"H1-H2", "S1-R"}


def test_landing_lies_at_the_foot_of_its_flight_in_plan() -> None:
    """F1 is straight out from S1's upper left post, by the opening and a sleeve."""
    layout = _plan().layout
    bay = next(bay for bay in layout.bays if bay.name == "S1-L")

    upper, foot = layout.post(str(bay.right.post)), layout.post("F1")
    assert foot.point.x == pytest.approx(upper.point.x)
    assert upper.point.y - foot.point.y == pytest.approx(bay.clear + _in("4 1/2"), abs=508)


def test_each_flight_has_its_own_line() -> None:
    """Alike in riser and tread, they stand alike over their own nosings, 7 and 5 of them."""
    stairs = {bay.name: bay for bay in _plan().bays.stair}

    assert [len(stairs[name].heights) for name in ("S1-L", "S2-L")] == [7, 5]
    assert stairs["S1-L"].rail_over_nosing == stairs["S2-L"].rail_over_nosing


def test_pack_prints() -> None:
    """Every side of both flights and the landing's bays have their sheets."""
    sheets = make_pack(_plan(), issued="test").sheets

    titles = [title for key, title, _ in sheets if key.startswith("stair-")]
    sides = sorted(side for title in titles for side in title.partition(" ")[2].split(", "))
    assert sides == ["S1-L", "S1-R", "S2-L", "S2-R"]


def test_turn_of_180_with_a_post_each() -> None:
    """S2 beside S1, back under it: nothing is shared, four feet and four heads stand."""
    turned = {
        "from_landing": {"stair": "S1", "turn": "back", "guard": "legs"},
        "start": "60",
        "leg": "G",
    }
    legs = [
        {"name": "F", "length": "46 1/2", "corner": {"turn_deg": 90}, "drop": "37 1/2"},
        {"name": "G", "length": "130", "corner": {"turn_deg": 90}, "drop": "37 1/2"},
        {"name": "H", "length": "46 1/2", "drop": "37 1/2"},
    ]
    tree = two_flights(lower=turned, upper={"goes_on": "back"}, legs=legs, end={"kind": "post"})

    plan = make_plan(submission(tree), library=library()).plan

    assert plan is not None
    names = {post.name for post in plan.layout.posts}
    assert {"S1-L", "S1-R", "S2-L", "S2-R"} <= names


def test_two_flights_down_from_one_landing() -> None:
    """S2 and S3 break two edges of the landing and both go on from S1."""
    tree = two_flights()
    third = tree["stairs"][1] | {
        "name": "S3",
        "leg": "H",
        "from_landing": {"stair": "S1", "turn": "right", "shared": "right", "guard": "legs"},
    }
    tree["stairs"].append(third)
    tree["lines"][1]["end"] = {"kind": "post"}

    made = make_plan(submission(tree), library=library())

    assert made.plan is not None, [question.says for question in made.questions]
    feet = {bay.name: bay.left.post for bay in made.plan.layout.bays if bay.kind == "stair"}
    assert (feet["S1-L"], feet["S1-R"]) == ("F1", "H2")
    assert len(made.plan.bays.stair) == 6


def test_post_that_ends_the_line_at_a_180_turn_is_refused() -> None:
    """The landing's first post would be S1's foot and S2's head: two posts are asked for."""
    tree = two_flights(
        lower={"from_landing": {"stair": "S1", "turn": "back", "guard": "legs"}},
        upper={"goes_on": "back"},
        start={"kind": "post", "same_as": "S1-L"},
    )

    made = make_plan(submission(tree), library=library())

    assert made.plan is None
    assert [q.key for q in made.questions if q.severity == "stop"] == ["landing-post.S2"]
