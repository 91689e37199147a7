"""The sheet of a level bay, one for all that are built the same."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.bays import LevelBay
from schemas.pages import Block, Break, Fact, Facts, Prose, Sheet
from schemas.plan import Plan
from services.pages.as_measured import as_measured
from services.pages.cut_from import cut_from_lines
from services.pages.figures import Figures
from services.pages.wording import Ruler, count_words, joined, movement_words, units_note
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
    off = f"{len(group)} off: {joined(names)}" if len(group) > 1 else "1 off"
    return Sheet(
        key=f"bay-{bay.name}",
        title=f"Bay {bay.name}",
        place=f"{off}. Seen from the yard",
        blocks=(
            units_note(ruler),
            Facts(facts=_first(bay, ruler), columns=4),
            *figures.named(f"elevation-{bay.name}"),
            Break(),
            Facts(facts=_more(bay, ruler), columns=4),
            *_others(bay),
            *cut_from_lines(plan, names),
            *as_measured(
                bay.as_measured, planned=bay.clear, count=bay.balusters, low=bay.window_low,
                high=bay.window_high, ruler=ruler, margin="Left margin",
            ),
        ),
    )  # fmt: skip


def _first(bay: LevelBay, ruler: Ruler) -> tuple[Fact, ...]:
    """The figures that the saw needs."""
    return (
        Fact(label="Bottom rail, cut", value=ruler.mark(bay.bottom_cut), big=True),
        Fact(label="Top rail, cut", value=ruler.mark(bay.top_cut), big=True),
        Fact(label="Balusters", value=str(bay.balusters), big=True),
        Fact(label="Clear opening", value=_pair(bay.clear, bay.clear_top, ruler), big=True),
    )


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
    saws = f"{angle(bay.mitre_left_deg)} and {angle(bay.mitre_right_deg)}"
    heights = f"{sweep}; top of top rail {ruler.mark(bay.top)}"
    lift = f"{ruler.weight(bay.weight)}, {count_words(bay.people, 'person')}"
    return (
        Fact(label="End margin, bottom rail", value=_margins(bay, ruler)),
        Fact(label="End margin, top rail", value=_top_margins(bay, ruler)),
        Fact(label="Post to baluster", value=_ends(bay.gap_left, bay.gap_right, ruler)),
        Fact(label="Baluster to baluster", value=ruler.mark(bay.gap_between)),
        Fact(label="Surface to bottom rail", value=heights),
        Fact(label="Foot blocks from left", value=ruler.marks(bay.foot_blocks)),
        Fact(label="Drain holes from left", value=ruler.marks(bay.drain_holes)),
        Fact(label="Saw, left and right", value=saws),
        Fact(label="Brackets", value=_brackets(bay)),
        Fact(label="Lift", value=lift),
        Fact(label="Moves with heat", value=movement_words(bay.movement, ruler)),
        Fact(label="Hole pitch", value=ruler.mark(bay.pitch)),
    )


def _margins(bay: LevelBay, ruler: Ruler) -> str:
    return _ends(bay.margin_left, bay.margin_right, ruler)


def _top_margins(bay: LevelBay, ruler: Ruler) -> str:
    return _ends(bay.top_margin_left, bay.top_margin_right, ruler)


def _brackets(bay: LevelBay) -> str:
    """Kinds and sides: said once where all ends of a rail are alike."""
    out = []
    for rail in ("top", "bottom"):
        fits = [fit for fit in bay.brackets if fit.rail == rail]
        hows = dict.fromkeys(f"{fit.kind}, {fit.side}" for fit in fits)
        if len(hows) == 1:
            out += [f"{rail} {how}" for how in hows]
        else:
            out += [f"{rail} {fit.end} {fit.kind}, {fit.side}" for fit in fits]
    return "; ".join(out) or "none"


def _others(bay: LevelBay) -> tuple[Block, ...]:
    if not bay.others:
        return ()
    counts = joined(map(str, bay.others))
    return (Prose(text=f"Also legal at this opening, not chosen: {counts} balusters."),)
