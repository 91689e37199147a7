"""The takeoff and the second count agree, whatever the company's rules, boxes and packages are."""

from __future__ import annotations

import json
from dataclasses import dataclass
from random import Random
from typing import get_args

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from schemas.company import Company, Spare, StockItem
from schemas.job import Job, Library
from schemas.part_rule import Mount, PartRule, Per, SpareKind
from schemas.plan import Plan
from schemas.rail_system import RailSystem, RoutedRail
from schemas.submission import Submission
from services.intake import read_document
from services.pipeline import make_plan
from services.recheck.load import recheck_load
from services.takeoff import take_off
from tests.builders import library
from tests.planned import plan
from tests.random_sites import random_site

JOBS = st.sampled_from(("l-deck", "porch", "corner-45", "wraparound", "two-stair-sides", "metric"))
KINDS: tuple[SpareKind, ...] = get_args(SpareKind)
FEW = st.integers(0, 6)
NO_STORY = tuple(phase for phase in Phase if phase is not Phase.explain)
"""A plan is too long to be told line by line when a test fails."""


@st.composite
def rules(draw: st.DrawFn) -> PartRule:
    """A rule for a part of its own, or for one that is counted otherwise too."""
    per = draw(st.sampled_from(get_args(Per)))
    by_length = per in {"open-edge", "removed"}
    over = per in {"level-bay", "stair-bay"}
    return PartRule.model_validate(
        {
            "key": draw(st.sampled_from(("rags", "touch-up", "core-96", "bolt-half"))),
            "group": "consumables",
            "per": per,
            "count": draw(st.integers(1, 9)),
            "each": draw(st.integers(1, 40)),
            "every": f"{draw(st.integers(1, 500))} in" if by_length else None,
            "over": f"{draw(st.integers(0, 90))} in" if over else "0 in",
            "mounts": tuple(draw(st.lists(st.sampled_from(get_args(Mount)), max_size=2))),
            "sold_as": draw(st.sampled_from((None, "lights"))),
            "spare": draw(st.sampled_from((None, *KINDS))),
        }
    )


@st.composite
def spares(draw: st.DrawFn) -> tuple[Spare, ...]:
    """Rules for some of the kinds."""
    kinds = draw(st.lists(st.sampled_from(KINDS), unique=True))
    return tuple(
        Spare(
            kind=kind, one_in=draw(st.integers(1, 30)), least=draw(FEW),
            not_under=draw(st.integers(0, 30)), sets=draw(st.integers(0, 3)),
        )
        for kind in kinds
    )  # fmt: skip


def boxed(draw: st.DrawFn, rail: RoutedRail) -> RoutedRail:
    """The same rails with other things in their kits' boxes."""
    kits = tuple(
        kit.model_copy(
            update={
                "balusters": draw(st.integers(0, 40)),
                "brackets": draw(FEW),
                "foot_blocks": draw(FEW),
            }
        )
        for kit in rail.kits
    )
    return rail.model_copy(update={"kits": kits})


def another(draw: st.DrawFn, system: RailSystem) -> RailSystem:
    """The system with other boxes and rules of its own."""
    return system.model_copy(
        update={
            "level": boxed(draw, system.level),
            "stair": boxed(draw, system.stair) if system.stair else None,
            "parts": tuple(draw(st.lists(rules(), max_size=2))),
            "special_order": draw(st.sampled_from(((), system.colours))),
        }
    )


def company(draw: st.DrawFn, given_to: Company) -> Company:
    """The company with other packages, spares and rules."""
    book: list[StockItem] = [
        item.model_copy(update={"package": draw(st.sampled_from((1, 2, 4, 10, 50)))})
        for item in given_to.price_book
    ]
    return given_to.model_copy(
        update={
            "price_book": tuple(book),
            "spares": draw(spares()),
            "extras": tuple(draw(st.lists(rules(), max_size=4))),
        }
    )


@dataclass(frozen=True, repr=False)
class Counted:
    """A plan that is not printed whole when a test fails."""

    plan: Plan

    def __repr__(self) -> str:
        company = self.plan.job.company
        return (
            f"{self.plan.job.job}: {company.spares} {company.extras} {self.plan.job.system.parts}"
        )


@st.composite
def plans(draw: st.DrawFn) -> Counted:
    """A demo job's plan, counted under another company's rules."""
    whole = plan(draw(JOBS))
    system = another(draw, whole.job.system)
    job: Job = whole.job.model_copy(
        update={
            "company": company(draw, whole.job.company),
            "system": system,
            "stair_system": system,
            "extras": draw(st.sampled_from(((), ("lights",)))),
            "detail": draw(st.sampled_from((None, *whole.job.company.details))),
            "remove_feet": draw(st.sampled_from((0.0, 12.5, 48.0))),
        }
    )
    taken = take_off(job=job, layout=whole.layout, bays=whole.bays, cuts=whole.cuts)
    return Counted(whole.model_copy(update={"job": job, "takeoff": taken}))


@settings(max_examples=60, deadline=None, phases=NO_STORY)
@given(plans())
def test_the_second_count_agrees(counted: Counted) -> None:
    """Needs, spares, whole packages and weight."""
    breaches = list(recheck_load(counted.plan))

    assert breaches == []


@settings(max_examples=30, deadline=None, phases=NO_STORY)
@given(plans(), st.data())
def test_a_line_left_out_is_missed(counted: Counted, data: st.DataObject) -> None:
    """Whatever rule brought it."""
    taken = counted.plan.takeoff
    gone = data.draw(st.integers(0, len(taken.lines) - 1))
    kept = (*taken.lines[:gone], *taken.lines[gone + 1 :])
    spoilt = taken.model_copy(update={"lines": kept})

    breaches = list(recheck_load(counted.plan.model_copy(update={"takeoff": spoilt})))

    assert any(taken.lines[gone].item in breach for breach in breaches)


def one_of_each() -> Library:
    """The company with a rule for each thing that can be counted by, each for a part of its own."""
    given_to = library().company
    book = tuple(
        StockItem(key=f"part-{per}", says=per, package=1, cents=1, grams=1) for per in get_args(Per)
    )
    every = tuple(
        PartRule.model_validate(
            {
                "key": f"part-{per}",
                "group": "consumables",
                "per": per,
                "count": 1,
                "every": "50 in" if per in {"open-edge", "removed"} else None,
                "over": "40 in" if per in {"level-bay", "stair-bay"} else "0 in",
            }
        )
        for per in get_args(Per)
    )
    company = given_to.model_copy(
        update={"price_book": (*given_to.price_book, *book), "extras": every}
    )
    return library().model_copy(update={"company": company})


@settings(max_examples=40, deadline=None, phases=NO_STORY)
@given(st.integers(0, 100_000))
def test_both_agree_on_whatever_site_comes(number: int) -> None:
    """Walls, gates, landings, mitres, posts in place: a plan that disagreed would be refused."""
    site = json.dumps(random_site(Random(number))).encode()

    made = make_plan(read_document(site, Submission), library=one_of_each())

    assert made.plan is not None or made.questions
