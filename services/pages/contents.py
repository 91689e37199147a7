"""The order of a pack's sheets."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.drawings import Drawing
from schemas.pages import Sheet
from schemas.plan import Plan
from services.pages.as_built import as_built
from services.pages.bay_sheet import bay_sheets
from services.pages.cautions import cautions
from services.pages.changed import marked
from services.pages.changes import changes
from services.pages.cut_list import cut_list
from services.pages.cut_tickets import cut_tickets
from services.pages.figures import Figures
from services.pages.findings import findings
from services.pages.hand_over import hand_over
from services.pages.homeowner import homeowner, open_edge
from services.pages.install import install
from services.pages.job_card import job_card
from services.pages.key_plan import key_plan
from services.pages.load_out import load_out
from services.pages.post_schedule import post_schedule
from services.pages.stair_sheet import stair_sheets
from services.pages.strips import strips


def pack_sheets(
    plan: Plan, *, drawings: Sequence[Drawing], replaces: str, before: Sequence[Sheet] = ()
) -> tuple[Sheet, ...]:
    """Everything that a pack prints, in its order.

    Args:
        plan: The finished plan.
        drawings: All that were made of it.
        replaces: What is to be destroyed, in words, or ``nothing``.
        before: Sheets of the pack it replaces, made of that pack's own plan, where it is known.
    """
    figures = Figures(drawings)
    first = job_card(plan)
    rest = _rest(plan, figures)
    sheets = (first, *rest)
    told = changes(plan, replaces=replaces, sheets=sheets, before=before)
    new_first, *new_rest = marked(sheets, before)
    return (new_first, told, *new_rest)


def _rest(plan: Plan, figures: Figures) -> tuple[Sheet, ...]:
    """All behind the job card; a day of posts has no rail, and for the house only a notice."""
    share = plan.day_share
    over = (hand_over(plan, share),) if share else ()
    if share and share.work == "posts":
        return (
            *over,
            key_plan(plan, figures),
            post_schedule(plan, figures),
            strips(plan, figures),
            cut_list(plan, figures),
            load_out(plan),
            install(plan),
            cautions(plan),
            findings(plan),
            open_edge(plan),
        )
    return (
        *over,
        key_plan(plan, figures),
        post_schedule(plan, figures),
        strips(plan, figures),
        *bay_sheets(plan, figures),
        *stair_sheets(plan, figures),
        cut_list(plan, figures),
        cut_tickets(plan),
        load_out(plan),
        install(plan),
        cautions(plan),
        findings(plan),
        as_built(plan),
        homeowner(plan),
        open_edge(plan),
    )
