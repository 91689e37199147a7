"""The sheet of a level bay, one for all that are built the same."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.bays import LevelBay
from schemas.pages import Block, Break, Column, Fact, Facts, Heading, Prose, Row, Sheet, Table
from schemas.plan import Plan
from services.pages.as_measured import as_measured
from services.pages.cut_from import cut_from
from services.pages.figures import Figures
from services.pages.wording import Ruler, count_words, joined, units_note
from services.tape import angle


def bay_sheets(plan: Plan, figures: Figures) -> tuple[Sheet, ...]:
    """A sheet for each different level bay.

    Args:
        plan: The finished plan.
        figures: Its drawings.
    """
    return tuple(_sheet(group, plan, figures) for group in plan.bays.alike)


def _sheet(group: Sequence[LevelBay], plan: Plan, figures: Figures) -> Sheet:
    bay, ruler = group[0], Ruler(step=plan.job.step)
    names = [b.name for b in group]
    return Sheet(
        key=f"bay-{bay.name}",
        title=f"Bay {joined(names)}" + (f": {len(group)} off" if len(group) > 1 else ""),
        place="Level; looking from the yard toward the house",
        blocks=(
            units_note(ruler),
            Facts(facts=_first(bay, ruler), columns=4),
            *figures.named(f"elevation-{bay.name}"),
            Facts(facts=_more(bay, ruler), columns=4),
            *_others(bay),
            Break(),
            *cut_from(plan, names),
            *_found(names, bay, ruler),
            *as_measured(
                bay.as_measured, planned=bay.clear, low=bay.window_low, high=bay.window_high,
                ruler=ruler, margin="Left margin",
            ),
        ),
    )  # fmt: skip


def _first(bay: LevelBay, ruler: Ruler) -> tuple[Fact, ...]:
    """The figures that the saw and the first hole need."""
    bottom = _ends(bay.margin_left, bay.margin_right, ruler)
    top = _ends(bay.top_margin_left, bay.top_margin_right, ruler)
    return (
        Fact(label="Bottom rail, cut", value=ruler.mark(bay.bottom_cut), big=True),
        Fact(label="Top rail, cut", value=ruler.mark(bay.top_cut), big=True),
        Fact(label="Balusters", value=str(bay.balusters), big=True),
        Fact(label="Clear opening", value=_pair(bay.clear, bay.clear_top, ruler), big=True),
        Fact(label="Bottom rail: end to hole centre", value=bottom),
        Fact(label="Top rail: end to hole centre", value=top),
        Fact(label="Gap, post to baluster", value=_ends(bay.gap_left, bay.gap_right, ruler)),
        Fact(label="Gap between balusters", value=ruler.mark(bay.gap_between)),
    )  # fmt: skip


def _pair(bottom: int, top: int, ruler: Ruler) -> str:
    if bottom == top:
        return ruler.mark(bottom)
    return f"bottom {ruler.mark(bottom)}, top {ruler.mark(top)}"


def _ends(left: int, right: int, ruler: Ruler) -> str:
    if left == right:
        return f"{ruler.mark(left)} both ends"
    return f"left {ruler.mark(left)}, right {ruler.mark(right)}"


def _more(bay: LevelBay, ruler: Ruler) -> tuple[Fact, ...]:
    sweep = ruler.mark(bay.sweep)
    if bay.sweep_low != bay.sweep:
        sweep = f"high side {sweep}, low side {ruler.mark(bay.sweep_low)}"
    fits = "fits" if bay.movement.fits else "DOES NOT FIT: call"
    grows = f"{ruler.mark(bay.movement.free)} in {ruler.mark(bay.movement.room)}: {fits}"
    saws = f"{angle(bay.mitre_left_deg)} and {angle(bay.mitre_right_deg)}"
    lift = f"{ruler.weight(bay.weight)}, {count_words(bay.people, 'person')}"
    return (
        Fact(label="Saw, left and right", value=saws),
        Fact(label="At mid-length", value=bay.parity.split(" ", maxsplit=1)[0]),
        Fact(label="Surface to bottom rail", value=sweep),
        Fact(label="Surface to top of top rail", value=ruler.mark(bay.top)),
        Fact(label="Foot blocks, from left end", value=ruler.marks(bay.foot_blocks)),
        Fact(label="Drain holes, from left end", value=ruler.marks(bay.drain_holes)),
        Fact(label="Brackets, rail side", value=_brackets(bay)),
        Fact(label="Lift", value=lift),
        Fact(label="Moves with heat", value=grows),
        Fact(label="Hole pitch", value=ruler.mark(bay.pitch)),
    )  # fmt: skip


def _brackets(bay: LevelBay) -> str:
    sides = {(fit.kind, fit.side) for fit in bay.brackets}
    if len(sides) == 1:
        kind, side = next(iter(sides))
        return f"{kind}, {side}"
    return "; ".join(f"{f.rail} {f.end}: {f.kind}, {f.side}" for f in bay.brackets)


def _others(bay: LevelBay) -> tuple[Block, ...]:
    if not bay.others:
        return ()
    counts = joined(map(str, bay.others))
    return (Prose(text=f"Also legal at this opening, not chosen: {counts} balusters."),)


def _found(names: Sequence[str], bay: LevelBay, ruler: Ruler) -> tuple[Block, ...]:
    """Where the openings are written down once posts stand: the only number to cut to."""
    columns = (
        Column(head="Bay", share=1.2, bold=True), Column(head="Planned", share=1, align="right"),
        Column(head="Found, bottom", share=1.2, box=True),
        Column(head="Found, top", share=1.2, box=True),
        Column(head="Cut bottom", share=1.2, box=True), Column(head="Cut top", share=1.2, box=True),
        Column(head="Initials", share=0.9, box=True),
    )  # fmt: skip
    planned = ruler.mark(bay.clear)
    rows = tuple(Row(cells=(name, planned, "", "", "", "", "")) for name in names)
    return (
        Heading(text="Write in when the posts stand"),
        Table(columns=columns, rows=rows, size="large"),
    )
