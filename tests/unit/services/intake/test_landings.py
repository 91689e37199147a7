"""Landings: each doubt about the flights and the posts between them, and what just is none."""

from __future__ import annotations

from typing import Any

import pytest

from schemas.site import Question
from services.intake.cross_checks import check_measure
from tests import builders
from tests.landings import two_flights


def _asked(tree: dict[str, Any]) -> dict[str, Question]:
    return {question.key: question for question in check_measure(builders.job(tree))}


def _landing(**more: object) -> dict[str, Any]:
    plain = {"stair": "S1", "turn": "left", "shared": "left", "guard": "legs"}
    return {"from_landing": plain | more}


def test_both_flights_measured_ask_nothing() -> None:
    """The turn as it should be noted."""
    assert _asked(two_flights()) == {}


def test_flight_that_goes_on_unmeasured_holds() -> None:
    """A turn is noted and the lower flight is missing."""
    tree = two_flights()
    del tree["stairs"][1]

    found = _asked(tree)

    assert found["landing.S1"].severity == "hold"


def test_flight_that_ends_at_its_landing_is_not_missed() -> None:
    """Nothing noted below: the landing is the ground."""
    tree = two_flights(upper={"goes_on": None})
    del tree["stairs"][1]

    assert "landing.S1" not in _asked(tree)


def test_flight_above_that_was_not_measured_holds() -> None:
    """S2 starts at the landing of S9, which is not in the list."""
    found = _asked(two_flights(lower=_landing(stair="S9")))

    assert found["landing.S2"].severity == "hold"
    assert "landing of S9" in found["landing.S2"].says


@pytest.mark.parametrize(
    ("turn", "shared", "asked"),
    [
        ("left", "left", False),
        ("left", None, False),
        ("left", "right", True),
        ("straight", "left", True),
        ("back", "left", True),
        ("back", None, False),
    ],
)
def test_one_post_for_two_flights(turn: str, shared: str | None, asked: bool) -> None:  # noqa: FBT001
    """Only the inner post of a turn can be one; 180 degrees take two."""
    found = _asked(two_flights(lower=_landing(turn=turn, shared=shared), upper={"goes_on": turn}))

    assert ("landing-post.S2" in found) == asked
    if asked:
        (option,) = found["landing-post.S2"].options
        assert (option.sets[0].pointer, option.sets[0].value) == (
            "/stairs/1/from_landing/shared",
            None,
        )


def test_shared_side_without_a_rail_stops() -> None:
    """The upper flight has a rail on the right only."""
    tree = two_flights(upper={"rails": ["right"], "handrail": []})

    assert "landing-post.S2" in _asked(tree)


def test_turn_noted_twice_and_differently_holds() -> None:
    """Left at one flight and right at the other: likely noted going down."""
    found = _asked(two_flights(upper={"goes_on": "right"}))

    assert [o.key for o in found["landing-turn.S2"].options] == ["right", "go-on"]


def test_flight_on_the_upper_decks_own_line_stops() -> None:
    """S2 breaks the deck's leg A, though it starts a flight lower."""
    tree = two_flights(lower={"leg": "A", "start": "170"} | _landing(shared=None))

    assert _asked(tree)["landing-level.S2"].severity == "stop"


def test_flights_above_each_other_stop() -> None:
    """S1 from S2 and S2 from S1."""
    above = {"from_landing": {"stair": "S2", "turn": "left", "guard": "none"}}

    found = _asked(two_flights(upper=above))

    assert {"landing-order.S1", "landing-order.S2"} <= set(found)


@pytest.mark.parametrize(("drop", "asked"), [("30", False), ("30 1/16", True), (None, True)])
def test_landing_without_a_guard(drop: str | None, asked: bool) -> None:  # noqa: FBT001
    """International Residential Code 2021, R312.1.1: over 30 in above grade a guard is required."""
    tree = two_flights(lower=_landing(guard="none"))
    tree["lines"][1]["legs"][0]["drop"] = drop

    assert ("landing-guard.S2" in _asked(tree)) == asked


@pytest.mark.parametrize(("length", "asked"), [("52", True), ("53", False)])
def test_guard_that_was_not_measured(length: str, asked: bool) -> None:  # noqa: FBT001
    """One leg of a 42 in opening, two sleeves of 4 1/2 and an inch has no railing."""
    tree = two_flights(
        legs=[{"name": "F", "length": length, "drop": "37 1/2"}], end={"kind": "post"}
    )

    assert ("landing-guard.S2" in _asked(tree)) == asked


@pytest.mark.parametrize(
    ("end", "asked"),
    [
        ({"kind": "post", "same_as": "S1-R"}, False),
        ({"kind": "post", "same_as": "S3-R"}, True),
        ({"kind": "wall", "substrate": "stud", "same_as": "S1-R"}, True),
    ],
)
def test_line_ends_at_a_foot_that_is_there(end: dict[str, str], asked: bool) -> None:  # noqa: FBT001
    """A lower post of a flight with a rail on that side, and no wall."""
    assert ("landing-end.H.end" in _asked(two_flights(end=end))) == asked
