"""The day sheet of a crew, its load-out for all stops, and what it brings back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from schemas.bundle import DecidedBooking, Missing, Stop
from schemas.company import Company, Crew
from schemas.pages import (
    Block,
    Column,
    Fact,
    Facts,
    Heading,
    Message,
    Prose,
    Row,
    Sheet,
    Table,
    Tick,
    Ticks,
    WriteIn,
)
from schemas.sequence import Caution
from schemas.site import Question
from schemas.wording import Said, counted, row, say, shipped
from services.bundle.day_load_out import day_load_out
from services.bundle.day_words import hours_words, job_words
from services.bundle.evening import evening_return
from services.wording import words_for
from services.wording.terms import term

_NOTHING = "nothing"
_MOST_CAUTIONS = 6
"""Big ones only; each pack has them all. Common practice."""
_LOUD = ("DANGER", "WARNING")


def day_sheets(
    *,
    company: Company,
    crew: Crew,
    day: date,
    stops: Sequence[Stop],
    missing: Sequence[Missing],
    booked: Sequence[Question] = (),
    decided: Sequence[DecidedBooking] = (),
) -> tuple[Sheet, ...]:
    """What lies on top of a crew's packs.

    Args:
        company: Whose day it is.
        crew: Who works.
        day: Day of work.
        stops: Jobs with a pack, in the order of driving.
        missing: Jobs of the day without one, and why.
        booked: What is wrong with the day's bookings.
        decided: What of it the office has answered.
    """
    on = words_for(crew.language).day(day)
    title = say("Crew {crew}, {day}", crew=crew.name, day=on)
    return (
        Sheet(
            key="day-sheet",
            title=title,
            place=say("{company}: the day's stops in order", company=company.name),
            blocks=(
                *_missing(missing),
                *_booked(booked, decided),
                *_stops(stops),
                _hours(crew, stops),
                *_destroy(stops),
                *_holds(stops),
                *_cautions(stops),
                *_call(company, stops),
            ),
        ),
        Sheet(
            key="day-load-out",
            title=say("Load-out, {crew}", crew=title),
            place=say("All stops; the last stop goes in first"),
            blocks=day_load_out(company=company, crew=crew, stops=stops),
        ),
        Sheet(
            key="evening",
            title=say("Evening return, {crew}", crew=title),
            place=say("Comes back to the office with the marked-up packs"),
            blocks=evening_return(stops),
        ),
    )


def _missing(missing: Sequence[Missing]) -> tuple[Block, ...]:
    if not missing:
        return ()
    columns = (
        Column(head=say("Job"), share=1, bold=True),
        Column(head=say("Why there is no pack"), share=3),
    )
    rows = tuple(Row(cells=(job_words(m.job, m.revision), m.why), strong=True) for m in missing)
    return (
        Heading(text=say("NO PACK for these jobs: do not start them")),
        Table(columns=columns, rows=rows, size="large"),
    )


def _booked(booked: Sequence[Question], decided: Sequence[DecidedBooking]) -> tuple[Block, ...]:
    """The day's own disagreements, save those told beside its hours and on its load-out."""
    given = {(one.question, one.says): one for one in decided}
    answered = [(q, given[q.key, q.says]) for q in booked if (q.key, q.says) in given]
    ticks = tuple(
        Tick(text=say("{says} {ask}", says=question.says, ask=question.ask), hold=True)
        for question in booked
        if (question.key, question.says) not in given
        and not question.key.startswith(("day-full", "truck-full"))
    )
    still = (Heading(text=say("Call before you leave the yard")), Ticks(ticks=ticks))
    return (*(still if ticks else ()), *_decided(answered))


def _decided(answered: Sequence[tuple[Question, DecidedBooking]]) -> tuple[Block, ...]:
    if not answered:
        return ()
    columns = (
        Column(head=say("Asked"), share=3), Column(head=say("Decided"), share=2, bold=True),
        Column(head=say("By"), share=1.2), Column(head=say("Why"), share=2),
    )  # fmt: skip
    rows = tuple(
        Row(
            cells=(
                question.says,
                next(o.says for o in question.options if o.key == one.option),
                one.by, one.why,
            )
        )
        for question, one in answered
    )  # fmt: skip
    return (Heading(text=say("Decided by the office")), Table(columns=columns, rows=rows))


def _stops(stops: Sequence[Stop]) -> tuple[Block, ...]:
    if not stops:
        return (
            Prose(
                text=say("No job has a pack today. Call before you leave the yard."), role="lead"
            ),
        )
    columns = (
        Column(head=say("Stop"), share=0.85, bold=True),
        Column(head=say("Job"), share=1.3, bold=True),
        Column(head=say("Where"), share=2.5),
        Column(head=say("Code"), share=1.3, bold=True),
        Column(head=say("Hours"), share=0.9, align="right"),
        Column(head=say("Open"), share=0.85, align="right"),
        Column(head=say("Taken"), share=0.9, box=True),
    )
    rows = tuple(_stop(i, stop) for i, stop in enumerate(stops, 1))
    return (
        Heading(text=say("Stops")),
        Prose(text=say("The code on every sheet of a pack must be the one here.")),
        Table(columns=columns, rows=rows, size="large"),
    )


def _stop(number: int, stop: Stop) -> Row:
    job = stop.plan.job
    where = f"{job.site.street}, {job.site.town}"
    hours = hours_words(stop.plan.takeoff.crew_hours)
    cells = (str(number), job_words(job.job, job.revision), where, stop.code, hours)
    return Row(cells=(*cells, str(len(stop.open_questions)), ""))


def _hours(crew: Crew, stops: Sequence[Stop]) -> Facts:
    needed = sum(stop.plan.takeoff.crew_hours for stop in stops)
    apart = sum(line.hours for s in stops for line in s.plan.takeoff.hours if line.apart)
    has = min((stop.plan.takeoff.day_hours for stop in stops), default=crew.hours)
    people = counted("{count} person", "{count} people", count=crew.people)
    return Facts(
        facts=(
            Fact(label=say("Work planned"), value=hours_words(needed), big=True),
            Fact(
                label=say("The day has, {people}", people=people), value=hours_words(has), big=True
            ),
            Fact(
                label=say("So"),
                value=say("TOO LONG: call") if needed > has else say("it fits"),
                big=True,
            ),
            Fact(label=say("Of it set-up and travel"), value=hours_words(apart)),
        ),
        columns=4,
    )


def _destroy(stops: Sequence[Stop]) -> tuple[Block, ...]:
    ticks = tuple(
        Tick(text=say("{job}: destroy {replaces}", job=stop.plan.job.job, replaces=stop.replaces))
        for stop in stops
        if stop.replaces != _NOTHING
    )
    if not ticks:
        return (
            Heading(text=say("Old paper")),
            Prose(text=say("No pack of today replaces an older one.")),
        )
    return (Heading(text=say("Old paper: destroy before leaving")), Ticks(ticks=ticks))


def _holds(stops: Sequence[Stop]) -> tuple[Block, ...]:
    ticks = tuple(
        Tick(text=question, mark=stop.plan.job.job, hold=True)
        for stop in stops
        for question in stop.open_questions
    )
    if not ticks:
        return (Heading(text=say("Open questions")), Prose(text=say("None is open.")))
    return (Heading(text=say("Open: settle before the work it touches")), Ticks(ticks=ticks))


def _cautions(stops: Sequence[Stop]) -> tuple[Block, ...]:
    """The loudest cautions of all stops, each once, and each site's first danger."""
    loud: dict[str, Caution] = {}
    for stop in stops:
        for caution in stop.plan.sequence.cautions:
            if caution.signal in _LOUD:
                loud.setdefault(caution.key, caution)
    worst = sorted(loud.values(), key=lambda c: _LOUD.index(c.signal))[:_MOST_CAUTIONS]
    sites = tuple(
        Prose(
            text=say(
                "{job}: {hazards}",
                job=stop.plan.job.job,
                hazards=row(stop.plan.sequence.site_hazards, "; "),
            )
        )
        for stop in stops
        if stop.plan.sequence.site_hazards
    )
    messages = tuple(
        Message(
            signal=c.signal,
            word=term(c.signal),
            hazard=row((c.task, c.hazard), ": "),
            consequence="",
            avoid=c.short,
        )
        for c in worst
    )
    return (Heading(text=say("Dangers today")), *sites, *messages)


def _call(company: Company, stops: Sequence[Stop]) -> tuple[Block, ...]:
    return (
        Heading(text=say("Whom to call")),
        *(
            Prose(text=_emergency(number, stop), role="lead")
            for number, stop in enumerate(stops, 1)
        ),
        Prose(
            text=say("Questions on a pack: {on_duty}.", on_duty=company.whom_to_call), role="lead"
        ),
        WriteIn(labels=(say("Packs taken, yesterday's handed in: lead, time"),)),
    )


def _emergency(number: int, stop: Stop) -> Said:
    """What to do at a stop, with the address that is to be said there."""
    job = stop.plan.job
    return say(
        "Emergency at stop {number}, {job}: {emergency}. Address: {street}, {town}.",
        number=number, job=job.job, emergency=shipped(job.site.emergency),
        street=job.site.street, town=job.site.town,
    )  # fmt: skip
