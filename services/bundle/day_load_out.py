"""The load-out of a crew's day: every stop's load on one truck, in one unit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from schemas.bundle import Stop
from schemas.company import CAB, Company, Crew
from schemas.pages import Block, Column, Fact, Facts, Prose, Row, Table, Tick, Ticks
from schemas.takeoff import PreCut, TakeoffLine
from schemas.wording import counted, say
from services.bundle.day_words import weight_words
from services.wording.terms import term

_COLUMNS = (
    Column(head=say("Load"), share=3.2, bold=True),
    Column(head=say("Pieces"), share=0.9, align="right"),
    Column(head=say("Packs"), share=1.6, align="right", bold=True),
    Column(head=say("Weight"), share=1, align="right"),
    Column(head=say("Picked"), share=0.9, box=True),
    Column(head=say("Loaded"), share=0.9, box=True),
    Column(head=say("Back"), share=0.9, box=True),
)


def day_load_out(*, company: Company, crew: Crew, stops: Sequence[Stop]) -> tuple[Block, ...]:
    """Every stop's load, the last stop first; a board between stops.

    Weights stand in the company's unit, whatever unit a job was measured in: they are added up
    against one truck.

    Args:
        company: For its unit.
        crew: For its truck.
        stops: Jobs with a pack, in the order of driving.
    """
    step = company.step
    grams = sum(stop.plan.takeoff.grams for stop in stops)
    carries = round(crew.truck_kg * 1000)
    last_first = reversed(list(enumerate(stops, 1)))
    bed = tuple(row for number, stop in last_first for row in _rows(number, stop, step))
    rows = (*bed, *_in_the_cab(stops, step))
    return (
        Facts(
            facts=(
                Fact(label=say("All loads"), value=weight_words(grams, step), big=True),
                Fact(label=say("Truck may carry"), value=weight_words(carries, step), big=True),
                Fact(
                    label=say("So"),
                    value=say("OVER: call") if grams > carries else say("it fits"),
                    big=True,
                ),
            ),
            columns=3,
        ),
        *_too_heavy(grams - carries, step),
        Prose(
            text=say(
                "First line goes in first: of each stop long and heavy at the bottom, boxes and "
                "caps on top. A board and a tag between two stops. Picked: at the "
                "yard. Loaded: by the lead. Back: in the evening."
            )
        ),
        Prose(
            text=say(
                "Rails flat on the rack, film on, out of the sun, tied with ratchets; caps never "
                "under rails; adhesive in the cab in cold or heat. What stands out over the rear "
                "is flagged as the local rule asks."
            )
        ),
        Table(columns=_COLUMNS, rows=rows, size="dense"),
    )


def _too_heavy(over: int, step: int) -> tuple[Block, ...]:
    if over <= 0:
        return ()
    text = say(
        "The loads are {over} over what the truck may carry. Call; do not drive so.",
        over=weight_words(over, step),
    )
    return (Ticks(ticks=(Tick(text=text, hold=True),)),)


def _rows(number: int, stop: Stop, step: int) -> tuple[Row, ...]:
    job, takeoff = stop.plan.job, stop.plan.takeoff
    group = say(
        "Stop {number}: {job}, {street}, {weight}",
        number=number, job=job.job, street=job.site.street,
        weight=weight_words(takeoff.grams, step),
    )  # fmt: skip
    lines = sorted((line for line in takeoff.lines if line.load < CAB), key=lambda line: line.load)
    rows = tuple(_row(line, group, step) for line in lines)
    return (
        *rows,
        *_off_rack(stop, group),
        *_ready_cut(takeoff.pre_cut, group, stop.plan.job.company),
    )


def _in_the_cab(stops: Sequence[Stop], step: int) -> Iterator[Row]:
    """What cold and heat spoil, of all stops; it rides with the crew."""
    group = say("In the cab, out of cold and heat")
    for number, stop in enumerate(stops, 1):
        for line in stop.plan.takeoff.lines:
            if line.load >= CAB:
                own = _row(line, group, step)
                name = say("{part}, stop {number}", part=own.cells[0], number=number)
                yield own.model_copy(update={"cells": (name, *own.cells[1:])})


def _off_rack(stop: Stop, group: str) -> Iterator[Row]:
    """Offcuts that the job is cut from, rails a pair each, by their tags."""
    for bar in stop.plan.cuts.bars:
        if bar.stock.kit is None:
            name = say("Offcut off the rack, {tag}", tag=bar.stock.id)
            yield Row(cells=(name, say("1 pair"), "", "", "", "", ""), group=group)
    for stick in stop.plan.cuts.plain:
        if stick.tag:
            name = say("Offcut off the rack, {tag}", tag=stick.tag)
            yield Row(cells=(name, term(stick.what), "", "", "", "", ""), group=group)


def _ready_cut(comes: PreCut | None, group: str, company: Company) -> Iterator[Row]:
    """What the shop cut, and what of the lines above stays in the yard for them."""
    if comes is None:
        return
    name = (
        say("Pieces ready cut from the shop, and their bag")
        if comes.bag
        else say("Pieces ready cut from the shop")
    )
    yield Row(cells=(name, str(len(comes.rails)), "", "", "", "", ""), group=group)
    for key, count in comes.kits:
        name = say(
            "STAYS in the yard if those are on the truck: {kit}",
            kit=company.called(key),
        )
        yield Row(cells=(name, str(count), "", "", "", "", ""), group=group)


def _row(line: TakeoffLine, group: str, step: int) -> Row:
    packs = str(line.packages)
    if line.package > 1:
        packs = counted(
            "{count} pack of {package}", "{count} packs of {package}",
            count=line.packages, package=line.package,
        )  # fmt: skip
    cells = (line.named, str(line.needed + line.spare), packs, weight_words(line.grams, step))
    return Row(cells=(*cells, "", "", ""), group=group)
