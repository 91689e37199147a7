"""A job split by day: two plans that are the job together, and a safe night between them."""

from __future__ import annotations

from datetime import date
from functools import cache

import pytest

from schemas.days import DayShare
from schemas.pages import Table
from schemas.plan import Plan
from services.pages.contents import pack_sheets
from services.pages.hand_over import hand_over
from services.pipeline import make_plan
from tests import builders
from tests.planned import plan
from tests.unit.services.pages.sheet_text import words
from worker.splitting import days_of

RAILS_ON = date(2026, 12, 9)
SPLITTABLE = ["l-deck", "corner-45", "wraparound", "two-stair-sides", "metric"]


@cache
def day(name: str, number: int) -> Plan:
    """One day's plan of a demo job."""
    tree = days_of(builders.document(name), day=RAILS_ON, crew="wren")[number - 1]
    outcome = make_plan(builders.submission(tree), library=builders.library())
    assert outcome.plan is not None, outcome.questions
    return outcome.plan


def share(made: Plan) -> DayShare:
    """Its share of the job."""
    assert made.day_share is not None
    return made.day_share


def keys(made: Plan) -> list[str]:
    """Keys of its steps, in order."""
    return [step.key for step in made.sequence.steps]


@pytest.mark.parametrize("name", SPLITTABLE)
def test_both_days_together_are_the_job(name: str) -> None:
    """Bays, posts, rails, sticks, packages and railing: as a day by day count has them."""
    whole, first, second = plan(name), day(name, 1), day(name, 2)

    assert first.layout == second.layout == whole.layout
    assert first.bays == second.bays == whole.bays
    loads = [(x.item, x.variant, x.packages) for p in (first, second) for x in p.takeoff.lines]
    assert sorted(loads, key=str) == sorted(
        ((x.item, x.variant, x.packages) for x in whole.takeoff.lines), key=str
    )
    assert (first.takeoff.rail_length, second.takeoff.rail_length) == (0, whole.takeoff.rail_length)
    assert second.cuts.bars == whole.cuts.bars
    assert sorted(b.number for p in (first, second) for b in p.cuts.plain) == [
        bar.number for bar in whole.cuts.plain
    ]
    assert all(one.equal for one in share(first).shared)


@pytest.mark.parametrize("name", SPLITTABLE)
def test_the_first_day_ends_with_every_edge_guarded(name: str) -> None:
    """A hold point names each leg and stair; after it there is only the hand-over."""
    made = day(name, 1)

    *_, read, guard, last = made.sequence.steps
    assert [step.key for step in (read, guard, last)] == [
        "read-openings", "guard-edges", "hand-over",
    ]  # fmt: skip
    assert guard.hold == "H11"
    edges = [*(leg.name for leg in made.layout.legs), *(s.name for s in made.job.stairs)]
    assert ", ".join(edges) in guard.text
    assert guard.key in last.after


@pytest.mark.parametrize("name", SPLITTABLE)
def test_the_second_day_takes_over_before_it_looks_at_anything_else(name: str) -> None:
    """Posts and guard are a hold point before the edges, the openings and the saw."""
    steps = keys(day(name, 2))

    taken = steps.index("take-over")
    assert steps[taken + 1] == "edges"
    assert all(steps.index(key) > taken for key in steps if key.startswith(("open", "bay", "saw")))
    assert day(name, 2).sequence.steps[taken].hold == "H12"
    assert not {"framing", "old-rail", "cores", "sleeves"}.intersection(steps)


def test_hours_are_the_jobs_with_set_up_and_travel_for_each_day() -> None:
    """Two days are driven to twice."""
    whole, first, second = plan("l-deck"), day("l-deck", 1), day("l-deck", 2)

    apart = sum(line.hours for line in whole.takeoff.hours if line.apart)
    both = first.takeoff.crew_hours + second.takeoff.crew_hours
    assert both == pytest.approx(whole.takeoff.crew_hours + apart)
    assert apart > 0


def test_the_hand_over_sheet_names_what_stands_what_is_open_and_what_stays() -> None:
    """Each post, each edge with its length and drop, each opening with its window, each part."""
    made = day("l-deck", 1)
    sheet = hand_over(made, share(made))
    says = words(sheet)

    tables = [block for block in sheet.blocks if isinstance(block, Table)]
    first_cells = [[row.cells[0] for row in table.rows] for table in tables]
    assert first_cells[0] == [post.name for post in made.layout.posts]
    assert first_cells[1] == ["Leg A", "Leg B", "Leg C", "Leg D", "Leg E", "Stair S1"]
    assert first_cells[2] == [
        *(bay.name for bay in made.bays.level), *(bay.name for bay in made.bays.stair),
    ]  # fmt: skip
    assert "Saw blade" in says or "blade" in says
    assert "The rails follow as P-2041-2, crew Wren, 9 December 2026" in says
    assert "NOT EQUAL" not in says


def test_a_day_of_posts_prints_no_sheet_of_rails_and_both_print_the_hand_over() -> None:
    """Nobody cuts a rail to a plan on the first day."""
    sheets = [
        [sheet.key for sheet in pack_sheets(day("l-deck", n), drawings=(), replaces="nothing")]
        for n in (1, 2)
    ]

    assert sheets[0][2] == sheets[1][2] == "hand-over"
    assert not any(key.startswith(("bay", "stair")) for key in sheets[0])
    assert "cut-tickets" not in sheets[0]
    assert any(key.startswith("bay") for key in sheets[1])


def test_a_whole_job_has_no_hand_over() -> None:
    """Its pack is as it was."""
    made = plan("l-deck")

    assert made.day_share is None
    assert "hand-over" not in [
        sheet.key for sheet in pack_sheets(made, drawings=(), replaces="nothing")
    ]


def test_a_first_day_without_posts_to_set_is_asked_about() -> None:
    """A porch between walls has none."""
    tree, _ = days_of(builders.document("porch"), day=RAILS_ON, crew="wren")

    outcome = make_plan(builders.submission(tree), library=builders.library())

    assert outcome.plan is None
    assert [q.key for q in outcome.questions if q.severity == "stop"] == ["day.no-posts"]
