"""Posts and rails of different legs and flights do not stand in one place."""

from __future__ import annotations

from typing import Any

import pytest

from schemas.pack import Outcome
from schemas.site import Answer, Question
from services.intake import make_job
from services.pipeline import make_plan
from services.recheck import recheck
from tests.builders import document, library, submission

WALL = {"kind": "wall", "substrate": "stud, block fitted"}


def leg(name: str, length: str, hand: str | None = None, turn: int = 90) -> dict[str, Any]:
    """A leg, and the corner at its end."""
    corner = {"corner": {"turn_deg": turn, "hand": hand}} if hand else {}
    return {"name": name, "length": length, "drop": "40", **corner}


def stair(name: str, on: str, start: str, **more: Any) -> dict[str, Any]:  # noqa: ANN401 a field of any kind
    """The demo's flight, elsewhere."""
    flight = {**document("l-deck")["stairs"][0], "name": name, "leg": on, "start": start, **more}
    flight.pop("slope_deg", None)
    return flight


def site(legs: list[dict[str, Any]], stairs: list[dict[str, Any]], **line: Any) -> dict[str, Any]:  # noqa: ANN401 a field of any kind
    """A line of legs from a wall, with flights."""
    tree = document("l-deck")
    whole = {"measured": "deck-edge", "inset": "3 1/2", "start": WALL, "end": WALL, **line}
    return {**tree, "lines": [{**whole, "legs": legs}], "stairs": stairs, "remove_feet": 0}


def planned(tree: dict[str, Any], *answers: tuple[str, str]) -> Outcome:
    """What planning comes to, the office's answers given."""
    given = tuple(Answer(question=q, option=o, by="office", why="seen") for q, o in answers)
    return make_plan(submission(tree), library=library(), answers=given)


def too_near(outcome: Outcome) -> dict[str, Question]:
    """Questions about two things in one place."""
    return {q.key: q for q in outcome.questions if q.key.startswith("too-near.")}


def two_flights(apart: str) -> dict[str, Any]:
    """Two flights side by side on one leg, the second one starting there."""
    flights = [stair("S1", "A", "60"), stair("S2", "A", apart)]
    return site([leg("A", "240")], flights, heading="along")


def inside_corner(start: str) -> dict[str, Any]:
    """A flight on the leg before an inside corner, its right side so far from the corner."""
    legs = [leg("A", "96", "outside"), leg("B", "120", "inside"), leg("C", "120", "outside")]
    return site([*legs, leg("D", "96")], [stair("S1", "B", start)], heading="out",
                end={"kind": "post"})  # fmt: skip


def test_two_flights_on_one_post_are_asked_about() -> None:
    """Side by side with one upper post, both want a rail and a lower post in one place."""
    asked = too_near(planned(two_flights("106 1/2")))

    assert list(asked) == ["too-near.S1-R.S2-L"]
    question = asked["too-near.S1-R.S2-L"]
    assert question.severity == "stop"
    assert "4 1/2 in" in question.says
    assert [option.key for option in question.options] == ["none-S1-right", "none-S2-left"]


def test_one_rail_does_for_both_flights() -> None:
    """With one flight's rail left out the pair is built, and the recheck agrees."""
    outcome = planned(two_flights("106 1/2"), ("too-near.S1-R.S2-L", "none-S1-right"))

    assert outcome.plan is not None
    assert [bay.name for bay in outcome.plan.bays.stair] == ["S1-L", "S2-L", "S2-R"]


def test_flights_apart_are_not_asked_about() -> None:
    """A post more between them is enough."""
    assert not too_near(planned(two_flights("115 1/2")))


def test_flight_along_the_next_leg_is_asked_about() -> None:
    """At an inside corner the flight's right rail would lie in the next leg's guard."""
    asked = too_near(planned(inside_corner("79 1/4")))

    assert [key.startswith("too-near.C") for key in asked] == [True]
    assert all("stair S1" in question.says for question in asked.values())


def test_rail_is_left_out_only_for_what_runs_along_it() -> None:
    """A rail across the flight closes no side of it: none of the options leaves one out."""
    legs = [leg("A", "96", "outside"), leg("B", "120", "inside"), leg("C", "36", "inside")]
    tree = site([*legs, leg("D", "110")], [stair("S1", "B", "40")], end={"kind": "post"})

    asked = too_near(planned(tree))

    across = [q for key, q in asked.items() if "D" in key.replace("D-", "")]
    assert across
    assert all(not question.options for question in across)


def test_flight_off_the_next_leg_is_not_asked_about() -> None:
    """Away from the corner nothing is in its way."""
    assert not too_near(planned(inside_corner("30")))


@pytest.mark.parametrize(("closes", "asked"), [("60", False), ("28", True)])
def test_line_that_runs_into_itself_is_asked_about(closes: str, asked: bool) -> None:  # noqa: FBT001 a row of a table
    """A last leg that comes back over the first one names both."""
    legs = [leg("A", "60", "outside"), leg("B", closes, "outside"), leg("C", "60")]
    if asked:
        legs = [leg("A", "60", "outside"), leg("B", "28", "outside"), leg("C", "40", "outside"),
                leg("D", "60")]  # fmt: skip
    tree = site(legs, [], heading="out", start={"kind": "post"}, end={"kind": "post"})

    found = too_near(planned(tree))

    assert bool(found) == asked
    assert all("leg A" in q.says and "leg D" in q.says for q in found.values())


def test_posts_in_place_get_no_skirts_to_find_room_for() -> None:
    """Half an inch between two sleeves that stand is as it was found."""
    clears = [{"bottom": "66"}, {"bottom": "1/2"}, {"bottom": "68 1/2"}]
    tree = site([{**leg("A", "144"), "clears": clears}], [], heading="along")

    assert not too_near(planned(tree))


def test_lines_measured_apart_are_said_to_be() -> None:
    """Where two lines stand to each other was not measured: the paper says it is not checked."""
    tree = site([leg("A", "96")], [], heading="along")
    two = {**tree, "lines": [*tree["lines"], {**tree["lines"][0], "legs": [leg("B", "96")]}]}

    said = [
        [one.says for one in make_job(submission(each), library=library()).assumed]
        for each in (tree, two)
    ]

    assert [any("measured apart" in says for says in each) for each in said] == [False, True]


def test_recheck_finds_a_post_set_into_another_flight() -> None:
    """A lower post moved onto another flight's is found by probing, not by the layout's means."""
    plan = planned(two_flights("115 1/2")).plan
    assert plan is not None
    there = plan.layout.post("S2-L").point
    posts = tuple(
        post.model_copy(update={"point": there}) if post.name == "S1-R" else post
        for post in plan.layout.posts
    )
    spoilt = plan.model_copy(update={"layout": plan.layout.model_copy(update={"posts": posts})})

    assert any("S1-R and S2-L: stand in one place" in says for says in recheck(spoilt))
