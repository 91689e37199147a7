"""The evening return: hours, what comes back, what goes to the rack, what was changed.

Source:
    Common practice: unopened kits go back by lot, opened ones are stock; an offcut worth
    keeping goes to the rack with its length and holes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from schemas.bundle import Stop
from schemas.cut_plan import Bar, Offcut
from schemas.job import Job
from schemas.pages import Block, Column, Heading, Prose, Row, Table, WriteIn
from schemas.wording import say, shipped
from services.bundle.day_words import hours_words, job_words
from services.tape import text_with_unit

_COUNTED_BACK = ("rails", "sleeves", "handrail", "gates", "lights")
"""Headings whose packages are counted back, one by one; the rest is told as left over."""


def evening_return(stops: Sequence[Stop]) -> tuple[Block, ...]:
    """What the office needs back tonight.

    Args:
        stops: Jobs with a pack, in the order of driving.
    """
    return (
        *_done(stops),
        *_hours(stops),
        *_packages(stops),
        *_offcuts(stops),
        WriteIn(
            labels=(
                say("Missing on site"), say("Left over"), say("Broken or wrong"),
                say("Changed from the drawings"), say("Barrier standing overnight, where"),
                say("Lead, time"),
            )
        ),
    )  # fmt: skip


def _done(stops: Sequence[Stop]) -> tuple[Block, ...]:
    columns = (
        Column(head=say("Job"), share=1.2, bold=True),
        Column(head=say("Planned"), align="right"),
        Column(head=say("Hours taken"), box=True),
        Column(head=say("Done, part, blocked"), share=1.6, box=True),
        Column(head=say("Edge left open"), share=1.2, box=True),
    )
    rows = tuple(
        Row(cells=(_job(stop), hours_words(stop.plan.takeoff.crew_hours), "", "", ""))
        for stop in stops
    )
    return (Table(columns=columns, rows=rows, size="large"),) if rows else ()


def _hours(stops: Sequence[Stop]) -> tuple[Block, ...]:
    columns = (
        Column(head=say("Work"), share=2.6, bold=True),
        Column(head=say("Count"), align="right"),
        Column(head=say("Planned"), align="right"),
        Column(head=say("Took"), box=True),
    )
    rows = tuple(
        Row(cells=(line.task, f"{line.count:g}", hours_words(line.hours), ""), group=_job(stop))
        for stop in stops
        for line in stop.plan.takeoff.hours
    )
    if not rows:
        return ()
    return (
        Heading(text=say("Hours of the crew, by work")),
        Table(columns=columns, rows=rows, size="dense"),
    )


def _packages(stops: Sequence[Stop]) -> tuple[Block, ...]:
    columns = (
        Column(head=say("Kits and packages"), share=3, bold=True),
        Column(head=say("Loaded"), align="right"),
        Column(head=say("Back unopened"), box=True),
        Column(head=say("Opened, pieces left"), share=1.2, box=True),
    )
    rows = tuple(
        Row(cells=(line.named, str(line.packages), "", ""), group=_job(stop))
        for stop in stops
        for line in stop.plan.takeoff.lines
        if line.group in _COUNTED_BACK
    )
    if not rows:
        return ()
    return (
        Heading(text=say("Kits and packages that come back")),
        Prose(text=say("Unopened ones go back by lot. What is opened is stock: count its pieces.")),
        Table(columns=columns, rows=rows, size="dense"),
    )


def _offcuts(stops: Sequence[Stop]) -> tuple[Block, ...]:
    columns = (
        Column(head=say("Offcut of"), share=2.2, bold=True),
        Column(head=say("Length"), align="right"),
        Column(head=say("Left end to first hole"), share=1.2, align="right"),
        Column(head=say("Holes"), share=0.95, align="right"),
        Column(head=say("Length found"), box=True),
        Column(head=say("On the rack, tagged"), box=True),
    )
    rows = tuple(row for stop in stops for row in _kept(stop))
    if not rows:
        return (
            Heading(text=say("Offcuts for the rack")),
            Prose(text=say("None is planned that is long enough to keep.")),
        )
    return (
        Heading(text=say("Offcuts for the rack")),
        Prose(text=say("Tag each with job, colour, length and holes before it leaves the site.")),
        Table(columns=columns, rows=rows),
    )


def _kept(stop: Stop) -> Iterator[Row]:
    """What the crew's own saw leaves; bars that the shop cuts leave nothing on site."""
    cuts = stop.plan.cuts
    for bar in cuts.bars:
        if cuts.piece(bar.pieces[0].piece).cut_in == "shop":
            continue
        for offcut in bar.offcuts:
            yield Row(cells=_offcut(bar, offcut, stop.plan.job), group=_job(stop))
    job = stop.plan.job
    for stick in cuts.plain:
        if stick.racked and stick.cut_in == "site":
            called = job.company.called(stick.stock)
            name = say("stick {number}, {stock}", number=stick.number, stock=called)
            long = text_with_unit(stick.left, job.step)
            yield Row(cells=(name, long, say("no hole"), "0", "", ""), group=_job(stop))


def _offcut(bar: Bar, offcut: Offcut, job: Job) -> tuple[str, ...]:
    step, called = job.step, job.company.called(bar.stock.id)
    return (
        say("bar {bar}, {stock}, {colour}, pair", bar=bar.number, stock=called,
            colour=shipped(bar.stock.colour)),
        text_with_unit(offcut.length, step),
        text_with_unit(offcut.first_hole, step) if offcut.holes else say("no hole"),
        str(offcut.holes), "", "",
    )  # fmt: skip


def _job(stop: Stop) -> str:
    return job_words(stop.plan.job.job, stop.plan.job.revision)
