"""A work day's cut-offs as moments, from the company's hours, time zone and calendar.

The company writes hours as its clock on the wall shows them. Each becomes one moment, also in
the two nights a year in which that clock is moved: an hour that comes twice is meant the first
time, and one that is left out is read on the clock as it stood before, so it comes as much
later as the clock was put forward (PEP 495).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Final, Literal
from zoneinfo import ZoneInfo

from schemas.company import Company

Phase = Literal["open", "asked", "closed", "last-run", "over"]
"""Where a moment stands in a work day's night."""

WEEKDAYS: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")

LONGEST_CLOSURE: Final = 60
"""Days off in a row after which the day before counts as the eve. [days]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class NightTimes:
    """The moments of one work day's night, in UTC and in this order."""

    work_date: date
    eve: date
    """The last work day before it: somebody is there to answer questions."""
    soft: datetime
    """Changes are asked about from here on."""
    hard: datetime
    """The first run; changes are named as late from here on."""
    last_run: datetime
    """The last run; changes need a supplement from here on."""
    bundles_by: datetime
    """What is not finished counts as missing."""
    over: datetime
    """The work day ends: midnight."""


def is_work_day(company: Company, day: date) -> bool:
    """Whether the company's crews go out on a day."""
    off = {closed.day for closed in company.days_off}
    return WEEKDAYS[day.weekday()] in company.work_days and day not in off


def eve_of(company: Company, day: date) -> date:
    """The last work day before a day."""
    before = (day - timedelta(days=back) for back in range(1, LONGEST_CLOSURE + 1))
    return next((d for d in before if is_work_day(company, d)), day - timedelta(days=1))


def times_of(company: Company, day: date) -> NightTimes:
    """The moments of a work day's night.

    The last run falls on the work day itself where its hour is before the hard cut-off's, as
    03:00 is before 16:30; otherwise, as 21:30, on the evening before.

    Args:
        company: For its hours, zone and calendar.
        day: The day the crews work.
    """
    eve = eve_of(company, day)
    early = company.final_run < company.hard_cut_off
    last_run = _moment(company, day if early else day - timedelta(days=1), company.final_run)
    return NightTimes(
        work_date=day,
        eve=eve,
        soft=_moment(company, eve, company.soft_cut_off),
        hard=_moment(company, eve, company.hard_cut_off),
        last_run=last_run,
        bundles_by=max(last_run, _moment(company, day, company.bundles_by)),
        over=_moment(company, day + timedelta(days=1), "00:00"),
    )


def phase_at(times: NightTimes, now: datetime) -> Phase:
    """Where a moment stands: on a cut-off counts as after it."""
    if now >= times.over:
        return "over"
    if now >= times.last_run:
        return "last-run"
    if now >= times.hard:
        return "closed"
    return "asked" if now >= times.soft else "open"


def _moment(company: Company, day: date, hour: str) -> datetime:
    local = datetime.combine(day, time.fromisoformat(hour), tzinfo=ZoneInfo(company.zone))
    return local.astimezone(UTC)
