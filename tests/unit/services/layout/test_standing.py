"""Posts in place of other sizes: their own faces count, and replaced ones move the openings."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from schemas.layout import Layout
from schemas.site import StandingPost
from tests.unit.services.layout.decks import (
    WALL,
    corner,
    inches,
    job_of,
    laid_out,
    layout_of,
    leg,
    line,
)


def _porch(length: str, **standing: object) -> dict[str, Any]:
    """Wall to wall with one post in place between openings of 70 and 68."""
    post = {"number": 1, "keep": True} | standing
    clears = [{"bottom": "70"}, {"bottom": "68"}]
    return line(leg("A", length, clears=clears, standing=[post]), start=WALL, end=WALL)


def _layout(length: str, **standing: object) -> Layout:
    return layout_of(job_of(_porch(length, **standing)))


def test_its_own_width_is_in_the_sum() -> None:
    """70 + 5 1/2 + 68 = 143 1/2."""
    layout = _layout("143 1/2", sleeve="5 1/2", core="5 1/2")

    assert [bay.clear for bay in layout.bays] == [inches("70"), inches("68")]
    assert layout.bays[1].left.face == inches("75 1/2")
    assert layout.post("A1").at == inches("72 3/4")
    assert (layout.post("A1").sleeve, layout.post("A1").in_place) == (inches("5 1/2"), True)


@pytest.mark.parametrize(("length", "adds_up"), [("143 3/4", True), ("143 13/16", False)])
def test_sum_is_held_to_a_quarter_with_its_own_width(length: str, adds_up: bool) -> None:  # noqa: FBT001
    """With 5 1/2 between them the openings make 143 1/2; 5/16 more stops the job."""
    out = laid_out(job_of(_porch(length, sleeve="5 1/2")))

    assert (out.layout is not None) == adds_up


def test_replaced_post_shares_the_difference() -> None:
    """Ours is 4 1/2: an inch less than 5 1/2, so each opening grows by a half."""
    layout = _layout("143 1/2", sleeve="5 1/2", keep=False)

    assert [bay.clear for bay in layout.bays] == [inches("70 1/2"), inches("68 1/2")]
    assert layout.post("A1").at == inches("72 3/4")
    assert (layout.post("A1").sleeve, layout.post("A1").in_place) == (inches("4 1/2"), False)
    assert not any(bay.measured for bay in layout.bays)


def test_bare_core_is_met_as_it_is() -> None:
    """70 + 3 1/2 + 68 = 141 1/2."""
    layout = _layout("141 1/2", core="3 1/2")

    assert layout.bays[1].left.face == inches("73 1/2")
    assert layout.post("A1").sleeve == inches("3 1/2")


def test_post_at_the_corner_is_named_by_the_leg_that_starts_there() -> None:
    """A corner post of 6 in stands in both legs: half of it, 3, at each."""
    first = leg("A", "74 1/2", clears=[{"bottom": "69 1/4"}], corner=corner())
    second = leg(
        "B", "72", clears=[{"bottom": "66 3/4"}],
        standing=[{"number": 1, "sleeve": "6", "keep": True}],
    )  # fmt: skip

    layout = layout_of(job_of(line(first, second, measured="post-centre", inset="0")))

    assert layout.post("B1").sleeve == inches("6")
    ends = {bay.name: (bay.left.face, bay.right.face) for bay in layout.bays}
    assert ends["A1-B1"] == (inches("2 1/4"), inches("71 1/2"))
    assert ends["B1-B2"] == (inches("3"), inches("69 3/4"))


def test_a_post_without_any_size_is_no_measure() -> None:
    """Its outside, or its core if it is bare."""
    with pytest.raises(ValidationError, match="give its outside, or its core"):
        StandingPost(number=1)


def test_gate_at_the_head_of_a_stair_cuts_no_opening_of_its_own() -> None:
    """It hangs in the stair's opening."""
    stairs = [
        {
            "name": "S1", "leg": "A", "start": "60", "width": "42", "risers": 5,
            "riser": "7 1/2", "tread": "10 1/2", "lower_post": {"from_last_nose": "2"},
        }
    ]  # fmt: skip
    gates = [
        {"name": "G1", "leg": "A", "start": "60", "width": "42", "stair": "S1",
         "pool_barrier": False}
    ]  # fmt: skip

    layout = layout_of(job_of(line(leg("A", "180")), stairs=stairs, gates=gates))

    assert [bay.kind for bay in layout.bays if bay.kind.endswith("opening")] == ["stair-opening"]
