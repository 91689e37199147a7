"""Edges that the plan leaves without railing: stairs removed, a bench in the way."""

from __future__ import annotations

from typing import Any

import pytest

from schemas.pack import Outcome
from schemas.site import Answer
from services.pipeline import make_plan
from services.recheck import recheck
from tests.builders import document, library, submission

GONE = {
    "leg": "A", "where": "beyond A's end, where the old stairs were", "why": "stairs-removed",
    "width": "42", "drop": "41",
}  # fmt: skip


def _planned(*answers: Answer, **edge: object) -> Outcome:
    tree: dict[str, Any] = document("l-deck") | {"open_edges": [GONE | edge]}
    return make_plan(submission(tree), library=library(), answers=answers)


@pytest.mark.parametrize(
    ("edge", "asked"),
    [
        ({}, True),
        ({"drop": "30"}, False),  # IRC 2021 R312.1.1: more than 30 in
        ({"drop": "30 1/16"}, True),
        ({"drop": None}, True),
        ({"width": "3 15/16"}, False),  # no 4 in sphere passes
        ({"width": "4"}, True),
        ({"closed_by": "planter of others, fixed"}, False),
        ({"why": "bench"}, True),
    ],
)
def test_open_edge_over_a_drop_is_a_hold(edge: dict[str, object], asked: bool) -> None:  # noqa: FBT001
    """Where a guard seems required and nothing is known to close it; unknown is asked too."""
    found = {q.key: q.severity for q in _planned(**edge).questions}

    assert found == ({"open-edge.1": "hold"} if asked else {})


def test_open_edge_stands_at_the_edge_step_with_what_closes_it() -> None:
    """The crew reads that nothing does, or by the office's answer what does."""
    answer = Answer(question="open-edge.1", option="closed", by="T. Alder", why="seen on a photo")
    bare, closed = _planned().plan, _planned(answer).plan
    assert bare is not None
    assert closed is not None

    steps = [next(s for s in plan.sequence.steps if s.key == "edges") for plan in (bare, closed)]

    assert "where the old stairs were, 42: nothing closes it" in steps[0].text
    assert "42: closed by a guard or wall of others" in steps[1].text


def test_recheck_misses_the_question() -> None:
    """A plan that says nothing of an open edge is refused."""
    plan = _planned().plan
    assert plan is not None
    silent = plan.model_copy(update={"job": plan.job.model_copy(update={"questions": ()})})

    assert recheck(plan) == ()
    assert any("stay open, and nothing says so" in one for one in recheck(silent))
