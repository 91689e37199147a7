"""A landing's own line in plan: brought to the flight's feet, or asked about."""

from __future__ import annotations

from typing import Any

import pytest

from services.layout import LaidOut
from services.pipeline import make_plan
from tests import builders
from tests.landings import two_flights
from tests.unit.services.layout.decks import laid_out


def _laid(tree: dict[str, Any]) -> LaidOut:
    return laid_out(builders.job(tree))


def _longer_by(by: str) -> dict[str, Any]:
    """The landing's middle leg, 52 1/2 in, read so much longer."""
    tree = two_flights()
    tree["lines"][1]["legs"][1]["length"] = by
    return tree


def test_landing_that_fits_is_laid_out() -> None:
    """Both shared posts stand where the flight's feet are."""
    assert _laid(two_flights()).layout is not None


@pytest.mark.parametrize("heading", ["along", "back"])
def test_landing_with_another_heading_is_asked_about(heading: str) -> None:
    """Brought to one foot, its other end stands beside the other."""
    out = _laid(two_flights(heading=heading))

    assert out.layout is None
    assert [question.key for question in out.questions] == ["landing-fit.S1-L"]
    assert "in beside the foot S1-L of the flight" in out.questions[0].says
    (option,) = out.questions[0].options
    assert [(put.pointer, put.value) for put in option.sets] == [("/lines/1/heading", "out")]


@pytest.mark.parametrize(("length", "asked"), [("52 3/4", False), ("52 13/16", True)])
def test_landing_may_be_a_quarter_off(length: str, asked: bool) -> None:  # noqa: FBT001
    """As two measures of one place; the plan is measured again to the same."""
    tree = _longer_by(length)

    out = _laid(tree)
    assert (out.layout is None) == asked
    assert all(question.options == () for question in out.questions)
    if not asked:
        assert make_plan(builders.submission(tree), library=builders.library()).plan is not None


def test_landing_may_be_sent_before_the_flight_above() -> None:
    """The order of the lines in the measure plays no part in where they lie."""
    tree = two_flights()
    turned = tree | {"lines": tree["lines"][::-1]}

    first, second = _laid(tree).layout, _laid(turned).layout

    assert first is not None
    assert second is not None
    assert [leg.name for leg in second.legs][:3] == ["F", "G", "H"]
    for name in ("F1", "H2", "S2-L"):
        assert first.post(name).point == second.post(name).point


def test_two_flights_may_start_at_one_landing() -> None:
    """A second flight from another edge of the same landing: both carry rails, all fits."""
    tree = two_flights()
    other = tree["stairs"][1] | {
        "name": "S3", "leg": "G", "start": "2 1/4", "width": "48",
        "from_landing": {"stair": "S1", "turn": "straight", "guard": "legs"},
    }  # fmt: skip
    tree |= {"stairs": [*tree["stairs"], other]}

    out = _laid(tree)

    assert out.layout is not None, [question.says for question in out.questions]
    assert {bay.leg for bay in out.layout.bays if bay.kind == "stair"} == {"S1", "S2", "S3"}
