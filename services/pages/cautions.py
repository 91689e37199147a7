"""The cautions that this job's steps call for, each once in full."""

from __future__ import annotations

from itertools import groupby

from schemas.pages import Message, Prose, Sheet
from schemas.plan import Plan
from schemas.sequence import Caution
from schemas.wording import row, say
from services.wording.terms import term


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
        title=say("Cautions for this job"),
        place=say("This site's own dangers stand on the job card"),
        blocks=(
            *(
                Prose(text=say("This site, too: {hazard}", hazard=hazard), role="lead")
                for hazard in plan.sequence.further_hazards
            ),
            *(
                _message(caution, more=i > 0)
                for _, some in levels
                for i, caution in enumerate(some)
            ),
            Prose(text=say("These are the usual cautions for this work. They do not replace your "
"company's safety rules, the tool makers' instructions or the law.")),
            Prose(text=_sources(plan), role="small"),
        ),
    )  # fmt: skip


def _message(caution: Caution, *, more: bool) -> Message:
    return Message(
        signal=caution.signal,
        word=term(caution.signal),
        hazard=say("{task}: {hazard}", task=caution.task, hazard=caution.hazard),
        consequence=caution.consequence,
        avoid=caution.avoid,
        more=more,
    )


def _sources(plan: Plan) -> str:
    """Who says so: each source with the work it speaks of."""
    tasks: dict[str, list[str]] = {}
    for caution in plan.sequence.cautions:
        tasks.setdefault(caution.source, []).append(caution.task)
    says = row((row((source, row(work)), ": ") for source, work in tasks.items()), "; ")
    return say("Sources: {sources}.", sources=says)
