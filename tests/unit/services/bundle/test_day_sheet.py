"""The sheet on top of a crew's packs."""

from __future__ import annotations

from datetime import date

from schemas.bundle import DecidedBooking, Missing, Stop
from schemas.pages import Heading, Sheet, Table, Ticks
from schemas.site import Option, Question
from services.bundle.day_sheet import day_sheets
from tests import builders
from tests.unit.services.pages.made_plan import PRICE, made_plan
from tests.unit.services.pages.sheet_text import words

DAY = date(2026, 12, 3)
FIRST = Stop(plan=made_plan("l-deck"), code="7K2M-Q9DX", replaces="nothing")
SECOND = Stop(
    plan=made_plan("porch", 3), code="0ABC-DEFG", replaces="rev 1, code 1111-2222",
    open_questions=("Which wall?",),
)  # fmt: skip
HELD = Missing(job="P-9", revision=2, why="held: rise.S1 is not answered")


def sheets(*stops: Stop, missing: tuple[Missing, ...] = ()) -> tuple[Sheet, ...]:
    """A crew's day."""
    company = builders.company()
    return day_sheets(company=company, crew=company.crews[0], day=DAY, stops=stops, missing=missing)


def test_stops_stand_in_order_with_their_codes() -> None:
    """The stop table lists the jobs as they are driven, each with the code of its pack."""
    day, *_ = sheets(FIRST, SECOND)
    (stops,) = [b for b in day.blocks if isinstance(b, Table)]

    assert [(row.cells[0], row.cells[3]) for row in stops.rows] == [
        ("1", FIRST.code), ("2", SECOND.code),
    ]  # fmt: skip


def test_replaced_paper_is_to_be_destroyed() -> None:
    """Only the stop that replaces something asks for it, by name."""
    day, *_ = sheets(FIRST, SECOND)
    ticks = [t.text for b in day.blocks if isinstance(b, Ticks) for t in b.ticks]

    assert [t for t in ticks if "destroy" in t] == ["P-2042: destroy rev 1, code 1111-2222"]


def test_open_questions_are_holds() -> None:
    """What is still open stands as a hold point with its job."""
    day, *_ = sheets(FIRST, SECOND)
    holds = [t for b in day.blocks if isinstance(b, Ticks) for t in b.ticks if t.hold]

    assert [(t.mark, t.text) for t in holds] == [("P-2042", "Which wall?")]


def test_bookings_at_odds_are_told_before_leaving() -> None:
    """Two arrivals at once stand over the stops, as a hold; a long day stands at its hours."""
    at_once, long_day = (
        Question(key=key, severity="stop", place="Crew", says=says, ask="What is moved?")
        for key, says in (("at-once.P-1", "Two at once."), ("day-full.heron", "Long."))
    )
    company = builders.company()

    day, *_ = day_sheets(
        company=company, crew=company.crews[0], day=DAY, stops=(FIRST,), missing=(),
        booked=(at_once, long_day),
    )  # fmt: skip

    holds = [t.text for b in day.blocks if isinstance(b, Ticks) for t in b.ticks if t.hold]
    assert holds == ["Two at once. What is moved?"]
    blocks = [b.text for b in day.blocks if isinstance(b, Heading)]
    assert blocks.index("Call before you leave the yard") < blocks.index("Stops")


def test_a_decided_booking_is_told_with_who_decided_and_asked_no_more() -> None:
    """Only what was asked then is decided: another matter of the same key is asked."""
    asked = Question(
        key="at-once.P-1", severity="stop", place="Crew Heron", says="Two at once.",
        ask="What is moved?", options=(Option(key="go-on", says="Go on"),),
    )  # fmt: skip
    made = DecidedBooking(
        question=asked.key, says="Two at once.", option="go-on", by="A. Duty", why="they know"
    )
    company = builders.company()

    def told(booked: Question) -> Sheet:
        first, *_ = day_sheets(
            company=company, crew=company.crews[0], day=DAY, stops=(FIRST,), missing=(),
            booked=(booked,), decided=(made,),
        )  # fmt: skip
        return first

    one = told(asked)
    two = told(asked.model_copy(update={"says": "Two others at once."}))

    assert "Call before you leave" not in words(one)
    cells = [row.cells for b in one.blocks if isinstance(b, Table) for row in b.rows]
    assert ("Two at once.", "Go on", "A. Duty", "they know") in cells
    assert "Call before you leave" in words(two)
    assert "A. Duty" not in words(two)


def test_missing_jobs_come_first_with_their_reason() -> None:
    """A job without a pack is named at the top, strong, with why, and is not to be started."""
    day, *_ = sheets(FIRST, missing=(HELD,))
    table = next(b for b in day.blocks if isinstance(b, Table))

    assert table.rows[0].cells == ("P-9 rev 2", HELD.why)
    assert table.rows[0].strong
    assert "do not start" in words(day)


def test_a_day_that_is_too_long_says_so() -> None:
    """Two jobs of 6.5 hours do not fit a day of 8."""
    assert "TOO LONG" in words(sheets(FIRST, SECOND)[0])
    assert "TOO LONG" not in words(sheets(FIRST)[0])


def test_last_stop_is_loaded_first() -> None:
    """The combined load-out lists the last stop first, each with weight and three boxes."""
    _, load, _ = sheets(FIRST, SECOND)
    (table,) = [b for b in load.blocks if isinstance(b, Table)]

    assert [row.group[:6] for row in table.rows] == ["Stop 2"] * 2 + ["Stop 1"] * 2
    assert [c.head for c in table.columns if c.box] == ["Picked", "Loaded", "Back"]
    assert "441 lb" in words(load)


def test_an_overloaded_truck_says_so() -> None:
    """Loads over what the truck carries say OVER."""
    heavy = FIRST.plan.takeoff.model_copy(update={"grams": 10_000_000})
    stop = FIRST.model_copy(update={"plan": FIRST.plan.model_copy(update={"takeoff": heavy})})

    assert "OVER" in words(sheets(stop)[1])
    assert "OVER" not in words(sheets(FIRST)[1])


def test_dangers_of_every_site_and_who_to_call() -> None:
    """Each site's dangers, the loud cautions once, and the person on duty are on the sheet."""
    said = words(sheets(FIRST, SECOND)[0])

    assert said.count("Danger 1;") == 2
    assert said.count("Open edge") == 1
    assert builders.company().on_duty in said


def test_a_day_without_packs_still_has_its_sheets() -> None:
    """No stop at all prints that, never an empty page."""
    day, load, evening = sheets(missing=(HELD,))

    assert "No job has a pack today" in words(day)
    assert "P-9" in words(day)
    assert load.blocks
    assert evening.blocks


def test_no_price_and_no_way_in() -> None:
    """Neither money nor how to get into a house stands on the day sheets."""
    said = "".join(map(words, sheets(FIRST, SECOND)))

    assert str(PRICE) not in said
    assert "4711" not in said
