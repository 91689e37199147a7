"""The sheet of a level bay, one for all that are built the same."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.bays import LevelBay
from schemas.pages import Fact, Facts, Prose, Sheet
from schemas.plan import Plan
from schemas.wording import counted, row, say
from services.pages.as_measured import as_measured
from services.pages.figures import Figures
from services.pages.fresh_kit import off_plan
from services.pages.wording import Ruler, movement_words, people, units_words
from services.tape import up
from services.wording.terms import term


def bay_sheets(plan: Plan, figures: Figures) -> tuple[Sheet, ...]:
    """A sheet for each different level bay.

    Args:
        plan: The finished plan.
        figures: Its drawings.
    """
    return tuple(_sheet(group, plan, figures) for group in plan.bays.alike(plan.layout))


def _sheet(group: Sequence[LevelBay], plan: Plan, figures: Figures) -> Sheet:
    bay, ruler = group[0], Ruler(step=plan.job.step)
    names = [b.name for b in group]
    off = counted("{count} off: {bays}", "{count} off: {bays}", count=len(group), bays=row(names))
    return Sheet(
        key=f"bay-{bay.name}",
        title=say("Bay {bay}", bay=bay.name),
        place=say("{units}. {off}, seen from the yard", units=units_words(ruler), off=off),
        blocks=(
            Facts(facts=_first(bay, ruler), columns=4),
            *figures.untitled(f"elevation-{bay.name}"),
            Prose(text=_more(bay, ruler)),
            *as_measured(
                bay.as_measured, planned=bay.clear, count=bay.balusters, low=bay.window_low,
                high=bay.window_high, ruler=ruler, margin=say("margin at the left end"),
                fresh=off_plan(group, plan.cuts),
                more=_top_rail(bay, ruler),
            ),
        ),
    )  # fmt: skip


def _top_rail(bay: LevelBay, ruler: Ruler) -> str:
    """How the other rail follows from a row of the table, where ends are out of plumb."""
    longer = bay.top_cut - bay.bottom_cut
    further = bay.top_margin_left - bay.margin_left
    if not longer and not further:
        return ""
    if not longer:
        return say(
            "Found is at bottom-rail height; the top rail is cut as the row says, its margin at "
            "the left end {margin}.",
            margin=_more_or_less(further, ruler),
        )
    by = ruler.mark(abs(longer))
    top_rail = (
        say("the top rail is cut {by} longer than the row says", by=by)
        if longer > 0
        else say("the top rail is cut {by} shorter than the row says", by=by)
    )
    return say(
        "Found is at bottom-rail height; {top_rail}, its margin at the left end {margin}, for an "
        "opening {wider} at the top.",
        top_rail=top_rail,
        margin=_more_or_less(further, ruler) if further else say("the same"),
        wider=_widening(bay, ruler),
    )


def _more_or_less(by: int, ruler: Ruler) -> str:
    size = ruler.mark(abs(by))
    return say("{by} more", by=size) if by > 0 else say("{by} less", by=size)


def _widening(bay: LevelBay, ruler: Ruler) -> str:
    wider = bay.clear_top - bay.clear
    return row((ruler.mark(abs(wider)), term("wider" if wider > 0 else "narrower")), " ")


def _first(bay: LevelBay, ruler: Ruler) -> tuple[Fact, ...]:
    """The figures that the saw needs; the drawing too says how many balusters."""
    if bay.clear == bay.clear_top:
        found = (
            Fact(label=say("Balusters"), value=str(bay.balusters), big=True),
            Fact(label=say("Clear opening"), value=ruler.mark(bay.clear), big=True),
        )
    else:
        found = (
            Fact(label=say("Clear at the bottom"), value=ruler.mark(bay.clear), big=True),
            Fact(label=say("Clear at the top"), value=ruler.mark(bay.clear_top), big=True),
        )
    return (
        Fact(label=say("Bottom rail, cut"), value=ruler.mark(bay.bottom_cut), big=True),
        Fact(label=say("Top rail, cut"), value=ruler.mark(bay.top_cut), big=True),
        *found,
    )


def _mitred(bay: LevelBay) -> str:
    """From where lengths run whose ends are not square; the drawing has the saw settings."""
    if not (bay.mitre_left_deg or bay.mitre_right_deg):
        return ""
    if bay.mitre_left_deg and bay.mitre_right_deg:
        return say("Cut and holes: read along their line, at mid-width.")
    return say("Other end square. Cut and holes: read along their line, at mid-width.")


def _ends(left: int, right: int, ruler: Ruler) -> str:
    if left == right:
        return say("{margin} both ends", margin=ruler.mark(left))
    return say("left {left}, right {right}", left=ruler.mark(left), right=ruler.mark(right))


def _more(bay: LevelBay, ruler: Ruler) -> str:
    """What else the crew must know of the bay, in running words."""
    bottom = _ends(bay.margin_left, bay.margin_right, ruler)
    top = _ends(bay.top_margin_left, bay.top_margin_right, ruler)
    margins = bottom if bottom == top else say("{bottom}; top rail {top}", bottom=bottom, top=top)
    sweep: tuple[str, ...] = (ruler.mark(bay.sweep),)
    if bay.sweep_low != bay.sweep:
        sweep = (*sweep, say("low side {sweep}", sweep=ruler.mark(bay.sweep_low)))
    if bay.edge_gap:
        out = say(
            "{out} outside the deck edge, {under} open between the two",
            out=ruler.mark(up(bay.edge_gap, ruler.step)),
            under=ruler.mark(up(bay.under, ruler.step)),
        )  # fmt: skip
        sweep = (*sweep, out)
    texts = (
        say(
            "Rail end to first hole {margins}; hole pitch {pitch}.",
            margins=margins,
            pitch=ruler.mark(bay.pitch),
        ),
        say(
            "Post to baluster {ends}; baluster to baluster {between} (rounded up, for the ball).",
            ends=_ends(up(bay.gap_left, ruler.step), up(bay.gap_right, ruler.step), ruler),
            between=ruler.mark(up(bay.gap_between, ruler.step)),
        ),
        _mitred(bay),
        say("Gap under the bottom rail {sweep}.", sweep=row(sweep)),
        say("Drain holes from the left end {marks}.", marks=ruler.marks(bay.drain_holes)),
        say("Brackets: {brackets}.", brackets=_brackets(bay)),
        say("Lift {weight}, {people}.", weight=ruler.weight(bay.weight), people=people(bay.people)),
        say("Moves with heat {movement}.", movement=movement_words(bay.movement, ruler)),
        _others(bay),
    )
    return row(filter(None, texts), " ")


def _brackets(bay: LevelBay) -> str:
    """Kinds and sides: said once where all ends of a rail are alike."""
    out = []
    for rail in ("top", "bottom"):
        fits = [fit for fit in bay.brackets if fit.rail == rail]
        hows = dict.fromkeys(row((term(fit.kind), term(fit.side))) for fit in fits)
        if len(hows) == 1:
            out += [row((term(rail), how), " ") for how in hows]
        else:
            out += [
                say(
                    "{rail} {end} {kind}, {side}",
                    rail=term(rail), end=term(fit.end), kind=term(fit.kind), side=term(fit.side),
                )
                for fit in fits
            ]  # fmt: skip
    return row(out, "; ") if out else say("none")


def _others(bay: LevelBay) -> str:
    if not bay.others:
        return ""
    return say("Also legal here, not chosen: {counts} balusters.", counts=row(map(str, bay.others)))
