"""Two days that are not the job, or leave an edge open: each is seen by the second count."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import pytest

from schemas.plan import Plan
from schemas.sequence import Step
from services.days import share_out
from services.recheck import recheck_days
from tests.planned import plan


@cache
def days() -> tuple[Plan, Plan, Plan]:
    """A job with a stair, and its two days."""
    whole = plan("l-deck")
    return whole, *share_out(whole)


def steps_of(made: Plan, change: Callable[[list[Step]], list[Step]]) -> Plan:
    """With other steps, numbered anew."""
    steps = change(list(made.sequence.steps))
    numbered = tuple(s.model_copy(update={"number": n}) for n, s in enumerate(steps, 1))
    order = made.sequence.model_copy(update={"steps": numbered})
    return made.model_copy(update={"sequence": order})


def without(made: Plan, key: str) -> Plan:
    """Without one step."""
    return steps_of(made, lambda steps: [step for step in steps if step.key != key])


def loaded(made: Plan, lines: slice) -> Plan:
    """With only some lines of its load."""
    load = made.takeoff.model_copy(update={"lines": made.takeoff.lines[lines]})
    return made.model_copy(update={"takeoff": load})


def test_a_job_shared_out_has_no_breach() -> None:
    """As it comes from the split."""
    assert recheck_days(*days()) == ()


@pytest.mark.parametrize(
    ("key", "number", "says"),
    [
        ("guard-edges", 1, "the first day does not end with the guard and the hand-over"),
        ("cores", 1, "step cores is done 0 times on the two days"),
        ("take-over", 2, "the second day builds before it has taken over"),
        ("bay-A1-B1", 2, "step bay-A1-B1 is done 0 times on the two days"),
        ("verify", 2, "step verify is done 1 times on the two days"),
    ],
)
def test_a_step_left_out_is_seen(key: str, number: int, says: str) -> None:
    """Of either day."""
    whole, *both = days()
    both[number - 1] = without(both[number - 1], key)

    assert says in recheck_days(whole, *both)


def test_a_guard_that_forgets_the_stair_is_seen() -> None:
    """Every edge is named where it is signed for."""
    whole, first, second = days()
    spoilt = steps_of(
        first,
        lambda steps: [
            s.model_copy(update={"text": s.text.replace(", S1", "")})
            if s.key == "guard-edges"
            else s
            for s in steps
        ],
    )

    assert "no guard for the first night at S1" in recheck_days(whole, spoilt, second)


def test_a_guard_that_is_no_hold_point_is_seen() -> None:
    """It must be signed."""
    whole, first, second = days()
    spoilt = steps_of(
        first,
        lambda steps: [
            s.model_copy(update={"hold": None}) if s.key == "guard-edges" else s for s in steps
        ],
    )

    assert "the guard of the first night is no hold point" in recheck_days(whole, spoilt, second)


def test_a_rail_built_on_the_first_day_is_seen() -> None:
    """And that it is built twice."""
    whole, first, second = days()
    bay = next(step for step in second.sequence.steps if step.key.startswith("bay-"))
    spoilt = steps_of(first, lambda steps: [bay, *steps])

    found = recheck_days(whole, spoilt, second)
    assert f"{bay.key} is done on the first day" in found
    assert f"step {bay.key} is done 2 times on the two days" in found


def test_parts_left_in_the_yard_or_loaded_twice_are_seen() -> None:
    """By their keys."""
    whole, first, second = days()
    last = first.takeoff.lines[-1].item

    short = recheck_days(whole, loaded(first, slice(None, -1)), second)
    double = recheck_days(whole, first, whole)

    assert f"not loaded once on the two days: {last}" in short
    assert any(says.startswith("not loaded once") for says in double)
    assert "a stick is cut twice or not at all" in double


def test_rails_or_lengths_of_neither_day_are_seen() -> None:
    """A bar, a length, an hour, the weight."""
    whole, first, second = days()
    cuts = second.cuts.model_copy(update={"bars": second.cuts.bars[1:]})
    load = second.takeoff.model_copy(
        update={"rail_length": 0, "grams": 0, "hours": second.takeoff.hours[1:]}
    )
    spoilt = second.model_copy(update={"cuts": cuts, "takeoff": load})

    found = recheck_days(whole, first, spoilt)
    assert "rails are cut on the first day, or not all on the second" in found
    assert "the two days' railing is not as long as the job's" in found
    assert "the two loads do not weigh what the job's does" in found
    assert "the two days' hours are not the job's" in found
