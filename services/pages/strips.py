"""The running strips: each leg from one zero."""

from __future__ import annotations

from schemas.layout import LaidLeg
from schemas.pages import Block, Prose, Sheet
from schemas.plan import Plan
from services.pages.figures import Figures
from services.pages.wording import Ruler, units_note


def strips(plan: Plan, figures: Figures) -> Sheet:
    """The sheet from which posts are marked out.

    Args:
        plan: The finished plan.
        figures: Its drawings.
    """
    ruler = Ruler(step=plan.job.step)
    legs = (block for leg in plan.layout.legs for block in _leg(leg, figures, ruler))
    how = Prose(
        text="Over the strip: post centres. Under it: sleeve faces. In the boxes: clear openings. "
        "Hook the tape once and mark all; do not add up openings."
    )
    return Sheet(
        key="strips", title="Running strips", place="Every leg, from its own zero",
        blocks=(units_note(ruler), how, *legs),
    )  # fmt: skip


def _leg(leg: LaidLeg, figures: Figures, ruler: Ruler) -> tuple[Block, ...]:
    why = f"Leg {leg.name}, {ruler.long(leg.length)} along post centres. {leg.reason}"
    return (*figures.starting(f"strip-{leg.name}"), Prose(text=why))
