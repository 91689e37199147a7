"""Which runs of which nights are due at a moment, whatever was missed before it.

Each work day has two runs: `evening` at the hard cut-off and `last` at the hour of the last
run. After downtime the last run takes the evening's work along; a night that was slept through
altogether is `missed` and is said to be.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final, Literal
from zoneinfo import ZoneInfo

from schemas.company import Company
from services.delivery.cut_off import LONGEST_CLOSURE, NightTimes, eve_of, is_work_day, times_of

RunKind = Literal["evening", "last", "missed"]

LOOK_BACK: Final = 14
"""For nights that were slept through with jobs on them. [days]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class DueRun:
    """A run that should have started."""

    kind: RunKind
    work_date: date
    since: datetime
    """When it should have started. [UTC]"""
    until: datetime
    """When it stops to wait for packs. [UTC]"""


def runs_due(company: Company, *, now: datetime, days_with_jobs: Collection[date]) -> list[DueRun]:
    """The runs that are due, the most pressing day first.

    A work day has its night whether or not there are jobs, so that an empty one is seen. A day
    off has one only if a job stands on it.

    Args:
        company: For its hours, zone and calendar.
        now: The moment, aware of its zone.
        days_with_jobs: Days of work on which a job stands.
    """
    today = now.astimezone(ZoneInfo(company.zone)).date()
    found: list[DueRun] = []
    for day in _days(company, today):
        if day in days_with_jobs or (day >= today and is_work_day(company, day)):
            found += _due(times_of(company, day), now)
    return found


def _days(company: Company, today: date) -> Iterator[date]:
    """From as far back as we look to the last day whose eve has come."""
    for step in range(-LOOK_BACK, LONGEST_CLOSURE + 1):
        day = today + timedelta(days=step)
        if step > 0 and eve_of(company, day) > today:
            return
        yield day


def _due(times: NightTimes, now: datetime) -> Iterator[DueRun]:
    if now >= times.over:
        yield _run("missed", times, since=times.last_run, until=times.over)
    elif now >= times.last_run:
        yield _run("last", times, since=times.last_run, until=times.bundles_by)
    elif now >= times.hard:
        yield _run("evening", times, since=times.hard, until=times.last_run)


def _run(kind: RunKind, times: NightTimes, *, since: datetime, until: datetime) -> DueRun:
    return DueRun(kind=kind, work_date=times.work_date, since=since, until=until)
