"""The day sheet of a crew, its load-out for all stops, and what it brings back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from schemas.bundle import Missing, Stop
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
from schemas.takeoff import TakeoffLine
from services.bundle.day_words import day_words, hours_words, job_words, weight_words

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
) -> tuple[Sheet, ...]:
    """What lies on top of a crew's packs.

    Args:
        company: Whose day it is.
        crew: Who works.
        day: Day of work.
        stops: Jobs with a pack, in the order of driving.
        missing: Jobs of the day without one, and why.
        booked: What is wrong with the day's bookings.
    """
    title = f"Crew {crew.name}, {day_words(day)}"
    return (
        Sheet(
            key="day-sheet",
            title=title,
            place=f"{company.name}: the day's stops in order",
            blocks=(
                *_missing(missing),
                *_booked(booked),
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
            title=f"Load-out, {title}",
            place="All stops; the last stop goes in first",
            blocks=_load(crew, stops),
        ),
        Sheet(
            key="evening",
            title=f"Evening return, {title}",
            place="Comes back to the office with the marked-up packs",
            blocks=_evening(stops),
        ),
    )


def _missing(missing: Sequence[Missing]) -> tuple[Block, ...]:
    if not missing:
        return ()
    columns = (Column(head="Job", share=1, bold=True), Column(head="Why there is no pack", share=3))
    rows = tuple(Row(cells=(job_words(m.job, m.revision), m.why), strong=True) for m in missing)
    return (
        Heading(text="NO PACK for these jobs: do not start them"),
        Table(columns=columns, rows=rows, size="large"),
    )


def _booked(booked: Sequence[Question]) -> tuple[Block, ...]:
    """The day's own disagreements; a day that is too long is told beside its hours."""
    ticks = tuple(
        Tick(text=f"{question.says} {question.ask}", hold=True)
        for question in booked
        if not question.key.startswith("day-full")
    )
    return (Heading(text="Call before you leave the yard"), Ticks(ticks=ticks)) if ticks else ()


def _stops(stops: Sequence[Stop]) -> tuple[Block, ...]:
    if not stops:
        return (
            Prose(text="No job has a pack today. Call before you leave the yard.", role="lead"),
        )
    columns = (
        Column(head="Stop", share=0.6, bold=True), Column(head="Job", share=1.3, bold=True),
        Column(head="Where", share=2.6), Column(head="Code", share=1.3, bold=True),
        Column(head="Hours", share=0.9, align="right"),
        Column(head="Open", share=0.7, align="right"),
        Column(head="Taken", share=0.8, box=True),
    )  # fmt: skip
    rows = tuple(_stop(i, stop) for i, stop in enumerate(stops, 1))
    return (
        Heading(text="Stops"),
        Prose(text="The code on every sheet of a pack must be the one here."),
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
    has = min((stop.plan.takeoff.day_hours for stop in stops), default=crew.hours)
    people = "1 person" if crew.people == 1 else f"{crew.people} people"
    return Facts(
        facts=(
            Fact(label="Work planned", value=hours_words(needed), big=True),
            Fact(label=f"The day has, {people}", value=hours_words(has), big=True),
            Fact(label="So", value="TOO LONG: call" if needed > has else "it fits", big=True),
        ),
        columns=3,
    )


def _destroy(stops: Sequence[Stop]) -> tuple[Block, ...]:
    ticks = tuple(
        Tick(text=f"{stop.plan.job.job}: destroy {stop.replaces}")
        for stop in stops
        if stop.replaces != _NOTHING
    )
    if not ticks:
        return (Heading(text="Old paper"), Prose(text="No pack of today replaces an older one."))
    return (Heading(text="Old paper: destroy before leaving"), Ticks(ticks=ticks))


def _holds(stops: Sequence[Stop]) -> tuple[Block, ...]:
    ticks = tuple(
        Tick(text=question, mark=stop.plan.job.job, hold=True)
        for stop in stops
        for question in stop.open_questions
    )
    if not ticks:
        return (Heading(text="Open questions"), Prose(text="None is open."))
    return (Heading(text="Open: settle before the work it touches"), Ticks(ticks=ticks))


def _cautions(stops: Sequence[Stop]) -> tuple[Block, ...]:
    """The loudest cautions of all stops, each once, and each site's first danger."""
    loud: dict[str, Caution] = {}
    for stop in stops:
        for caution in stop.plan.sequence.cautions:
            if caution.signal in _LOUD:
                loud.setdefault(caution.key, caution)
    worst = sorted(loud.values(), key=lambda c: _LOUD.index(c.signal))[:_MOST_CAUTIONS]
    sites = tuple(
        Prose(text=f"{stop.plan.job.job}: {'; '.join(stop.plan.sequence.site_hazards)}")
        for stop in stops
        if stop.plan.sequence.site_hazards
    )
    messages = tuple(
        Message(signal=c.signal, hazard=c.task, consequence=c.hazard, avoid=c.short) for c in worst
    )
    return (Heading(text="Dangers today"), *sites, *messages)


def _call(company: Company, stops: Sequence[Stop]) -> tuple[Block, ...]:
    emergencies = dict.fromkeys(stop.plan.job.site.emergency for stop in stops)
    return (
        Heading(text="Whom to call"),
        *(Prose(text=f"Emergency: {line}.", role="lead") for line in emergencies),
        Prose(text=f"Questions on a pack: {company.on_duty}.", role="lead"),
        WriteIn(labels=("Packs taken, yesterday's handed in: lead, time",)),
    )


_LOAD_COLUMNS = (
    Column(head="Load", share=3.2, bold=True), Column(head="Pieces", share=0.9, align="right"),
    Column(head="Packs", share=1.3, align="right", bold=True),
    Column(head="Weight", share=1, align="right"), Column(head="Picked", share=0.9, box=True),
    Column(head="Loaded", share=0.9, box=True), Column(head="Back", share=0.9, box=True),
)  # fmt: skip


def _load(crew: Crew, stops: Sequence[Stop]) -> tuple[Block, ...]:
    """Every stop's load, the last stop first; a board between stops."""
    step = min((stop.plan.job.step for stop in stops), default=1)
    grams = sum(stop.plan.takeoff.grams for stop in stops)
    carries = round(crew.truck_kg * 1000)
    over = grams > carries
    rows = tuple(
        row
        for number, stop in reversed(list(enumerate(stops, 1)))
        for row in _load_rows(number, stop)
    )
    return (
        Facts(
            facts=(
                Fact(label="All loads", value=weight_words(grams, step), big=True),
                Fact(label="Truck may carry", value=weight_words(carries, step), big=True),
                Fact(label="So", value="OVER: call" if over else "it fits", big=True),
            ),
            columns=3,
        ),
        Prose(text="First line goes in first. A board and a tag between two stops. Picked: at the "
              "yard. Loaded: by the lead. Back: in the evening."),
        Table(columns=_LOAD_COLUMNS, rows=rows),
    )  # fmt: skip


def _load_rows(number: int, stop: Stop) -> tuple[Row, ...]:
    job, takeoff = stop.plan.job, stop.plan.takeoff
    group = f"Stop {number}: {job.job}, {job.site.street}, {weight_words(takeoff.grams, job.step)}"
    lines = sorted(takeoff.lines, key=lambda line: -line.load)
    return tuple(_load_row(line, group, job.step) for line in lines)


def _load_row(line: TakeoffLine, group: str, step: int) -> Row:
    packs = str(line.packages)
    if line.package > 1:
        packs = f"{line.packages} pack of {line.package}"
    cells = (line.says, str(line.needed + line.spare), packs, weight_words(line.grams, step))
    return Row(cells=(*cells, "", "", ""), group=group)


def _evening(stops: Sequence[Stop]) -> tuple[Block, ...]:
    columns = (
        Column(head="Job", share=1.2, bold=True), Column(head="Planned", align="right"),
        Column(head="Hours taken", box=True),
        Column(head="Done, part, blocked", share=1.6, box=True),
        Column(head="Edge left open", share=1.2, box=True),
    )  # fmt: skip
    rows = tuple(
        Row(
            cells=(
                job_words(stop.plan.job.job, stop.plan.job.revision),
                hours_words(stop.plan.takeoff.crew_hours), "", "", "",
            )
        )
        for stop in stops
    )  # fmt: skip
    table = (Table(columns=columns, rows=rows, size="large"),) if rows else ()
    return (
        *table,
        WriteIn(
            labels=(
                "Missing on site", "Left over", "Broken or wrong", "Changed from the drawings",
                "Barrier standing overnight, where", "Lead, time",
            )
        ),
    )  # fmt: skip
