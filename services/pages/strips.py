"""The running strips: each leg from one zero."""

from __future__ import annotations

from schemas.pages import Prose, Sheet
from schemas.plan import Plan
from schemas.wording import say
from services.pages.figures import Figures
from services.pages.wording import Ruler, units_words


def strips(plan: Plan, figures: Figures) -> Sheet:
    """The sheet from which posts are marked out.

    Args:
        plan: The finished plan.
        figures: Its drawings.
    """
    ruler = Ruler(step=plan.job.step)
    legs = (figure for leg in plan.layout.legs for figure in figures.starting(f"strip-{leg.name}"))
    how = Prose(
        text=say(
            "Over a strip: post centres. Under it: sleeve faces. Boxed: clear openings. "
            "Hook the tape once and mark all; never add up openings."
        )
    )
    return Sheet(
        key="strips", title=say("Running strips"),
        place=say("{units}. Every leg, from its own zero", units=units_words(ruler)),
        blocks=(how, *legs),
    )  # fmt: skip
