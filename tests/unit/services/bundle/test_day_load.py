"""A crew's day: who is booked twice, and whose hours run over."""

from __future__ import annotations

from datetime import date

import pytest

from schemas.wording import WHOLE
from services import pipeline
from services.bundle import Booking, booking_of, check_bookings, read_day
from tests import builders, planned

MONDAY, TUESDAY = date(2026, 6, 8), date(2026, 6, 9)
PLANNED = ("l-deck", "porch", "corner-45", "wraparound", "two-stair-sides", "metric")
CREWS = [crew.key for crew in builders.company().crews]


def _asked(*bookings: Booking) -> dict[str, str]:
    found = check_bookings(company=builders.company(), bookings=bookings)
    return {question.key: question.severity for question in found}


def _booked(job: str, *, crew: int = 0, **more: object) -> Booking:
    plain = {"job": job, "crew": CREWS[crew], "day": MONDAY, "hours": 2.0}
    return Booking(**plain | more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("second", "asked"),
    [
        ({"crew": 1}, True),
        ({"crew": 0}, True),
        ({"crew": 1, "day": TUESDAY}, False),
    ],
)
def test_job_on_two_crews(second: dict[str, object], asked: bool) -> None:  # noqa: FBT001
    """One job, one day, one crew; the next day it may go on with another."""
    crew = int(str(second.pop("crew")))

    found = _asked(_booked("J-1"), _booked("J-1", crew=crew, **second))

    assert found == ({"booked-twice.J-1": "stop"} if asked else {})


def test_hours_over_the_day() -> None:
    """Just the crew's hours fit; a tenth more holds."""
    hours = builders.company().crews[0].hours

    assert _asked(_booked("J-1", hours=hours - 2), _booked("J-2", hours=2.0)) == {}
    assert _asked(_booked("J-1", hours=hours - 2), _booked("J-2", hours=2.1)) == {
        f"day-full.{CREWS[0]}": "hold"
    }


@pytest.mark.parametrize(("second", "asked"), [(10.0, False), (9.9, True)])
def test_two_arrivals_at_once(second: float, asked: bool) -> None:  # noqa: FBT001
    """Two hours from eight end at ten."""
    found = _asked(_booked("J-1", starts=8.0), _booked("J-2", starts=second))

    assert found == ({"at-once.J-2": "stop"} if asked else {})


@pytest.mark.parametrize(
    ("second", "asked"),
    [
        ({"crew": 1, "address": "3 quay row, Alder Quay"}, True),
        ({"crew": 0, "address": "3 Quay Row, Alder Quay"}, False),
        ({"crew": 1, "address": "4 Quay Row, Alder Quay"}, False),
        ({"crew": 1, "address": "3 Quay Row, Alder Quay", "day": TUESDAY}, False),
        ({"crew": 1, "address": ""}, False),
    ],
)
def test_one_house_under_two_numbers(second: dict[str, object], asked: bool) -> None:  # noqa: FBT001
    """Two crews sent to one address on one day are asked about: twice entered, or parted."""
    crew = int(str(second.pop("crew")))

    found = _asked(
        _booked("J-1", address="3 Quay Row, Alder Quay"), _booked("J-2", crew=crew, **second)
    )

    assert found == ({"one-house.J-1": "hold"} if asked else {})


def test_a_hundred_jobs_at_one_house_are_one_question() -> None:
    """However long the list; a night must not end over it."""
    many = [_booked(f"J-{n:03}", crew=n % 2, address="3 Quay Row", hours=0.0) for n in range(100)]

    assert _asked(*many) == {"one-house.J-000": "hold"}


def test_stops_come_before_holds() -> None:
    """A job given out twice is told before a day that is too long."""
    found = _asked(_booked("J-1", hours=40.0), _booked("J-1", crew=1))

    assert list(found) == ["booked-twice.J-1", f"day-full.{CREWS[0]}"]


def test_a_plan_is_booked_for_its_crews_hours() -> None:
    """Crew-hours are of two people; a crew of four takes half as long on the clock."""
    plan = planned.plan("l-deck")
    crew = next(c for c in builders.company().crews if c.key == plan.job.crew)
    four = crew.model_copy(update={"people": 4})
    company = builders.company().model_copy(update={"crews": (four,)})

    booking = booking_of(plan, company=company)

    assert booking.hours == pytest.approx(plan.takeoff.crew_hours / 2)
    assert (booking.crew, booking.day, booking.starts) == (crew.key, plan.job.install_date, None)


@pytest.mark.parametrize("name", PLANNED)
def test_a_stored_plan_is_booked_as_the_plan_itself(name: str) -> None:
    """Only what a day needs is read of it, and every figure is the same."""
    plan = planned.plan(name)
    stored = plan.model_dump_json(context=WHOLE).encode()

    read = booking_of(read_day(stored), company=builders.company())

    assert read == booking_of(plan, company=builders.company())


def test_a_nights_stored_plans_are_checked_as_the_plans_themselves() -> None:
    """One crew, one day, all jobs: the same questions."""
    crew = CREWS[0]
    plans = [
        plan.model_copy(update={"job": plan.job.model_copy(update={"crew": crew})})
        for plan in (planned.plan(name) for name in PLANNED)
    ]
    raws = [plan.model_dump_json(context=WHOLE).encode() for plan in plans]

    found = pipeline.check_night(iter(raws), library=builders.library())

    assert found == pipeline.check_day(plans, library=builders.library())
    assert f"day-full.{crew}" in {question.key for question in found}


def test_promised_arrival_is_an_hour_of_the_day() -> None:
    """Half past eight."""
    plan = planned.plan("l-deck")
    site = plan.job.site.model_copy(update={"arrives": "08:30"})
    late = plan.model_copy(update={"job": plan.job.model_copy(update={"site": site})})

    assert booking_of(late, company=builders.company()).starts == 8.5


def test_arrivals_of_two_crews_are_their_own() -> None:
    """At the same hour, on two crews."""
    assert _asked(_booked("J-1", starts=8.0), _booked("J-2", crew=1, starts=8.0)) == {}


@pytest.mark.parametrize(("over", "asked"), [(0, False), (1, True)])
def test_loads_of_a_day_go_on_one_truck(over: int, asked: bool) -> None:  # noqa: FBT001
    """Each fits alone; a gram over the limit together is a hold, on the day they meet only."""
    limit = round(builders.company().crews[0].truck_kg * 1000)
    half = limit // 2

    together = _asked(_booked("J-1", grams=half), _booked("J-2", grams=limit - half + over))
    apart = _asked(_booked("J-1", grams=half), _booked("J-2", grams=half + over, day=TUESDAY))

    assert together == ({f"truck-full.{CREWS[0]}": "hold"} if asked else {})
    assert apart == {}


def test_a_booking_weighs_what_its_plan_loads() -> None:
    """The whole load-out."""
    plan = planned.plan("l-deck")

    assert booking_of(plan, company=builders.company()).grams == plan.takeoff.grams
