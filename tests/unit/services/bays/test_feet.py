"""How a flight's foot and mid posts are fixed: stated, asked about, or refused."""

from __future__ import annotations

from typing import Any

import pytest

from schemas.lengths import INCH
from schemas.pack import Outcome
from schemas.site import Answer
from services.pipeline import make_plan
from services.recheck import recheck
from tests.builders import document, library, submission


def _deck(detail: str | None) -> dict[str, Any]:
    tree = document("l-deck")
    tree["stairs"][0]["lower_post"] |= {"detail": detail}
    return tree


def _planned(tree: dict[str, Any], *answers: Answer) -> Outcome:
    return make_plan(submission(tree), library=library(), answers=answers)


def test_foot_without_a_detail_of_its_own_is_a_hold() -> None:
    """The legs' detail is for a rim; the pack prints, and the question is open on it."""
    (asked,) = _planned(_deck(None)).questions

    assert (asked.key, asked.severity) == ("post.foot-S1", "hold")
    assert "S1-L, S1-R stand on the landing (concrete pad 48 x 60 in)" in asked.says
    assert [option.key for option in asked.options] == ["D-7", "D-9", "go-on"]


def test_answer_names_the_detail_and_loads_its_anchors() -> None:
    """Four anchors and a plate a foot, and no open question is left."""
    answer = Answer(question="post.foot-S1", option="D-7", by="T. Alder", why="pad was cored")

    found = _planned(_deck(None), answer)

    assert found.questions == ()
    assert found.plan is not None
    takes = {one.item: one.needed for one in found.plan.takeoff.lines}
    assert (takes["anchor-half"], takes["post-plate"], takes["bolt-half"]) == (8, 2, 18)


@pytest.mark.parametrize(("detail", "severity"), [("D-3", "stop"), ("D-5", "stop"), ("D-9", None)])
def test_detail_for_a_rim_is_no_answer_for_a_foot(detail: str, severity: str | None) -> None:
    """Its bolts find nothing on a landing; a detail for concrete does."""
    found = {one.key: one.severity for one in _planned(_deck(detail)).questions}

    assert found == ({"post.foot-S1": severity} if severity else {})


def test_core_of_an_unknown_foot_stays_a_whole_stick() -> None:
    """No bolt says how deep it goes, so it is cut on site when that is known."""
    plan = _planned(_deck(None)).plan
    assert plan is not None

    cores = {
        name: end - start
        for bar in plan.cuts.plain
        if bar.what == "core"
        for name, start, end in bar.pieces
    }

    assert cores["S1-L core"] == cores["S1-R core"] == 96 * INCH
    assert cores["A1 core"] < 60 * INCH


def test_mid_posts_are_asked_about_apart_from_the_feet() -> None:
    """They stand on treads, whatever the feet stand on."""
    tree = document("two-stair-sides")
    tree["stairs"][0] |= {"risers": 14, "total_rise": "105", "total_run": "136 1/2",
                          "mid_posts": "auto"}  # fmt: skip

    found = {one.key: one for one in _planned(tree).questions}

    assert found["post.mid-S1"].severity == "hold"
    assert "stand on a tread" in found["post.mid-S1"].says
    assert "post.foot-S1" not in found


def test_recheck_counts_the_feet_by_their_own_detail() -> None:
    """A load counted as if the feet stood at a rim is refused by the second count."""
    plan = _planned(_deck("D-7")).plan
    assert plan is not None
    stairs = tuple(
        stair.model_copy(
            update={"lower_post": stair.lower_post.model_copy(update={"detail": "D-3"})}
        )
        for stair in plan.job.stairs
    )

    breaches = recheck(
        plan.model_copy(update={"job": plan.job.model_copy(update={"stairs": stairs})})
    )

    assert any("S1-L: stands on no rim" in one for one in breaches)
    assert any("bolt-half: 18 counted, 22 wanted" in one for one in breaches)
