"""Closed lines whose corners make the full turn but for less than a degree."""

from __future__ import annotations

from typing import Any

import pytest

from services.pipeline import make_plan
from services.recheck import recheck
from tests.builders import document, library, submission


def deck(*turns: float, sides: tuple[str, ...] = (), measured: str = "deck-edge") -> dict[str, Any]:
    """A deck all round, its corners as they were read."""
    long = sides or ("144", "120", "144", "120")
    legs = [
        {"name": name, "length": size, "drop": "40",
         "corner": {"turn_deg": turn, "hand": "outside"}}
        for name, size, turn in zip("ABCDEFGH", long, turns, strict=False)
    ]  # fmt: skip
    tree = document("l-deck")
    line = {"measured": measured, "heading": "along", "legs": legs, "closed": True}
    line |= {"inset": "3 1/2"} if measured == "deck-edge" else {}
    return {**tree, "lines": [line], "stairs": [], "remove_feet": 0}


@pytest.mark.parametrize("measured", ["deck-edge", "post-centre"])
@pytest.mark.parametrize(
    "turns",
    [
        (90.0, 90.0, 90.0, 89.5),
        (90.0, 90.0, 90.0, 91.0),
        (90.0, 90.0, 90.0, 89.0),
        (90.0, 90.2, 90.0, 89.4),
    ],
)
def test_corners_a_degree_off_the_full_turn_are_planned(
    measured: str, turns: tuple[float, ...]
) -> None:
    """The corner where the line closes is cut to its own reading, and the recheck agrees."""
    made = make_plan(submission(deck(*turns, measured=measured)), library=library())

    assert made.plan is not None, made.questions
    assert recheck(made.plan) == ()


def test_eight_corners_with_one_half_a_degree_off() -> None:
    """A mitred corner is held to its own reading too."""
    turns = (45.0,) * 7 + (44.5,)
    made = make_plan(submission(deck(*turns, sides=("96",) * 8)), library=library())

    assert made.plan is not None, made.questions
    last = made.plan.layout.bays[-1]
    assert last.right.mitre_deg == 22.25


def test_more_than_a_degree_stops() -> None:
    """Beyond a degree the corners are asked about before any paper."""
    made = make_plan(submission(deck(90.0, 90.0, 90.0, 88.9)), library=library())

    assert made.plan is None
    assert [q.key for q in made.questions if q.severity == "stop"] == ["closing.A"]


def test_recheck_finds_a_mitre_that_is_not_the_reading() -> None:
    """The closing corner's own saw setting is measured, not waved through."""
    plan = make_plan(submission(deck(90.0, 90.0, 90.0, 89.5)), library=library()).plan
    assert plan is not None
    last = plan.layout.bays[-1]
    end = last.right.model_copy(update={"mitre_deg": last.right.mitre_deg + 0.5})
    bays = (*plan.layout.bays[:-1], last.model_copy(update={"right": end}))
    spoilt = plan.model_copy(update={"layout": plan.layout.model_copy(update={"bays": bays})})

    assert any("degrees printed at A1" in says for says in recheck(spoilt))
