"""The sheet between two days of a split job: what stands, what is open, where the guard is."""

from __future__ import annotations

from schemas.bays import LevelBay, StairBay
from schemas.days import DayShare
from schemas.pages import Block, Column, Heading, Prose, Row, Sheet, Table, Tick, Ticks, WriteIn
from schemas.plan import Plan
from schemas.wording import say
from services.pages.wording import Ruler, post_words, units_words
from services.wording import words_of

LINES = 3
"""Free lines for what stays on site besides."""


def hand_over(plan: Plan, share: DayShare) -> Sheet:
    """The sheet that the first crew fills in and the second works from.

    Args:
        plan: The plan of a day.
        share: Which day's, and what each day does.
    """
    ruler = Ruler(step=plan.job.step)
    return Sheet(
        key="hand-over",
        title=say("Hand-over sheet"),
        place=say(
            "{units}. Stays with the job until its railing is whole", units=units_words(ruler)
        ),
        blocks=(
            *_says(plan, share),
            *_stands(plan),
            *_open(plan, ruler),
            *_found(plan, ruler),
            *_left(share),
            *_sums(share),
            *_signed(),
        ),
    )


def _says(plan: Plan, share: DayShare) -> tuple[Block, ...]:
    part = plan.job.part
    assert part is not None
    names = {crew.key: crew.name for crew in plan.job.company.crews}
    other = {
        "job": part.other, "crew": names.get(part.crew, part.crew),
        "day": words_of(plan.job).date(part.install_date),
    }  # fmt: skip
    if share.work == "posts":
        says = say(
            "Today: posts. The rails follow as {job}, crew {crew}, {day} when it was split. Fill "
            "this in before you leave; a copy stays with the job, a photo goes to the office.",
            **other,
        )
    else:
        says = say(
            "Today: rails. The posts were set as {job}, crew {crew}, {day} when it was split. Lay "
            "the filled-in sheet beside this one; where they differ, what is found on site counts.",
            **other,
        )
    return (Prose(text=says, role="lead"),)


def _stands(plan: Plan) -> tuple[Block, ...]:
    columns = (
        Column(head=say("Post"), share=0.9, bold=True), Column(head=say("Kind"), share=1.8),
        Column(head=say("Set"), share=0.8, box=True), Column(head=say("Stiff, plumb"), box=True),
        Column(head=say("Sleeved, or left long"), share=1.8, box=True),
        Column(head=say("Photo"), share=0.8, box=True),
    )  # fmt: skip
    rows = tuple(
        Row(cells=(post.name, post_words(post), "", "", "", "")) for post in plan.layout.posts
    )
    return (Heading(text=say("What stands")), Table(columns=columns, rows=rows, size="dense"))


def _open(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    columns = (
        Column(head=say("Open edge"), share=1.4, bold=True),
        Column(head=say("Length"), share=1.8, align="right"),
        Column(head=say("Drop"), share=1.2, align="right"),
        Column(head=say("Temporary guard: what, from where to where"), share=3.6, box=True),
        Column(head=say("Fixed"), share=0.8, box=True),
    )
    legs = (
        Row(
            cells=(
                say("Leg {leg}", leg=leg.name), ruler.long(leg.measured),
                ruler.maybe(leg.drop, say("not measured")), "", "",
            )
        )
        for leg in plan.layout.legs
    )  # fmt: skip
    stairs = (
        Row(
            cells=(
                say("Stair {stair}", stair=stair.name),
                say("{risers} risers", risers=stair.risers),
                ruler.maybe(stair.total_rise, say("not measured")), "", "",
            )
        )
        for stair in plan.job.stairs
    )  # fmt: skip
    return (
        Heading(text=say("What is open: no railing stands between the two days")),
        Table(columns=columns, rows=(*legs, *stairs)),
    )


def _found(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    columns = (
        Column(head=say("Opening"), share=1.6, bold=True),
        Column(head=say("Planned"), align="right"),
        Column(head=say("Window"), share=2, align="right"),
        Column(head=say("Found, bottom"), share=1.2, box=True),
        Column(head=say("Found, top"), share=1.2, box=True),
    )
    bays: tuple[LevelBay | StairBay, ...] = (*plan.bays.level, *plan.bays.stair)
    rows = tuple(
        Row(
            cells=(
                bay.name, ruler.mark(bay.clear),
                say(
                    "{low} to {high}",
                    low=ruler.mark(bay.window_low), high=ruler.mark(bay.window_high),
                ),
                "", "",
            )
        )
        for bay in bays
    )  # fmt: skip
    return (
        Heading(text=say("Openings as the posts stand")),
        Prose(text=say("Out of its window: call the office, which plans the second day anew.")),
        Table(columns=columns, rows=rows, size="dense"),
    )


def _left(share: DayShare) -> tuple[Block, ...]:
    columns = (
        Column(head=say("Left on site, or handed over"), share=3.6, bold=True),
        Column(head=say("Loaded"), share=0.9, align="right"),
        Column(head=say("Left"), share=0.9, box=True),
        Column(head=say("Where"), share=2.4, box=True),
    )
    rows = [Row(cells=(named, str(pieces), "", "")) for named, pieces in share.stays]
    rows += [Row(cells=("", "", "", ""))] * LINES
    return (Heading(text=say("What is left on site")), Table(columns=columns, rows=tuple(rows)))


def _sums(share: DayShare) -> tuple[Block, ...]:
    columns = (
        Column(head=say("Shared out"), share=2.4),
        Column(head=say("Job"), align="right"),
        Column(head=say("Posts' day"), align="right"),
        Column(head=say("Rails' day"), align="right"),
        Column(head=say("Equal"), share=1),
    )
    rows = tuple(
        Row(
            cells=(
                one.what, one.whole, one.first, one.second,
                say("equal") if one.equal else say("NOT EQUAL: call"),
            ),
            strong=not one.equal,
        )
        for one in share.shared
    )  # fmt: skip
    return (
        Heading(text=say("Counts checked: both days together are the job")),
        Table(columns=columns, rows=rows, size="small"),
    )


def _signed() -> tuple[Block, ...]:
    guard = say("Every edge above has its guard, fixed along its whole length, and its photo.")
    return (
        Ticks(
            ticks=(
                Tick(text=guard, mark="H11", hold=True),
                Tick(text=say("Posts, guard and what was left: looked at, taken over."), mark="H12",
                     hold=True),
            )
        ),
        WriteIn(
            labels=(
                say("Handed over: lead, day, time"),
                say("Told of the open edges: who lives there, time"),
                say("Taken over: lead, day, time"),
            )
        ),
    )  # fmt: skip
