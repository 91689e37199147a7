"""The key plan: where everything is, and how each leg was measured."""

from __future__ import annotations

from schemas.layout import LaidLeg
from schemas.pages import Block, Column, Prose, Row, Sheet, Table
from schemas.plan import Plan
from schemas.site import Stair
from services.pages.figures import Figures
from services.pages.wording import Ruler, joined, units_words, yes


def key_plan(plan: Plan, figures: Figures) -> Sheet:
    """The sheet that gives every leg, post, stair and gate its name.

    Args:
        plan: The finished plan.
        figures: Its drawings.
    """
    ruler = Ruler(step=plan.job.step)
    return Sheet(
        key="key-plan",
        title="Key plan",
        place=f"{units_words(ruler)}. Whole site, the house at the top",
        blocks=(
            *figures.untitled("key-plan"),
            Table(
                columns=_LEG_COLUMNS,
                rows=tuple(_leg(leg, ruler) for leg in plan.layout.legs),
                size="dense",
            ),
            Prose(text=_reasons(plan)),
            *_stairs(plan, ruler),
            *_gates(plan, ruler),
        ),
    )


_LEG_COLUMNS = (
    Column(head="Leg", share=0.6, bold=True), Column(head="As measured", share=2.2, align="right"),
    Column(head="Along post centres", share=2.2, align="right"), Column(head="Posts", share=2),
    Column(head="Drop to ground", share=1.2, align="right"),
    Column(head="Falls", share=0.9, align="right"),
)  # fmt: skip


def _reasons(plan: Plan) -> str:
    """Why each leg is parted as it is."""
    legs = " ".join(f"Leg {leg.name}: {leg.reason}." for leg in plan.layout.legs)
    return f"{legs} Falls: how much the deck's surface drops along the leg."


def _leg(leg: LaidLeg, ruler: Ruler) -> Row:
    drop = ruler.maybe(leg.drop, "not known")
    cells = (leg.name, ruler.long(leg.measured), ruler.long(leg.length), joined(leg.posts), drop)
    return Row(cells=(*cells, ruler.mark(leg.fall)))


def _stairs(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    if not plan.job.stairs:
        return ()
    columns = (
        Column(head="Stair", bold=True), Column(head="Leg"), Column(head="Risers"),
        Column(head="Riser", align="right"), Column(head="Tread", align="right"),
        Column(head="Opening", share=1.3, align="right"), Column(head="Open risers", share=1.2),
        Column(head="Rail on", share=1.4), Column(head="Foot on", share=2.4),
    )  # fmt: skip
    rows = tuple(_stair(stair, ruler) for stair in plan.job.stairs)
    return (Table(columns=columns, rows=rows, size="dense"),)


def _stair(stair: Stair, ruler: Ruler) -> Row:
    return Row(
        cells=(
            stair.name, stair.leg, f"{stair.risers}R", ruler.mark(stair.riser),
            ruler.mark(stair.tread), ruler.mark(stair.width), yes(value=stair.open_risers),
            joined(stair.rails), stair.landing or "not known: check",
        )
    )  # fmt: skip


def _gates(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    if not plan.job.gates:
        return ()
    columns = (
        Column(head="Gate", bold=True), Column(head="Leg"), Column(head="Opening", align="right"),
        Column(head="Hinge, seen from the deck", share=2), Column(head="Opens", share=1.6),
        Column(head="Pool barrier", share=2),
    )  # fmt: skip
    rows = tuple(
        Row(
            cells=(
                g.name, g.leg, ruler.mark(g.width), g.hinge,
                "toward the deck" if g.opens == "in" else "away from the deck",
                yes(value=g.pool_barrier, unknown="not known: ask the office"),
            )
        )
        for g in plan.job.gates
    )  # fmt: skip
    return (Table(columns=columns, rows=rows, size="dense"),)
