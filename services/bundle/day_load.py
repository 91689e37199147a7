"""A crew's day before it is bundled: jobs given out twice, hours or loads beyond the day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby, pairwise

from pydantic import BaseModel, ConfigDict

from schemas.company import Company, Crew
from schemas.plan import Plan
from schemas.site import Option, Question
from schemas.wording import joined, row, say

_GO_ON = Option(key="go-on", says=say("Go on; the office knows"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Booking:
    """A job on a crew's day."""

    job: str
    crew: str
    """Key of the crew."""
    day: date
    hours: float
    """Planned, on the clock, for the whole crew; travel and set-up included. [h]"""
    starts: float | None = None
    """Arrival that was promised, after midnight; none: any time. [h]"""
    address: str = ""
    """Street and town; empty is unknown."""
    grams: int = 0
    """What it loads. [g]"""


class _Site(BaseModel):
    """Where and when; what else a plan says of it is passed over."""

    model_config = ConfigDict(frozen=True, strict=True)

    arrives: str | None
    street: str
    town: str


class _Job(BaseModel):
    """Which job it is."""

    model_config = ConfigDict(frozen=True, strict=True)

    job: str
    crew: str
    install_date: date
    site: _Site


class _Takeoff(BaseModel):
    """What it takes of the day and the truck."""

    model_config = ConfigDict(frozen=True, strict=True)

    crew_hours: float
    grams: int


class StoredDay(BaseModel):
    """What a crew's day reads of a stored plan; the rest is passed over."""

    model_config = ConfigDict(frozen=True, strict=True)

    job: _Job
    takeoff: _Takeoff


def read_day(raw: bytes) -> StoredDay:
    """Read a crew's day out of a plan that we wrote; whole plans of a long night take minutes."""
    return StoredDay.model_validate_json(raw)


def booking_of(plan: Plan | StoredDay, *, company: Company) -> Booking:
    """A planned job as a crew's day sees it.

    Hours on the clock = crew-hours of a crew of two * 2 / people of the crew.

    Args:
        plan: The job's plan, or what a day reads of it.
        company: For the crew's head count.
    """
    job, site = plan.job, plan.job.site
    people = next((crew.people for crew in company.crews if crew.key == job.crew), 2)
    hour, _, minute = (site.arrives or "").partition(":")
    return Booking(
        job=job.job,
        crew=job.crew,
        day=job.install_date,
        hours=plan.takeoff.crew_hours * 2 / people,
        starts=int(hour) + int(minute) / 60 if site.arrives else None,
        address=f"{site.street}, {site.town}",
        grams=plan.takeoff.grams,
    )


def check_bookings(*, company: Company, bookings: Sequence[Booking]) -> tuple[Question, ...]:
    """What is wrong with who works where when.

    Args:
        company: For the crews' hours.
        bookings: All jobs of one or more days.

    Source:
        Common practice.
    """
    found = (*_twice(bookings), *_one_house(bookings), *_days(company, bookings))
    return tuple(sorted(found, key=lambda question: question.severity != "stop"))


def _twice(bookings: Sequence[Booking]) -> Iterator[Question]:
    """The same job on two crews the same day, or twice on one."""
    ordered = sorted(bookings, key=lambda b: (b.day, b.job, b.crew))
    for (day, job), same in groupby(ordered, key=lambda b: (b.day, b.job)):
        crews = [booking.crew for booking in same]
        if len(crews) > 1:
            yield Question(
                key=f"booked-twice.{job}",
                severity="stop",
                place=say("Job {job}", job=job),
                says=say(
                    "{job} is given out {count} times on {day}: to {crews}. Two packs of "
                    "one job cut everything twice.",
                    job=job,
                    count=len(crews),
                    day=day.isoformat(),
                    crews=row(crews),
                ),
                ask=say("Which crew builds it?"),
                options=tuple(
                    Option(key=f"only-{n}", says=say("Only crew {crew}", crew=crew))
                    for n, crew in enumerate(dict.fromkeys(crews), 1)
                ),
            )


def _one_house(bookings: Sequence[Booking]) -> Iterator[Question]:
    """One address under two job numbers on two crews: entered twice, or parted."""
    ordered = sorted(
        (booking for booking in bookings if booking.address),
        key=lambda b: (b.day, b.address.casefold(), b.job),
    )
    for (day, _), same in groupby(ordered, key=lambda b: (b.day, b.address.casefold())):
        own = list(same)
        if len({b.job for b in own}) > 1 and len({b.crew for b in own}) > 1:
            yield Question(
                key=f"one-house.{own[0].job}",
                severity="hold",
                place=say("Jobs {jobs}", jobs=row(_first(b.job for b in own))),
                says=say(
                    "{address} is on {day} the place of {jobs}.",
                    address=own[0].address,
                    day=day.isoformat(),
                    jobs=joined(say("{job} (crew {crew})", job=b.job, crew=b.crew) for b in own),
                ),
                ask=say("Was one job entered twice, or does each crew build its own part?"),
                options=(_GO_ON,),
            )


def _first(jobs: Iterable[str]) -> list[str]:
    """The first few of a list that may be long: a place is one line, all are named below it."""
    every = list(jobs)
    return every if len(every) <= 4 else [*every[:4], "..."]


def _days(company: Company, bookings: Sequence[Booking]) -> Iterator[Question]:
    known = {crew.key: crew for crew in company.crews}
    ordered = sorted(bookings, key=lambda b: (b.day, b.crew, b.job))
    for (day, key), group in groupby(ordered, key=lambda b: (b.day, b.crew)):
        own = list(group)
        yield from _at_once(own, crew=known[key].name if key in known else key)
        hours = sum(booking.hours for booking in own)
        if key in known and hours > known[key].hours:
            yield Question(
                key=f"day-full.{key}",
                severity="hold",
                place=say("Crew {crew}", crew=known[key].name),
                says=say(
                    "{jobs} take {hours} h on {day}; crew {crew} has {has} h.",
                    jobs=row(b.job for b in own),
                    hours=f"{hours:.1f}",
                    day=day.isoformat(),
                    crew=known[key].name,
                    has=f"{known[key].hours:g}",
                ),
                ask=say("What is left for another day?"),
                options=(_GO_ON,),
            )
        if key in known:
            yield from _truck(known[key], own)


def _truck(crew: Crew, own: Sequence[Booking]) -> Iterator[Question]:
    """All loads of a day on the crew's one truck."""
    grams = sum(booking.grams for booking in own)
    if grams > crew.truck_kg * 1000:
        yield Question(
            key=f"truck-full.{crew.key}",
            severity="hold",
            place=say("Truck of crew {crew}", crew=crew.name),
            says=say(
                "The loads of {jobs} weigh {load} kg; the truck of crew {crew} may carry "
                "{carries} kg.",
                jobs=row(booking.job for booking in own),
                load=f"{grams / 1000:.0f}",
                crew=crew.name,
                carries=f"{crew.truck_kg:g}",
            ),
            ask=say("What goes on a second trip or another truck?"),
            options=(_GO_ON,),
        )


def _at_once(own: Sequence[Booking], *, crew: str) -> Iterator[Question]:
    """Two promised arrivals of one crew that overlap."""
    timed = sorted(
        (booking.starts, booking.hours, booking.job)
        for booking in own
        if booking.starts is not None
    )
    for (start, hours, job), (following, _, other) in pairwise(timed):
        if following < start + hours:
            yield Question(
                key=f"at-once.{other}",
                severity="stop",
                place=say("Crew {crew}", crew=crew),
                says=say(
                    "Crew {crew} is at {job} for {hours} h from {start}, and is promised at "
                    "{other} from {following}.",
                    crew=crew,
                    job=job,
                    hours=f"{hours:.1f}",
                    start=_clock(start),
                    other=other,
                    following=_clock(following),
                ),
                ask=say("Which of the two arrivals is moved?"),
                options=(
                    Option(key="first-waits", says=_waits(job)),
                    Option(key="second-waits", says=_waits(other)),
                    _GO_ON,
                ),
            )


def _waits(job: str) -> str:
    return say("{job} waits: its house was told a later hour", job=job)


def _clock(hours: float) -> str:
    """An hour of the day, e.g. ``08:30``."""
    minutes = round(hours * 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
