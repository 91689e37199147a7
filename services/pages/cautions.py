"""The cautions that this job's steps call for, each once in full."""

from __future__ import annotations

from schemas.pages import Message, Prose, Sheet
from schemas.plan import Plan
from schemas.sequence import Caution


def cautions(plan: Plan) -> Sheet:
    """The safety sheet, worst first.

    Args:
        plan: The finished plan.
    """
    return Sheet(
        key="cautions",
        title="Cautions for this job",
        place="This site's own dangers stand on the job card",
        blocks=(
            *(_message(caution) for caution in plan.sequence.cautions),
            Prose(text="These are the usual cautions for this work. They do not replace your "
                  "company's safety rules, the tool makers' instructions or the law."),
        ),
    )  # fmt: skip


def _message(caution: Caution) -> Message:
    return Message(
        signal=caution.signal,
        hazard=f"{caution.task}: {caution.hazard}",
        consequence=caution.consequence,
        avoid=caution.avoid,
        source=f"Source: {caution.source}",
    )
