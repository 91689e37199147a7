"""Walls out of plumb: each end of the top rail follows its own wall."""

from __future__ import annotations

from typing import Any

import pytest

from schemas.bays import LevelBay
from services.pipeline import make_plan
from services.recheck import recheck
from services.tape import text
from tests.bays_by_hand import inch
from tests.builders import document, library, submission


def porch(*, start: str | None, end: str | None, length: str | None = None) -> dict[str, Any]:
    """A porch of one leg between two walls, which lean so much."""
    tree = document("porch")
    line = tree["lines"][0]
    for name, lean in (("start", start), ("end", end)):
        line[name].pop("out_of_plumb", None)
        if lean is not None:
            line[name]["out_of_plumb"] = lean
    if length is not None:
        tree["lines"][0]["legs"] = [{"name": "A", "length": length, "drop": "33"}]
    return tree


def bays(tree: dict[str, Any]) -> dict[str, LevelBay]:
    """Its level bays by name."""
    plan = make_plan(submission(tree), library=library()).plan
    assert plan is not None
    return {bay.name: bay for bay in plan.bays.level}


def out(bay: LevelBay) -> tuple[str, str]:
    """How far the top rail stands out beyond the bottom one, left and right."""
    left = bay.top_margin_left - bay.margin_left
    right = bay.top_margin_right - bay.margin_right
    return text(left, inch("1/16")), text(right, inch("1/16"))


@pytest.mark.parametrize(
    ("start", "end", "length", "takes"),
    [
        ("1/2", "-1/4", "84", ("1/2", "-1/4")),
        ("1/4", "1/8", "84", ("1/4", "1/8")),
        ("1/4", "-1/4", "84", ("1/4", "-1/4")),
        ("0", "1/4", "84", ("0", "1/4")),
        ("1/4", None, "84", ("1/4", "0")),
    ],
)
def test_each_wall_takes_its_own_lean(
    start: str, end: str | None, length: str, takes: tuple[str, str]
) -> None:
    """Two walls that lean otherwise leave each end of the top rail what its own wall leans."""
    found = bays(porch(start=start, end=end, length=length))

    assert out(found["W-A-W"]) == takes


def test_rest_of_an_opening_is_the_posts() -> None:
    """What an opening differs beyond its wall's reading leans at the post."""
    tree = porch(start="1/8", end=None)
    tree["lines"][0]["legs"][0]["clears"][0]["top"] = "68 13/16"

    found = bays(tree)

    assert out(found["W-A1"]) == ("1/8", "3/16")


def test_wall_not_read_takes_the_whole_difference() -> None:
    """Without a reading the wall is what leans, not the post."""
    tree = porch(start=None, end=None)

    found = bays(tree)

    assert out(found["W-A1"]) == ("1/8", "0")


def test_recheck_finds_a_lean_at_the_wrong_end() -> None:
    """A top rail shifted to the other end is no longer plumb over the bottom one."""
    made = make_plan(submission(porch(start="1/2", end="-1/4", length="84")), library=library())
    plan = made.plan
    assert plan is not None
    bay = plan.bays.level[0]
    off = inch("3/8")
    moved = bay.model_copy(
        update={
            "top_margin_left": bay.top_margin_left - off,
            "top_margin_right": bay.top_margin_right + off,
            "top_marks": tuple(mark - off for mark in bay.top_marks),
        }
    )
    spoilt = plan.model_copy(
        update={"bays": plan.bays.model_copy(update={"level": (moved, *plan.bays.level[1:])})}
    )

    assert any("the wall at its left stands out 0.500" in says for says in recheck(spoilt))


@pytest.mark.parametrize(
    ("top", "asked"), [("84 1/4", False), ("84 3/8", False), ("84 7/16", True)]
)
def test_tape_and_level_that_disagree_are_asked_about(top: str, *, asked: bool) -> None:
    """From wall to wall the two walls' leans make what the tape reads more at the top."""
    tree = porch(start="1/2", end="-1/4", length="84")
    tree["lines"][0]["legs"][0]["clears"] = [{"bottom": "84", "top": top}]

    made = make_plan(submission(tree), library=library())

    found = {question.key: question for question in made.questions}
    assert ("plumb-sum.A" in found) == asked
    if asked:
        puts = [option.sets[0].value for option in found["plumb-sum.A"].options]
        assert puts == ["11/16 in", "-1/16 in"]
