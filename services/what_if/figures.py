"""What a plan came to, in figures that can be set side by side."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from schemas.errors import BadInput, DawnpackError
from schemas.plan import Plan
from schemas.site import Question
from schemas.what_if import Alternative


def in_figures(named: str, plan: Plan | None, questions: Sequence[Question]) -> Alternative:
    """One alternative's figures, or what stops it.

    Args:
        named: What was tried.
        plan: What it came to; none: it is stopped.
        questions: Those still open.
    """
    holds = sum(question.severity == "hold" for question in questions)
    if plan is None:
        stops = tuple(question for question in questions if question.severity == "stop")
        return Alternative(named=named, planned=False, holds=holds, stops=stops)
    bars, taken = plan.cuts.bars, plan.takeoff
    posts = plan.layout.posts
    return Alternative(
        named=named,
        planned=True,
        posts=len(posts),
        posts_to_set=sum(not post.in_place for post in posts),
        level_bays=len(plan.bays.level),
        stair_bays=len(plan.bays.stair),
        kits=tuple(sorted(Counter(bar.stock.kit or bar.stock.id for bar in bars).items())),
        stock_length=sum(bar.stock.length for bar in bars),
        waste_length=sum(bar.waste for bar in bars),
        material_cents=taken.cost.material_cents,
        waste_cents=taken.cost.waste_cents,
        stick_waste_cents=taken.cost.stick_waste_cents,
        crew_hours=taken.crew_hours,
        day_hours=taken.day_hours,
        grams=taken.grams,
        holds=holds,
    )


def refused(named: str, no: DawnpackError) -> Alternative:
    """An alternative that cannot be planned at all, with why and what would do."""
    why = str(no)
    if isinstance(no, BadInput):
        why = "; ".join(f"{problem.says}: {problem.mend}" for problem in no.problems)
    return Alternative(named=named, planned=False, refused=why)
