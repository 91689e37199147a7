"""Random sites split by day: both days together are the job, and no edge is left open."""

from __future__ import annotations

from functools import cache
from random import Random

import pytest

from schemas.errors import BrokenPlan
from schemas.plan import Plan
from services.days import posts_to_set, share_out
from services.pipeline import make_plan
from services.recheck import recheck_days
from tests.builders import library, submission
from tests.landings import two_flights
from tests.random_sites import Tree, random_site

SITES = range(2000, 2060)
LEAST = 15
"""So many of these sites can be planned and have posts to set."""


@cache
def planned() -> tuple[Plan, ...]:
    """The plans of those that can be planned, and of a deck with a landing."""
    trees = [two_flights(), *(random_site(Random(number)) for number in SITES)]
    made = (plan_of(tree) for tree in trees)
    return tuple(plan for plan in made if plan is not None and posts_to_set(plan.layout))


def plan_of(tree: Tree) -> Plan | None:
    """A site's plan, if it has one; that whole plans hold is for another test to find."""
    try:
        return make_plan(submission(tree), library=library()).plan
    except BrokenPlan:
        return None


def test_both_days_are_the_job_and_the_night_between_is_safe() -> None:
    """Counted again by other means; no breach on any of them."""
    found = {plan.job.job: recheck_days(plan, *share_out(plan)) for plan in planned()}

    assert len(planned()) >= LEAST
    assert {job: breaches for job, breaches in found.items() if breaches} == {}


@pytest.mark.parametrize("number", [0, 1])
def test_every_step_waits_only_for_what_its_own_day_does_before_it(number: int) -> None:
    """No step waits for one of the other day, or for a later one."""
    for plan in planned():
        at: dict[str, int] = {}
        for step in share_out(plan)[number].sequence.steps:
            assert set(step.after) <= at.keys(), (plan.job.job, step.key)
            at[step.key] = step.number
