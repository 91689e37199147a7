"""What two sheets or two lines of one sheet say of the same thing agrees."""

from __future__ import annotations

from datetime import date

import pytest

from schemas.bundle import Stop
from schemas.lengths import INCH
from schemas.pages import Facts, Prose, Sheet, WriteIn
from schemas.site import Gate
from services.bundle import day_sheets
from services.bundle.day_words import hours_words
from services.pages.homeowner import homeowner, open_edge
from tests import builders, planned


def _facts(sheet: Sheet) -> dict[str, str]:
    return {f.label: f.value for b in sheet.blocks if isinstance(b, Facts) for f in b.facts}


@pytest.mark.parametrize("name", ["l-deck", "porch", "metric"])
def test_hours_in_print_make_their_printed_sum(name: str) -> None:
    """What stands in the rows adds up to what stands as their sum, to the last figure."""
    takeoff = planned.plan(name).takeoff

    rows = sum(float(hours_words(line.hours).removesuffix(" h")) for line in takeoff.hours)

    assert hours_words(rows) == hours_words(takeoff.crew_hours)


def test_each_stop_has_its_own_address_in_an_emergency() -> None:
    """Two stops of a day: two lines, each with the street that is to be said there."""
    company = builders.company()
    stops = tuple(
        Stop(plan=planned.plan(name), code="7K2M-Q9DX", replaces="nothing")
        for name in ("l-deck", "porch")
    )

    sheet = day_sheets(
        company=company, crew=company.crews[0], day=date(2026, 12, 3), stops=stops, missing=()
    )[0]  # fmt: skip

    lines = [b.text for b in sheet.blocks if isinstance(b, Prose) and "Emergency" in b.text]
    assert [line.rsplit("Address: ", 1)[1] for line in lines] == [
        "14 Tidewater Lane, Alder Quay.", "3 Ropewalk Court, Alder Quay.",
    ]  # fmt: skip


def test_the_card_at_the_house_claims_no_day_on_which_it_was_built() -> None:
    """The day may slip: it is planned, and the day it was finished is written in."""
    card = homeowner(planned.plan("l-deck"))

    blanks = [label for b in card.blocks if isinstance(b, WriteIn) for label in b.labels]
    assert "Planned for" in _facts(card)
    assert "Built on" not in _facts(card)
    assert "Finished on, day" in blanks


def test_gates_are_tried_where_there_are_gates() -> None:
    """A house without one is not told to try it."""
    bare = planned.plan("l-deck")
    gate = Gate.model_construct(name="G1", leg="A", start=0, width=36 * INCH)
    gated = bare.model_copy(update={"job": bare.job.model_copy(update={"gates": (gate,)})})

    told = [
        any("try gates" in b.text for b in homeowner(plan).blocks if isinstance(b, Prose))
        for plan in (bare, gated)
    ]

    assert bare.job.gates == ()
    assert told == [False, True]


def test_the_notice_is_filled_in_by_a_crew_that_reads_other_words() -> None:
    """A house that reads English, a crew that reads Spanish: both stand at the blank."""
    plan = planned.plan("metric")

    blanks = [b.labels for b in open_edge(plan).blocks if isinstance(b, WriteIn)][-1]

    assert plan.job.site.language == "en"
    assert blanks[0] == "Which edge, which door / Qué borde, qué puerta"


def test_posts_that_stay_are_not_held_to_marks_that_nobody_makes() -> None:
    """Where all posts stand the hold point asks for a push, no centres within a mark."""
    steps = {step.key: step for step in planned.plan("porch").sequence.steps}
    mixed = {step.key: step for step in planned.plan("l-deck").sequence.steps}

    assert "centres" not in steps["posts-proved"].text
    assert "centres" in mixed["posts-proved"].text
