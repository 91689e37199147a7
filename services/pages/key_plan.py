"""The key plan: where everything is, and how each leg was measured."""

from __future__ import annotations

from schemas.layout import LaidLeg
from schemas.pages import Block, Column, Prose, Row, Sheet, Table
from schemas.plan import Plan
from schemas.site import Stair
from schemas.wording import row, say, shipped
from services.pages.figures import Figures
from services.pages.wording import Ruler, units_words, yes
from services.wording.terms import term


def key_plan(plan: Plan, figures: Figures) -> Sheet:
    """The sheet that gives every leg, post, stair and gate its name.

    Args:
        plan: The finished plan.
        figures: Its drawings.
    """
    ruler = Ruler(step=plan.job.step)
    return Sheet(
        key="key-plan",
        title=say("Key plan"),
        place=say("{units}. Whole site, the house at the top", units=units_words(ruler)),
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
    Column(head=say("Leg"), share=0.6, bold=True),
    Column(head=say("As measured"), share=2.2, align="right"),
    Column(head=say("Along post centres"), share=2.2, align="right"),
    Column(head=say("Posts"), share=2),
    Column(head=say("Drop to ground"), share=1.2, align="right"),
    Column(head=say("Falls"), share=0.9, align="right"),
)


def _reasons(plan: Plan) -> str:
    """Why each leg is parted as it is."""
    legs = (
        say("Leg {leg}: {reason}.", leg=leg.name, reason=leg.reason) for leg in plan.layout.legs
    )
    falls = say("Falls: how much the deck's surface drops along the leg.")
    return row((*legs, falls), " ")


def _leg(leg: LaidLeg, ruler: Ruler) -> Row:
    drop = ruler.maybe(leg.drop, say("not known"))
    cells = (leg.name, ruler.long(leg.measured), ruler.long(leg.length), row(leg.posts), drop)
    return Row(cells=(*cells, ruler.mark(leg.fall)))


def _stairs(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    if not plan.job.stairs:
        return ()
    columns = (
        Column(head=say("Stair"), share=1.1, bold=True),
        Column(head=say("Leg"), share=0.7),
        Column(head=say("Risers"), share=1.2),
        Column(head=say("Riser"), share=1.2, align="right"),
        Column(head=say("Tread"), share=1.1, align="right"),
        Column(head=say("Opening"), share=1.2, align="right"),
        Column(head=say("Open risers"), share=1.2),
        Column(head=say("Rail on"), share=1.4),
        Column(head=say("Foot on"), share=2.1),
    )
    rows = tuple(_stair(stair, ruler) for stair in plan.job.stairs)
    return (Table(columns=columns, rows=rows, size="dense"),)


def _stair(stair: Stair, ruler: Ruler) -> Row:
    return Row(
        cells=(
            stair.name,
            stair.leg,
            str(stair.risers),
            ruler.mark(stair.riser),
            ruler.mark(stair.tread),
            ruler.mark(stair.width),
            yes(value=stair.open_risers),
            row(map(term, stair.rails)),
            shipped(stair.landing) if stair.landing else say("not known: check"),
        )
    )


def _gates(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    if not plan.job.gates:
        return ()
    columns = (
        Column(head=say("Gate"), bold=True),
        Column(head=say("Leg")),
        Column(head=say("Opening"), align="right"),
        Column(head=say("Hinge, seen from the deck"), share=2),
        Column(head=say("Opens"), share=1.6),
        Column(head=say("Pool barrier"), share=2),
    )
    rows = tuple(
        Row(
            cells=(
                g.name,
                g.leg,
                ruler.mark(g.width),
                term(g.hinge),
                say("toward the deck") if g.opens == "in" else say("away from the deck"),
                yes(value=g.pool_barrier, unknown=say("not known: ask the office")),
            )
        )
        for g in plan.job.gates
    )
    return (Table(columns=columns, rows=rows, size="dense"),)
