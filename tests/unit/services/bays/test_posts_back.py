"""A stair's rail that would end below the deck: what is offered, and that it mends the job."""

from __future__ import annotations

from typing import Any

import pytest

from schemas.pack import Outcome
from schemas.site import Answer
from services.pipeline import make_plan
from tests.builders import document, library, submission


def straight(*, inset: str, detail: str, face: str | None = None) -> dict[str, Any]:
    """One straight leg between walls with the demo's stair on it."""
    tree = document("l-deck")
    wall = {"kind": "wall", "substrate": "stud, block fitted"}
    tree["lines"] = [
        {
            "measured": "deck-edge", "inset": inset, "heading": "along", "start": wall,
            "end": wall, "legs": [{"name": "A", "length": "192", "drop": "50"}],
        }
    ]  # fmt: skip
    tree["stairs"][0] |= {"leg": "A", "start": "60"}
    if face is not None:
        tree["stairs"][0]["upper_post"] = {"from_top_nose": face}
    tree["post"] |= {"detail": detail}
    return tree


def planned(tree: dict[str, Any], *answers: tuple[str, str]) -> Outcome:
    """The job with those answers."""
    return make_plan(
        submission(tree),
        library=library(),
        answers=tuple(
            Answer(question=question, option=option, by="N. Osei", why="asked the customer")
            for question, option in answers
        ),
    )


def stops(outcome: Outcome) -> list[str]:
    """What still stops it."""
    return [question.key for question in outcome.questions if question.severity == "stop"]


def test_posts_outside_the_rim_go_to_its_inside() -> None:
    """The place is the culprit; the answer brings inset and detail, and the job is planned."""
    tree = straight(inset="-1 3/4", detail="D-5")

    asked = planned(tree)
    answered = planned(tree, ("buried-at-upper.S1-L", "back"))

    buried = next(q for q in asked.questions if q.key == "buried-at-upper.S1-L")
    assert "outside of the rim" in buried.says
    (back,) = buried.options
    assert [(c.pointer, c.value) for c in back.sets] == [
        ("/post/detail", "D-3"),
        ("/lines/0/inset", "3 1/4 in"),
    ]
    assert answered.plan is not None
    assert stops(answered) == []
    assert all(bay.bottom_at_upper > 0 for bay in answered.plan.bays.stair)


def test_measured_face_moves_back_with_its_line() -> None:
    """A face 3 in downhill: line and face both go back by what the rake asks for, not more."""
    tree = straight(inset="3 1/2", detail="D-3", face="3")
    right = ("top-nose.S1", "both-right")

    answered = planned(tree, right, ("buried-at-upper.S1-L", "back"))

    assert "buried-at-upper.S1-L" in stops(planned(tree, right))
    assert answered.plan is not None
    assert stops(answered) == []
    step = answered.plan.job.step
    assert all(0 < bay.bottom_at_upper <= 3 * step for bay in answered.plan.bays.stair)


@pytest.mark.parametrize("measured", ["deck-edge", "post-centre"])
def test_line_along_post_centres_has_no_edge_to_go_back_from(measured: str) -> None:
    """There the office must send the measures: no figure of ours moves the posts."""
    tree = straight(inset="3 1/2", detail="D-3", face="3")
    tree["lines"][0]["measured"] = measured

    asked = planned(tree, ("top-nose.S1", "both-right"))

    buried = next(q for q in asked.questions if q.key == "buried-at-upper.S1-L")
    assert [option.key for option in buried.options] == (
        ["back"] if measured == "deck-edge" else []
    )
