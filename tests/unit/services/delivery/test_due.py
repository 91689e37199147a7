"""Which runs are due: two years stepped through, downtime, days off, jobs on a day off."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from services.delivery import is_work_day, runs_due
from tests.builders import company

ZONE = ZoneInfo("America/New_York")
HOLIDAY = date(2026, 12, 25)


def at(text: str) -> datetime:
    """A moment on the yard's own clock."""
    return datetime.fromisoformat(text).replace(tzinfo=ZONE)


def due(text: str, *days: date) -> list[tuple[str, str]]:
    """Kind and day of the runs due at a moment, with jobs on these days."""
    found = runs_due(company(), now=at(text), days_with_jobs=days)
    return [(run.kind, str(run.work_date)) for run in found]


@pytest.mark.parametrize("step", [timedelta(minutes=47), timedelta(hours=1)])
def test_in_two_years_every_work_day_has_one_evening_and_one_last_run(step: timedelta) -> None:
    """Stepped through both daylight-saving nights, a leap day and the holidays of 2027-28."""
    first, end = date(2027, 1, 4), date(2029, 1, 1)
    started: Counter[tuple[str, date]] = Counter()
    known: set[tuple[str, date]] = set()
    now = datetime(2027, 1, 2, tzinfo=UTC)
    late = timedelta(0)
    while now < datetime(2029, 1, 2, tzinfo=UTC):
        runs = {(r.kind, r.work_date): r for r in runs_due(company(), now=now, days_with_jobs=())}
        for key in runs.keys() - known:
            started[key] += 1
            if key[1] > first:
                late = max(late, now - runs[key].since)
        known |= runs.keys()
        now += step

    days = [first + timedelta(days=n) for n in range((end - first).days)]
    expected = {(kind, day) for day in days if is_work_day(company(), day)
                for kind in ("evening", "last")}  # fmt: skip
    ours = {key: n for key, n in started.items() if first <= key[1] < end}
    assert set(ours) == expected
    assert set(ours.values()) == {1}
    assert late < step


def test_before_the_hard_cut_off_nothing_is_due() -> None:
    """From then on the evening's run, from its hour on the last one."""
    day = [str(date(2026, 12, 3))]

    assert due("2026-12-02T16:29") == [("last", "2026-12-02")]
    assert due("2026-12-02T16:30") == [("last", "2026-12-02"), ("evening", *day)]
    assert due("2026-12-03T02:59") == [("evening", *day)]
    assert due("2026-12-03T03:00") == [("last", *day)]


def test_after_a_day_of_downtime_the_last_run_is_caught_up_with() -> None:
    """Late in the morning still: a late bundle is better than none."""
    assert due("2026-12-03T12:00") == [("last", "2026-12-03")]


def test_a_night_slept_through_with_jobs_on_it_is_missed() -> None:
    """One without jobs is nobody's loss."""
    wednesday = date(2026, 12, 2)

    assert due("2026-12-03T04:00", wednesday) == [
        ("missed", "2026-12-02"),
        ("last", "2026-12-03"),
    ]
    assert due("2026-12-03T04:00") == [("last", "2026-12-03")]


def test_a_holiday_has_no_night_unless_a_job_stands_on_it() -> None:
    """The evening of its eve is Monday's."""
    assert due("2026-12-24T17:00") == [("last", "2026-12-24"), ("evening", "2026-12-28")]
    assert due("2026-12-24T17:00", HOLIDAY) == [
        ("last", "2026-12-24"),
        ("evening", "2026-12-25"),
        ("evening", "2026-12-28"),
    ]
    assert due("2026-12-25T08:00", HOLIDAY) == [("last", "2026-12-25"), ("evening", "2026-12-28")]


def test_mondays_evening_run_is_on_friday_and_its_last_on_monday() -> None:
    """The weekend between belongs to it."""
    assert due("2026-12-05T12:00") == [("evening", "2026-12-07")]
    assert due("2026-12-07T02:59") == [("evening", "2026-12-07")]
    assert due("2026-12-07T03:00") == [("last", "2026-12-07")]


def test_a_run_says_when_it_was_due_and_how_long_it_may_wait() -> None:
    """The evening's until the last run, the last until bundles must lie ready."""
    evening = runs_due(company(), now=at("2026-12-02T22:00"), days_with_jobs=())[-1]
    last = runs_due(company(), now=at("2026-12-03T04:00"), days_with_jobs=())[0]

    assert (evening.since, evening.until) == (at("2026-12-02T16:30"), at("2026-12-03T03:00"))
    assert (last.since, last.until) == (at("2026-12-03T03:00"), at("2026-12-03T05:00"))
