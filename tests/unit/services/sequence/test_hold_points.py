"""Hold points stand before what they guard, and only where the job has the thing."""

from typing import Any

import pytest

from schemas.lengths import INSIDE
from schemas.plan import Plan
from schemas.sequence import Sequence, Step
from schemas.site import Answer, Gate, Option, Question
from services.sequence import order_work
from services.sequence.hold_points import HOLDS
from tests.planned import plan

GUARDS = {  # hold point: what must not happen before it (common practice)
    "H0": ("old-rail", "framing", "mark-", "set-"),
    "H1": ("old-rail", "framing", "mark-", "set-", "saw-"),
    "H2": ("old-rail", "framing", "set-", "bay-", "stair-"),
    "H3": ("set-",),
    "H4": ("cores", "skirts", "sleeves", "openings-"),
    "H5": ("first-section", "saw-"),
    "H6": ("saw-", "brackets-", "bay-"),
    "H7": ("handrail-", "caps", "hand-over"),
    "H8": ("caps", "last-check"),
    "H9": ("caps", "last-check"),
    "H10": ("hand-over",),
}


def sequence(whole: Plan, **changed: Any) -> Sequence:  # noqa: ANN401 any field of the job
    """The order of work, with another job head."""
    job = whole.job.model_copy(update=changed)
    return order_work(job, whole.layout, whole.bays, whole.cuts)


def guarded(steps: tuple[Step, ...], hold: str) -> list[Step]:
    """The steps that a hold point guards."""
    stems = GUARDS[hold]
    return [s for s in steps if s.hold != hold and s.key.startswith(stems)]


def gate(*, pool: bool | None = None) -> Gate:
    """A gate that is hung on the demo deck."""
    whole = plan("l-deck")
    fields = {"name": "G1", "leg": whole.layout.legs[0].name, "start": 0, "width": 36 * 8128}
    return Gate.model_validate({**fields, "pool_barrier": pool}, context=INSIDE)


@pytest.mark.parametrize("hold", GUARDS)
def test_a_hold_point_is_reached_before_what_it_guards(hold: str) -> None:
    """On a deck with stair, handrail and gate, every hold point there is."""
    steps = sequence(plan("l-deck"), gates=(gate(),)).steps
    reached = max(step.number for step in steps if step.hold == hold)

    later = guarded(steps, hold)

    assert later, "the hold point guards something"
    assert all(step.number > reached for step in later)
    assert all(HOLDS[step.hold] for step in steps if step.hold and step.hold in HOLDS)


def test_what_a_hold_point_guards_waits_for_it() -> None:
    """Not by luck of the order: the steps name it among those they wait for."""
    steps = sequence(plan("l-deck")).steps
    h5 = next(step.key for step in steps if step.hold == "H5")

    assert all(h5 in step.after for step in guarded(steps, "H5"))


def test_a_porch_without_stair_or_gate_has_no_hold_point_for_them() -> None:
    """Posts in place: no framing check before drilling either."""
    holds = [step.hold for step in plan("porch").sequence.steps if step.hold]

    assert holds == ["H0", "H1", "H2", "H4", "H5", "H6", "H10"]


def test_a_stair_without_handrail_has_no_handrail_check() -> None:
    """H8 goes with the handrail, H7 stays with the stair."""
    whole = plan("l-deck")
    bare = tuple(stair.model_copy(update={"handrail": ()}) for stair in whole.job.stairs)

    holds = {step.hold for step in sequence(whole, stairs=bare).steps}

    assert "H7" in holds
    assert "H8" not in holds


def test_posts_in_place_start_otherwise() -> None:
    """They are looked at, not marked, set or dressed."""
    keys = [step.key for step in plan("porch").sequence.steps]

    assert "posts-in-place" in keys
    assert not [key for key in keys if key.startswith(("mark-", "set-", "framing", "skirts"))]


def test_skirts_go_on_before_sleeves_and_sleeves_before_brackets() -> None:
    """The forgotten skirt is the classic slip."""
    steps = {step.key: step for step in plan("l-deck").sequence.steps}

    brackets = [step for key, step in steps.items() if key.startswith("brackets-")]

    assert "cores" in steps["skirts"].after
    assert "skirts" in steps["sleeves"].after
    assert all(step.number > steps["sleeves"].number for step in brackets)


def test_a_lower_stair_post_is_cut_after_its_line_is_proved() -> None:
    """And its rails after that."""
    steps = {step.key: step for step in plan("l-deck").sequence.steps}

    assert "line-S1" in steps["lower-S1"].after
    assert {"line-S1", "lower-S1"} <= set(steps["stair-S1-L"].after)
    assert {"stair-S1-L", "stair-S1-R"} <= set(steps["check-S1"].after)


def test_stairs_come_after_the_level_bays() -> None:
    """From the house outward, stairs last."""
    steps = plan("l-deck").sequence.steps

    bays = {step.key for step in steps if step.key.startswith("bay-")}

    assert bays <= set(next(step.after for step in steps if step.key == "line-S1"))


def test_the_last_check_waits_for_everything_that_is_built() -> None:
    """Bays, stairs, handrail, gate and caps."""
    steps = sequence(plan("l-deck"), gates=(gate(),)).steps
    last = next(step for step in steps if step.key == "last-check")

    before = {step.key for step in steps} - {"last-check", "hand-over"}

    assert before == set(last.after)


def test_an_open_question_is_a_hold_point_at_the_start() -> None:
    """Until the office answers: then it is gone."""
    asked = Question(
        key="core.size",
        severity="hold",
        place="post A1",
        says="Core measured at one height only.",
        ask="Is it the same at the top?",
        options=(Option(key="same", says="It is"),),
    )
    answer = Answer(question="core.size", option="same", by="office", why="called the tech")

    open_steps = sequence(plan("l-deck"), questions=(asked,)).steps
    shut_steps = sequence(plan("l-deck"), questions=(asked,), answers=(answer,)).steps

    question = next(step for step in open_steps if step.hold == "Q1")
    assert question.number == 2
    assert "Core measured at one height only." in question.text
    assert all(step.hold != "Q1" for step in shut_steps)


def test_an_unknown_pool_barrier_is_asked_about() -> None:
    """Only a recorded no leaves the line out."""
    texts = [
        next(
            s.text for s in sequence(plan("l-deck"), gates=(gate(pool=p),)).steps if s.hold == "H9"
        )
        for p in (None, True, False)
    ]

    assert ["pool barrier" in text for text in texts] == [True, True, False]
