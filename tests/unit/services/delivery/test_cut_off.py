"""A work day's cut-offs as moments: both daylight-saving nights, leap days, holidays.

Source:
    15 U.S.C. 260a (Energy Policy Act of 2005): United States clocks go forward at 2 am on the
    second Sunday of March and back at 2 am on the first Sunday of November.
    Directive 2000/84/EC: European clocks change at 01:00 UTC on the last Sundays of March and
    October.
"""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from schemas.company import Company, DayOff
from schemas.errors import BadInput
from services.delivery import eve_of, is_work_day, phase_at, times_of
from services.intake import read_document
from tests.builders import company
from worker.library import DEMO

NEW_YORK = "America/New_York"


def hours(**changes: object) -> Company:
    """The demo company at other hours."""
    return company().model_copy(update=changes)


def utc(*parts: int) -> datetime:
    """A moment in UTC."""
    return datetime(*parts, tzinfo=UTC)  # type: ignore[misc,arg-type]


@pytest.mark.parametrize(
    ("day", "last_run"),
    [
        (date(2026, 3, 6), utc(2026, 3, 6, 8)),  # before: 03:00 is UTC - 5
        (date(2026, 3, 8), utc(2026, 3, 8, 7)),  # that Sunday: 02:00 became 03:00, UTC - 4
        (date(2026, 10, 30), utc(2026, 10, 30, 7)),
        (date(2026, 11, 1), utc(2026, 11, 1, 8)),  # 02:00 became 01:00
    ],
)
def test_the_last_run_keeps_to_the_clock_on_the_wall(day: date, last_run: datetime) -> None:
    """At 03:00 as the yard's clock shows it, whatever that is in UTC."""
    assert times_of(hours(zone=NEW_YORK, final_run="03:00"), day).last_run == last_run


@pytest.mark.parametrize(
    ("zone", "day", "hour", "moment"),
    [
        (NEW_YORK, date(2026, 3, 8), "02:30", utc(2026, 3, 8, 7, 30)),  # not there: 03:30
        (NEW_YORK, date(2026, 11, 1), "01:30", utc(2026, 11, 1, 5, 30)),  # twice: the first
        ("Europe/Berlin", date(2026, 3, 29), "02:30", utc(2026, 3, 29, 1, 30)),
        ("Europe/Berlin", date(2026, 10, 25), "02:30", utc(2026, 10, 25, 0, 30)),
    ],
)
def test_an_hour_left_out_or_doubled_is_one_moment(
    zone: str, day: date, hour: str, moment: datetime
) -> None:
    """The missing hour comes as much later as the clock jumped; of two the first is meant."""
    assert times_of(hours(zone=zone, final_run=hour), day).last_run == moment


@pytest.mark.parametrize("day", [date(2026, 3, 8), date(2026, 11, 1), date(2027, 3, 14)])
def test_a_nights_moments_stay_in_order_when_the_clock_is_moved(day: date) -> None:
    """For every hour of the last run."""
    for hour in range(24):
        times = times_of(hours(zone=NEW_YORK, final_run=f"{hour:02}:30", soft_cut_off="00:10",
                               hard_cut_off="00:20", bundles_by="05:00"), day)  # fmt: skip

        assert times.soft < times.hard < times.last_run <= times.bundles_by < times.over


def test_the_leap_day_has_its_night() -> None:
    """29 February 2028, a Tuesday, and the day after it."""
    times = times_of(company(), date(2028, 2, 29))

    assert (times.eve, times.last_run) == (date(2028, 2, 28), utc(2028, 2, 29, 8))
    assert times_of(company(), date(2028, 3, 1)).eve == date(2028, 2, 29)


def test_a_last_run_late_in_the_evening_is_on_the_evening_before() -> None:
    """21:30 comes after the hard cut-off at 16:30."""
    times = times_of(hours(final_run="21:30"), date(2026, 12, 3))

    assert times.last_run == utc(2026, 12, 3, 2, 30)
    assert times.bundles_by == utc(2026, 12, 3, 10)


def test_the_eve_is_a_day_on_which_somebody_can_answer() -> None:
    """Friday for Monday, and before the holiday for the day after it."""
    closed = hours(days_off=(DayOff(day=date(2026, 12, 25), says="Christmas Day"),))

    assert not is_work_day(closed, date(2026, 12, 25))
    assert eve_of(closed, date(2026, 12, 28)) == date(2026, 12, 24)
    assert eve_of(closed, date(2026, 12, 24)) == date(2026, 12, 23)


def test_a_company_that_never_opens_still_has_an_eve() -> None:
    """The day before, after two months of days off."""
    start = date(2026, 1, 1)
    closed = tuple(DayOff(day=start + timedelta(days=n), says="closed") for n in range(200))

    assert eve_of(hours(days_off=closed), date(2026, 6, 1)) == date(2026, 5, 31)


def test_a_moment_on_a_cut_off_counts_as_after_it() -> None:
    """A minute before it does not."""
    times = times_of(company(), date(2026, 12, 3))
    borders = [times.soft, times.hard, times.last_run, times.over]

    before = [phase_at(times, border - timedelta(minutes=1)) for border in borders]
    on = [phase_at(times, border) for border in borders]

    assert before == ["open", "asked", "closed", "last-run"]
    assert on == ["asked", "closed", "last-run", "over"]


def test_cut_offs_the_wrong_way_round_are_refused() -> None:
    """Soft comes first."""
    tree = json.loads((DEMO / "company.json").read_bytes()) | {"soft_cut_off": "17:00"}

    with pytest.raises(BadInput, match="soft_cut_off comes after hard_cut_off"):
        read_document(json.dumps(tree).encode(), Company)


def test_the_day_ends_at_the_yards_own_midnight() -> None:
    """Also in a zone whose midnight is another day in UTC."""
    over = times_of(hours(zone="Pacific/Auckland"), date(2026, 12, 3)).over

    assert over.astimezone(ZoneInfo("Pacific/Auckland")).isoformat() == "2026-12-04T00:00:00+13:00"
