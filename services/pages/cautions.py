"""The cautions that this job's steps call for, each once in full."""

from __future__ import annotations

from itertools import groupby

from schemas.pages import Message, Prose, Sheet
from schemas.plan import Plan
from schemas.sequence import Caution
from services.pages.wording import joined


def cautions(plan: Plan) -> Sheet:
    """The safety sheet, worst first, those of one level under one signal word.

    Args:
        plan: The finished plan.

    Source:
        ANSI Z535.6: grouped safety messages (from memory).
    """
    levels = groupby(plan.sequence.cautions, key=lambda caution: caution.signal)
    return Sheet(
        key="cautions",
        title="Cautions for this job",
        place="This site's own dangers stand on the job card",
        blocks=(
            *(
                _message(caution, more=i > 0)
                for _, some in levels
                for i, caution in enumerate(some)
            ),
            Prose(text="These are the usual cautions for this work. They do not replace your "
                  "company's safety rules, the tool makers' instructions or the law."),
            Prose(text=_sources(plan), role="small"),
        ),
    )  # fmt: skip


def _message(caution: Caution, *, more: bool) -> Message:
    return Message(
        signal=caution.signal,
        hazard=f"{caution.task}: {caution.hazard}",
        consequence=caution.consequence,
        avoid=caution.avoid,
        more=more,
    )


def _sources(plan: Plan) -> str:
    """Who says so: each source with the work it speaks of."""
    tasks: dict[str, list[str]] = {}
    for caution in plan.sequence.cautions:
        tasks.setdefault(caution.source, []).append(caution.task)
    says = "; ".join(f"{source}: {joined(work)}" for source, work in tasks.items())
    return f"Sources: {says}."
