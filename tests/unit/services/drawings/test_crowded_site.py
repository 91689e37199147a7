"""A site of many legs still has a key plan, with fewer names rather than none."""

from __future__ import annotations

import json
from typing import Any

from schemas.pack import Outcome
from schemas.plan import Plan
from schemas.submission import Submission
from services import pipeline
from services.drawings.boxes import outside, overlapping
from services.drawings.site_plan import key_plan
from services.intake import read_document
from tests.builders import document, library

LETTERS = "ABCDEFGHIJKLMNOPQRTUVWXYZ"


def stepped(legs: int) -> Plan:
    """The plan of a deck edge of so many legs of 20 ft, turning out and in by turns."""
    plan = asked_of(legs).plan
    assert plan is not None
    return plan


def asked_of(legs: int) -> Outcome:
    """The same deck edge, planned or asked about."""
    tree = document("l-deck")
    tree |= {"stairs": [], "gates": []}
    tree["lines"][0]["legs"] = [_leg(n, last=n == legs - 1) for n in range(legs)]
    submission = read_document(json.dumps(tree).encode(), Submission)
    return pipeline.make_plan(submission, library=library())


def _leg(number: int, *, last: bool) -> dict[str, Any]:
    first, second = LETTERS[number % 25], LETTERS[number // 25 - 1] if number >= 25 else ""
    turn = {"turn_deg": 90, "hand": "outside" if number % 2 else "inside"}
    leg = {"name": first + second, "length": f"{240 + number % 7} in", "drop": "46"}
    return leg if last else {**leg, "corner": turn}


def test_twenty_legs_are_drawn_with_every_post_named() -> None:
    """Smaller letters make the room."""
    plan = stepped(20)

    drawing = key_plan(job=plan.job, layout=plan.layout)

    said = {label.text for label in drawing.labels}
    assert {post.name for post in plan.layout.posts} <= said
    assert not overlapping(drawing)
    assert not outside(drawing)


def test_forty_legs_are_drawn_with_fewer_names_and_it_is_said() -> None:
    """The strips name every post."""
    plan = stepped(40)

    drawing = key_plan(job=plan.job, layout=plan.layout)

    assert "named on the strips" in drawing.title
    assert {leg.name for leg in plan.layout.legs} <= {label.text for label in drawing.labels}
    assert not overlapping(drawing)


def test_more_than_a_sheet_can_hold_is_asked_at_the_plan() -> None:
    """Not when the pack is set: the field and what the office can do are named."""
    (asked,) = asked_of(60).questions

    assert (asked.key, asked.severity) == ("key-plan.lines", "stop")
    assert asked.says.startswith("/lines has 60 legs in 1 guard line")
    assert "start the next job at that post" in asked.says
