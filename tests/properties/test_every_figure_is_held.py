"""Every figure and every choice of a finished plan is spoilt in turn, and the plan is refused.

The fields are found by walking the plan's records, so a new one has to be held by the second
measurement, or be named here with the reason why nobody is hurt by it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from random import Random

import pytest

from schemas.plan import Plan
from schemas.submission import Submission
from services.intake import read_document
from services.pipeline import make_plan
from services.recheck import breaches, recheck
from tests.builders import JOBS, library
from tests.planned import outcome, plan
from tests.random_sites import random_site
from tests.spoiling import Leaf, by_field, spoilt

MONEY = "cents of the cut plan's own proof; held in tests/unit/services/cut_plan/test_check_plan.py"
FREE = {
    "cuts.bound_cents": "a bound may be anything from its proofs up to the cost; money only",
    "cuts.plain_bound_cents": "a bound may be anything from its proofs up to the cost; money only",
    "layout.stock.cents": "what the layout was priced at before its cuts were planned; money only",
    "layout.stock.bound_cents": "no layout tried would cost less; money only",
    "layout.stock.layouts": "how many layouts were tried; no figure of the work",
    "cuts.first_fit_cents": "what a poorer plan would cost, told for comparison; money only",
    "cuts.seconds_allowed": "time given to the solver; not on a sheet",
    "cuts.proofs.[].orientation": MONEY,
    "cuts.proofs.[].scale": MONEY,
    "cuts.proofs.[].worth.[].[]": MONEY,
    "cuts.proofs.[].cut_in": MONEY,
    "cuts.proofs.[].cents": MONEY,
    "cuts.plain_proofs.[].what": MONEY,
    "cuts.plain_proofs.[].scale": MONEY,
    "cuts.plain_proofs.[].cut_in": MONEY,
    "cuts.plain_proofs.[].worth.[].[]": MONEY,
    "cuts.plain_proofs.[].cents": MONEY,
    "cuts.bars.[].stock.boxed_cents": "a price; held by the sum where a kit's is worth something",
    "sequence.steps.[].people": "more hands than a step needs hurt nobody; fewer than lift a "
    "section are refused",
    "sequence.cautions.[].signal": "a word of the cautions' own file, held with its source in "
    "tests/unit/services/sequence/test_cautions.py",
}
"""Fields that may be otherwise without the plan being refused, and why."""

DEMO = [name for name in JOBS if name not in {"held", "refused"}]
RANDOM = 4
"""Random sites that are planned, taken in order of their numbers."""


@cache
def planned_sites() -> tuple[Plan, ...]:
    """The first random sites that come to a plan."""
    found: list[Plan] = []
    for number in range(200):
        raw = json.dumps(random_site(Random(number))).encode()
        made = make_plan(read_document(raw, Submission), library=library()).plan
        if made is not None:
            found.append(made)
        if len(found) == RANDOM:
            break
    return tuple(found)


def refused(plan: Plan) -> bool:
    """Whether the second measurement finds anything at all."""
    return any(True for _ in breaches(plan))


def some(found: list[Leaf], most: int) -> list[Leaf]:
    """Leaves of one field, spread over all of them, the first and the last one too."""
    if len(found) <= most:
        return found
    return [found[number * (len(found) - 1) // max(1, most - 1)] for number in range(most)]


def unseen(good: Plan, *, most: int) -> Iterator[str]:
    """Every spoil that leaves a plan which nobody refuses."""
    for field, found in by_field(good).items():
        for leaf in some(found, most):
            for value in leaf.spoils:
                if not refused(spoilt(good, leaf, value)):
                    yield field


@pytest.mark.parametrize("name", DEMO)
def test_no_figure_of_a_demo_plan_can_be_spoilt_unseen(name: str) -> None:
    """A quarter inch, one more or less, a degree, another word: each is refused."""
    good = plan(name)
    assert recheck(good) == ()

    assert {*unseen(good, most=1 if name != "l-deck" else 2)} - FREE.keys() == set()


@pytest.mark.parametrize("number", range(RANDOM))
def test_no_figure_of_a_random_plan_can_be_spoilt_unseen(number: int) -> None:
    """The same for sites that nobody thought of."""
    good = planned_sites()[number]
    assert recheck(good) == ()

    assert {*unseen(good, most=1)} - FREE.keys() == set()


def test_every_figure_of_one_plan_is_held_wherever_it_stands() -> None:
    """Not a sample: all marks, gaps, brackets, heights and faces of the deck with a stair."""
    good = plan("two-stair-sides")
    free = [
        f"{leaf.path}: {value}"
        for field, found in by_field(good).items()
        if field.startswith("bays.") and "as_measured" not in field
        for leaf in found
        for value in leaf.spoils
        if not refused(spoilt(good, leaf, value))
    ]

    assert free == []


def test_what_is_free_is_a_field_of_a_plan_and_has_a_reason() -> None:
    """No exception outlives its field."""
    fields = {field for name in DEMO if outcome(name).plan for field in by_field(plan(name))}

    assert FREE.keys() <= fields
    assert all(len(reason) > 20 for reason in FREE.values())
