"""A triangle of doubtful figure that no rail closes is for the authority, never for silence."""

from __future__ import annotations

import pytest

from schemas.plan import Plan
from schemas.site import Answer
from services.pipeline import make_plan
from services.recheck import recheck
from tests.builders import document, library, submission


def metric(profile: str, *answers: str) -> tuple[Plan | None, list[str]]:
    """The metric demo job under another profile, answered so; its plan, and its stops."""
    tree = document("metric") | {"code": {"profile": profile, "local_changes": []}}
    tree["rail"] |= {"height": "1070"}
    tree["stairs"][0] |= {"handrail": ["left", "right"]}
    said = [answer.split() for answer in answers]
    outcome = make_plan(
        submission(tree),
        library=library(),
        answers=tuple(
            Answer(question=question, option=option, by="N. Osei", why="asked the town")
            for question, option in said
        ),
    )
    return outcome.plan, [q.key for q in outcome.questions if q.severity == "stop"]


@pytest.fixture(scope="module")
def australian() -> Plan:
    """National Construction Code 2022: the 125 mm row is remembered, and no rail keeps to it."""
    plan, _ = metric("au-ncc-2022")
    assert plan is not None
    return plan


def test_doubtful_triangle_is_planned_with_a_hold(australian: Plan) -> None:
    """The finding holds for the authority, and the finished plan stands."""
    held = [q.key for q in australian.job.questions if q.severity == "hold"]

    assert any(key.startswith("outside.guard-triangle.") for key in held)
    assert recheck(australian) == ()


def test_doubtful_triangle_that_nobody_was_asked_about_is_refused(australian: Plan) -> None:
    """Without the hold the sphere that passes is a breach."""
    silent = australian.model_copy(
        update={"job": australian.job.model_copy(update={"questions": ()})}
    )

    assert any("lets a" in breach and "sphere through" in breach for breach in recheck(silent))


def test_guard_of_1100_mm_has_an_answer() -> None:
    """Approved Document K, diagram 3.1: 1100 mm; 1084 mm goes on only as somebody's allowance."""
    _, asked = metric("uk-adk")
    _, told = metric("uk-adk", "rail-height lower")
    answered, _ = metric("uk-adk", "rail-height lower", *(f"{key} allow" for key in told))

    assert asked == ["rail-height"]
    assert [key.rpartition(".")[0] for key in told] == ["outside.guard-height"]
    assert answered is not None
