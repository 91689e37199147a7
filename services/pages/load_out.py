"""The load-out: everything to load, in truck order, with the pencil's three columns."""

from __future__ import annotations

from schemas.company import CAB, Company
from schemas.pages import (
    Block,
    Column,
    Fact,
    Facts,
    Heading,
    Prose,
    Row,
    Sheet,
    Table,
    Tick,
    Ticks,
)
from schemas.plan import Plan
from schemas.takeoff import Takeoff, TakeoffLine
from schemas.wording import counted, row, say
from services.pages.wording import Ruler
from services.wording.terms import piece_name, term


def load_out(plan: Plan) -> Sheet:
    """The sheet that the truck is loaded from. It carries no prices.

    Args:
        plan: The finished plan.
    """
    ruler = Ruler(step=plan.job.step)
    takeoff = plan.takeoff
    lines = sorted(takeoff.lines, key=lambda line: line.load)
    return Sheet(
        key="load-out",
        title=say("Load-out"),
        place=say(
            "First line goes in first, at the bottom. Picked: yard. Loaded: lead. Back: evening"
        ),
        blocks=(
            _weights(takeoff, ruler),
            Table(columns=_COLUMNS, rows=tuple(_line(line, ruler) for line in lines), size="dense"),
            *_ready(takeoff, plan.job.company),
            *_off_rack(plan, ruler),
            *_notes(takeoff),
            *_tools(takeoff),
            *_counts(takeoff),
        ),
    )


_ON_THE_TRUCK = say("On the truck: long and heavy at the bottom, boxes and caps on top")
_IN_THE_CAB = say("In the cab, out of cold and heat")
_PLACES = 4
"""Places that a count names; of more it says none."""
_COLUMNS = (
    Column(head=say("Load"), share=3.4, bold=True),
    Column(head=say("Pieces"), share=0.8, align="right"),
    Column(head=say("Spare in it"), share=0.7, align="right"),
    Column(head=say("Packs"), share=1.6, align="right", bold=True),
    Column(head=say("Weight"), share=1, align="right"),
    Column(head=say("Picked"), share=0.9, box=True),
    Column(head=say("Loaded"), share=0.9, box=True),
    Column(head=say("Back"), share=0.9, box=True),
)


def _weights(takeoff: Takeoff, ruler: Ruler) -> Facts:
    over = takeoff.grams > takeoff.truck_grams
    return Facts(
        facts=(
            Fact(label=say("Whole load"), value=ruler.weight(takeoff.grams), big=True),
            Fact(label=say("Truck may carry"), value=ruler.weight(takeoff.truck_grams), big=True),
            Fact(label=say("So"), value=say("OVER: call") if over else say("it fits"), big=True),
        ),
        columns=3,
    )


def _line(line: TakeoffLine, ruler: Ruler) -> Row:
    packs = (
        str(line.packages)
        if line.package == 1
        else counted(
            "{count} pack of {package}",
            "{count} packs of {package}",
            count=line.packages,
            package=line.package,
        )
    )
    cells = (line.named, str(line.needed + line.spare), str(line.spare), packs)
    group = _IN_THE_CAB if line.load >= CAB else _ON_THE_TRUCK
    return Row(cells=(*cells, ruler.weight(line.grams), "", "", ""), group=group)


def _ready(takeoff: Takeoff, company: Company) -> tuple[Block, ...]:
    """Rails that come ready cut, and which kits of the list above they stand for."""
    comes = takeoff.pre_cut
    if comes is None:
        return ()
    tickets = row(
        say("{ticket} ({place})", ticket=one.ticket, place=piece_name(one.bay))
        for one in comes.rails
    )
    bag = row(row((str(count), company.called(key)), " ") for key, count in comes.bag)
    load = (
        say("Load, by ticket: {tickets}; and the bag with {bag}.", tickets=tickets, bag=bag)
        if comes.bag
        else say("Load, by ticket: {tickets}.", tickets=tickets)
    )
    return (
        Heading(text=say("Comes ready cut from the shop")),
        Prose(text=load),
        Prose(
            text=say(
                "With them on the truck leave in the yard, of the list above: {kits}. A ticket "
                "missing: load them all the same.",
                kits=row(row((str(count), company.called(key)), " ") for key, count in comes.kits),
            ),
            role="strong",
        ),
    )


_RACK_COLUMNS = (
    Column(head=say("Offcut off the rack"), share=2.2, bold=True),
    Column(head=say("Colour"), share=1.2),
    Column(head=say("Length"), share=1.2, align="right"),
    Column(head=say("Holes"), share=0.8, align="right"),
    Column(head=say("For bar"), share=0.8, align="right"),
    Column(head=say("Picked"), share=0.9, box=True),
    Column(head=say("Loaded"), share=0.9, box=True),
    Column(head=say("Back"), share=0.9, box=True),
)


def _off_rack(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    """Offcuts that this job is to be cut from: set aside at the yard under their tags."""
    rows = tuple(
        Row(
            cells=(
                bar.stock.id,
                bar.stock.colour,
                ruler.mark(bar.stock.length),
                str(bar.stock.holes),
                str(bar.number),
                "",
                "",
                "",
            )
        )
        for bar in plan.cuts.bars
        if bar.stock.kit is None
    )
    rests = tuple(
        Row(
            cells=(
                bar.tag,
                term(bar.what),
                ruler.mark(bar.length),
                say("none"),
                say("stick {number}", number=bar.number),
                "",
                "",
                "",
            )
        )
        for bar in plan.cuts.plain
        if bar.tag
    )
    rows = (*rows, *rests)
    if not rows:
        return ()
    return (
        Heading(text=say("Off the rack")),
        Prose(
            text=say(
                "Rails a pair each, top and bottom; sticks one each. If a tag is not there, call "
                "the office: the cut list counts on it."
            )
        ),
        Table(columns=_RACK_COLUMNS, rows=rows, size="dense"),
    )


def _notes(takeoff: Takeoff) -> tuple[Block, ...]:
    """What to mind with a part: corrosion, a check before ordering."""
    ticks = tuple(
        Tick(text=say("{part}: {note}", part=line.named, note=line.note))
        for line in takeoff.lines
        if line.note
    )
    return (Heading(text=say("Mind with these")), Ticks(ticks=ticks)) if ticks else ()


def _counts(takeoff: Takeoff) -> tuple[Block, ...]:
    """What each count comes from, so that it can be checked."""
    says = row(
        (
            say("{part}: {why} ({places}).", part=line.named, why=line.why, places=places)
            if (places := _places(line))
            else say("{part}: {why}.", part=line.named, why=line.why)
            for line in takeoff.lines
            if line.why
        ),
        " ",
    )
    return (Heading(text=say("Where the counts come from")), Prose(text=says, role="small"))


def _places(line: TakeoffLine) -> str:
    """The few bays, posts and stairs that need it; pieces of a post go by the post's name."""
    if line.places == ("job",):
        return say("the whole job")
    names = dict.fromkeys(name.split(" ")[0] for name in line.places)
    return row(names) if len(names) <= _PLACES else ""


def _tools(takeoff: Takeoff) -> tuple[Block, ...]:
    if not takeoff.tools:
        return ()
    columns = (
        Column(head=say("Work"), share=1.4, bold=True),
        Column(head=say("Tools, bits, blades"), share=4.5),
        Column(head=say("On truck"), share=0.9, box=True),
    )
    rows = tuple(Row(cells=(task, row(tools), "")) for task, tools in takeoff.tools)
    return (Heading(text=say("Tools by task")), Table(columns=columns, rows=rows, size="dense"))
