"""On which side of the deck edge posts stand: detail against inset, ends, corners, the gap."""

from __future__ import annotations

from typing import Any

import pytest

from schemas.lengths import INCH
from schemas.pack import Outcome
from schemas.site import Answer
from services.pipeline import make_plan
from services.recheck import recheck
from tests.builders import document, library, submission
from tests.unit.services.layout.decks import corner, leg, line

ENDS = {"kind": "post", "inset": "2 1/4"}


def _planned(
    inset: str, *answers: Answer, detail: str = "D-5", hand: str = "outside", **more: object
) -> Outcome:
    tree: dict[str, Any] = document("l-deck") | {"stairs": [], "gates": [], "remove_feet": 0}
    tree["post"]["detail"] = detail
    plain: dict[str, Any] = {"start": ENDS, "end": ENDS, "inset": inset}
    legs = (leg("A", "144", corner=corner(hand=hand)), leg("B", "120"))
    tree["lines"] = [line(*legs, **(plain | more))]
    return make_plan(submission(tree), library=library(), answers=answers)


def _asked(*args: Any, **more: Any) -> dict[str, str]:  # noqa: ANN401
    return {q.key: q.severity for q in _planned(*args, **more).questions}


@pytest.mark.parametrize(
    ("inset", "detail", "found"),
    [
        ("-1 3/4", "D-5", None),
        ("-1 3/4", "D-3", "stop"),
        ("-1 3/4", "D-7", "stop"),
        ("0", "D-3", None),
        ("1 1/4", "D-5", None),  # 3 in of boards past the rim
        ("1 5/16", "D-5", "hold"),
    ],
)
def test_detail_and_inset_tell_of_one_side(inset: str, detail: str, found: str | None) -> None:
    """Inside the rim, on it or on a plate no centre stands past the edge."""
    assert _asked(inset, detail=detail).get("edge-side.A") == found


@pytest.mark.parametrize(("inset", "asked"), [("-2 3/4", False), ("-2 13/16", True)])
def test_core_that_touches_no_rim(inset: str, asked: bool) -> None:  # noqa: FBT001
    """A 3 1/2 core's face 1 in off may have a fascia behind it, no more."""
    assert ("edge-far.A" in _asked(inset)) == asked


def test_end_outside_the_edge_is_to_be_measured() -> None:
    """Without an inset of its own it would stand past the end of the rim; the answer plans."""
    bare: dict[str, Any] = {"start": {"kind": "post"}, "end": {"kind": "post"}}
    answers = [
        Answer(question=f"end-inset.{leg}", option="flush", by="T. Alder", why="re-read")
        for leg in ("A.start", "B.end")
    ]

    assert _asked("-1 3/4", **bare)["end-inset.A.start"] == "stop"
    plan = _planned("-1 3/4", *answers, **bare).plan
    assert plan is not None
    assert plan.layout.legs[0].zero == 2.25 * INCH


@pytest.mark.parametrize(("hand", "asked"), [("outside", True), ("inside", False)])
def test_corner_past_both_rims_is_asked_about(hand: str, asked: bool) -> None:  # noqa: FBT001
    """In an inside corner the core has a rim on two faces."""
    found = _asked("-1 3/4", hand=hand)

    assert ("corner-outside.A" in found) == asked
    assert found["outside-edge.A"] == "hold"


def test_gap_between_edge_and_rail_counts_as_an_opening() -> None:
    """3 3/4 up and 1 1/8 out is 3.915; with 1 1/4 out it is 3.953, over 3 15/16.

    The rail is 2 1/2 wide, so its near side is 1 1/4 in from the post centres.
    """
    near, far = _planned("-2 3/8"), _planned("-2 1/2")
    assert near.plan is not None

    bay = near.plan.bays.level[0]
    assert (bay.edge_gap, bay.sweep_low) == (1.125 * INCH, 3.75 * INCH)
    assert bay.under == pytest.approx(3.915 * INCH, abs=0.001 * INCH)
    assert any(f.place == bay.name and "under the bottom rail" in f.found
               for f in near.plan.compliance.findings)  # fmt: skip
    asked = {q.key: q for q in far.questions}
    assert asked["edge-gap.A1-A2"].severity == "stop"
    assert asked["edge-gap.A1-A2"].options[0].sets[0].value == "-2 7/16 in"


def test_recheck_measures_the_gap_from_the_edge() -> None:
    """A line that stood further out than planned is refused by the second measure."""
    plan = _planned("-1 3/4").plan
    assert plan is not None
    assert recheck(plan) == ()
    out = tuple(one.model_copy(update={"inset": -3 * INCH}) for one in plan.job.lines)

    breaches = recheck(plan.model_copy(update={"job": plan.job.model_copy(update={"lines": out})}))

    assert any("from the deck edge to under the bottom rail" in one for one in breaches)
