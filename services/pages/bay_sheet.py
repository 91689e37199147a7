"""The sheet of a level bay, one for all that are built the same."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.bays import LevelBay
from schemas.pages import Fact, Facts, Prose, Sheet
from schemas.plan import Plan
from services.pages.as_measured import as_measured
from services.pages.figures import Figures
from services.pages.wording import Ruler, count_words, joined, movement_words, units_words
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
    off = f"{len(group)} off: {joined(names)}" if len(group) > 1 else f"1 off: {names[0]}"
    return Sheet(
        key=f"bay-{bay.name}",
        title=f"Bay {bay.name}",
        place=f"{units_words(ruler)}. {off}, seen from the yard",
        blocks=(
            Facts(facts=_first(bay, ruler), columns=4),
            *figures.untitled(f"elevation-{bay.name}"),
            Prose(text=_more(bay, ruler)),
            *as_measured(
                bay.as_measured, planned=bay.clear, count=bay.balusters, low=bay.window_low,
                high=bay.window_high, ruler=ruler, margin="margin at the left end",
                more=_top_rail(bay, ruler),
            ),
        ),
    )  # fmt: skip


def _top_rail(bay: LevelBay, ruler: Ruler) -> str:
    """How the other rail follows from a row of the table, where ends are out of plumb."""
    longer = bay.top_cut - bay.bottom_cut
    if not longer:
        return ""
    further = bay.top_margin_left - bay.margin_left
    at_left = f"{ruler.mark(abs(further))} {'more' if further > 0 else 'less'}"
    return (
        f" Found is at bottom-rail height; the top rail is cut {ruler.mark(abs(longer))} "
        f"{'longer' if longer > 0 else 'shorter'} than the row says, its margin at the left end "
        f"{at_left if further else 'the same'}, for an opening {_widening(bay, ruler)} at the top."
    )


def _widening(bay: LevelBay, ruler: Ruler) -> str:
    wider = bay.clear_top - bay.clear
    return f"{ruler.mark(abs(wider))} {'wider' if wider > 0 else 'narrower'}"


def _first(bay: LevelBay, ruler: Ruler) -> tuple[Fact, ...]:
    """The figures that the saw needs; the drawing too says how many balusters."""
    if bay.clear == bay.clear_top:
        found = (
            Fact(label="Balusters", value=str(bay.balusters), big=True),
            Fact(label="Clear opening", value=ruler.mark(bay.clear), big=True),
        )
    else:
        found = (
            Fact(label="Clear at the bottom", value=ruler.mark(bay.clear), big=True),
            Fact(label="Clear at the top", value=ruler.mark(bay.clear_top), big=True),
        )
    return (
        Fact(label="Bottom rail, cut", value=ruler.mark(bay.bottom_cut), big=True),
        Fact(label="Top rail, cut", value=ruler.mark(bay.top_cut), big=True),
        *found,
    )


def _ends(left: int, right: int, ruler: Ruler) -> str:
    if left == right:
        return f"{ruler.mark(left)} both ends"
    return f"left {ruler.mark(left)}, right {ruler.mark(right)}"


def _more(bay: LevelBay, ruler: Ruler) -> str:
    """What else the crew must know of the bay, in running words."""
    bottom = _ends(bay.margin_left, bay.margin_right, ruler)
    top = _ends(bay.top_margin_left, bay.top_margin_right, ruler)
    margins = bottom if bottom == top else f"{bottom}; top rail {top}"
    low = f", low side {ruler.mark(bay.sweep_low)}" if bay.sweep_low != bay.sweep else ""
    left, right = bay.mitre_left_deg, bay.mitre_right_deg
    saws = f" Saw, left {angle(left)}, right {angle(right)}." if left or right else ""
    return (
        f"Rail end to first hole {margins}; hole pitch {ruler.mark(bay.pitch)}. Post to baluster "
        f"{_ends(bay.gap_left, bay.gap_right, ruler)}; baluster to baluster "
        f"{ruler.mark(bay.gap_between)}.{saws} Sweep under the rail {ruler.mark(bay.sweep)}{low}. "
        f"Drain holes from the left end {ruler.marks(bay.drain_holes)}. Brackets: "
        f"{_brackets(bay)}. Lift {ruler.weight(bay.weight)}, {count_words(bay.people, 'person')}. "
        f"Moves with heat {movement_words(bay.movement, ruler)}.{_others(bay)}"
    )


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


def _others(bay: LevelBay) -> str:
    if not bay.others:
        return ""
    return f" Also legal here, not chosen: {joined(map(str, bay.others))} balusters."
