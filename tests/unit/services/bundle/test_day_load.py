"""A crew's day: who is booked twice, and whose hours run over."""

from __future__ import annotations

from datetime import date

import pytest

from services.bundle import Booking, check_bookings
from tests import builders

MONDAY, TUESDAY = date(2026, 6, 8), date(2026, 6, 9)
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


def test_arrivals_of_two_crews_are_their_own() -> None:
    """At the same hour, on two crews."""
    assert _asked(_booked("J-1", starts=8.0), _booked("J-2", crew=1, starts=8.0)) == {}
