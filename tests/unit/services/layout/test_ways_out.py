"""Stops of the layout that offer what would mend them, each with its figure."""

from __future__ import annotations

from typing import Any

import pytest

from schemas.pack import Outcome
from schemas.site import Answer, Question
from services.pipeline import make_plan
from tests.builders import document, library, submission
from tests.unit.services.layout.decks import WALL, corner, gate, job_of, laid_out, leg, line


def tree(*legs: dict[str, Any], **more: Any) -> dict[str, Any]:  # noqa: ANN401 a field of any kind
    """A line between two walls."""
    plain = {"lines": [line(*legs, start=WALL, end=WALL)], "stairs": [], "gates": []}
    return {**document("l-deck"), "remove_feet": 0, **plain, **more}


def flight(foot: str) -> dict[str, Any]:
    """The demo's flight with its lower posts so far beyond the lowest nosing."""
    whole = document("l-deck")["stairs"][0]
    whole.pop("slope_deg", None)
    return {**whole, "leg": "A", "lower_post": {**whole["lower_post"], "from_last_nose": foot}}


def planned(sent: dict[str, Any], *answers: tuple[str, str]) -> Outcome:
    """What planning comes to, the office's answers given."""
    given = tuple(Answer(question=q, option=o, by="office", why="seen") for q, o in answers)
    return make_plan(submission(sent), library=library(), answers=given)


def values(question: Question) -> dict[str, list[object]]:
    """What each option puts right."""
    return {option.key: [one.value for one in option.sets] for option in question.options}


def test_posts_that_overlap_may_be_one_or_stand_apart() -> None:
    """A gate behind a fixed post: it starts where its post is that one, or an inch clear of it."""
    job = job_of(line(leg("A", "150", fixed_posts=["56"]), start=WALL), gates=[gate(start="60")])

    question = laid_out(job).questions[0]

    assert question.key == "post-clash.A.fixed-post"
    assert values(question) == {
        "one-post-G1": ["58 1/4 in"],
        "apart-G1": ["63 3/4 in"],
        "without-1": [()],
    }


def test_fixed_posts_that_overlap_are_one() -> None:
    """Either of two places may be the one where a post has to stand."""
    sent = tree(leg("A", "150", fixed_posts=["60", "63"]))

    asked = {question.key: question for question in planned(sent).questions}
    answered = planned(sent, ("post-clash.A.fixed-post", "without-1"))

    assert values(asked["post-clash.A.fixed-post"]) == {
        "without-1": [("63 in",)],
        "without-2": [("60 in",)],
    }
    assert answered.plan is not None


def test_fixed_posts_out_of_order_may_be_only_that() -> None:
    """Running measures written in another order are put into theirs."""
    sent = tree(leg("A", "192", fixed_posts=["100", "60"]))

    asked = {question.key: question for question in planned(sent).questions}

    assert values(asked["running.A"]) == {"in-order": [("60 in", "100 in")]}
    assert planned(sent, ("running.A", "in-order")).plan is not None


@pytest.mark.parametrize("way", ["one-post-G1", "apart-G1"])
def test_either_way_is_planned(way: str) -> None:
    """Both answers leave a plan that holds when it is measured again."""
    sent = tree(leg("A", "150", fixed_posts=["56"]), gates=[gate(start="60")])

    assert planned(sent, ("post-clash.A.fixed-post", way)).plan is not None


def test_opening_beside_posts_in_place_is_one_of_theirs() -> None:
    """A gate given beside every measured opening is answered by naming one."""
    clears = [{"bottom": "40"}, {"bottom": "36"}, {"bottom": "65"}]
    sent = tree(leg("A", "150", clears=clears), gates=[gate(start="90", width="36")])
    sent["lines"][0]["legs"][0]["fixed_posts"] = []

    asked = {question.key: question for question in planned(sent).questions}
    answered = planned(sent, ("opening.G1", "opening-2"))

    assert values(asked["opening.G1"])["opening-2"] == ["44 1/2 in", "36 in"]
    assert answered.plan is not None


def test_corner_that_fits_another_way_is_offered_so() -> None:
    """A post that halves 100 degrees shows both rails one face; a square one does not."""
    job = job_of(line(leg("A", "90", corner=corner(100, post="turned")), leg("B", "90")))

    question = next(q for q in laid_out(job).questions if q.key == "corner.A")

    assert values(question) == {"square": ["square"]}


def test_stair_in_a_dead_band_moves_its_lower_post() -> None:
    """The nearest foot that works is offered with its figure, and is planned."""
    low = {**flight("0"), "start": "60", "risers": 2, "riser": "7 1/2", "tread": "10 1/2"}
    low["upper_post"] = {"from_top_nose": "7 1/4"}
    for field in ("total_rise", "total_run", "each_riser", "each_tread", "straightedge"):
        low.pop(field, None)
    sent = tree(leg("A", "192"), stairs=[low])
    right = ("top-nose.S1", "both-right")

    asked = {question.key: question for question in planned(sent, right).questions}
    answered = planned(sent, right, ("dead-band.S1-L", "wider"), ("dead-band.S1-R", "wider"))

    assert "3 13/16 in (+9/16)" in asked["dead-band.S1-L"].says
    assert values(asked["dead-band.S1-L"]) == {"wider": ["9/16 in"]}
    assert not [q for q in answered.questions if q.key.startswith("dead-band")]
