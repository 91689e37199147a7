"""The install sequence, with hold points to initial."""

from __future__ import annotations

from itertools import groupby

from schemas.pages import Block, Heading, Prose, Sheet, Tick, Ticks
from schemas.plan import Plan
from schemas.sequence import Caution, Step
from services.pages.wording import Ruler, count_words, units_note


def install(plan: Plan) -> Sheet:
    """The sheet that the work is done from, top to bottom.

    Args:
        plan: The finished plan.
    """
    cautions = {caution.key: caution for caution in plan.sequence.cautions}
    *steps, last = plan.sequence.steps
    stages = groupby((*steps, last), key=lambda step: step.stage)
    return Sheet(
        key="install",
        title="Install sequence",
        place="In this order; no hold point is passed unsigned",
        blocks=(
            units_note(Ruler(step=plan.job.step)),
            Prose(
                text="Where the rail maker's printed instructions, the local code or a licensed "
                "professional say otherwise, they win: stop and call."
            ),
            *(
                block
                for stage, some in stages
                for block in _stage(stage, list(some), cautions, last)
            ),
        ),
    )


def _stage(
    stage: str, steps: list[Step], cautions: dict[str, Caution], last: Step
) -> tuple[Block, ...]:
    ticks = tuple(_tick(step, cautions, last=step is last) for step in steps)
    return (Heading(text=stage), Ticks(ticks=ticks))


def _tick(step: Step, cautions: dict[str, Caution], *, last: bool) -> Tick:
    end = "List complete." if last else ""
    return Tick(
        text=step.text,
        mark=step.hold or str(step.number),
        hold=step.hold is not None,
        under=tuple(filter(None, (_with(step), _slip(step), _short(step, cautions), end))),
    )


def _with(step: Step) -> str:
    people = count_words(step.people, "person") if step.people > 1 else ""
    return "; ".join(filter(None, (people, step.tool, _wait(step))))


def _wait(step: Step) -> str:
    return f"Wait: {step.wait}" if step.wait else ""


def _slip(step: Step) -> str:
    return f"Usual slip: {step.slip}" if step.slip else ""


def _short(step: Step, cautions: dict[str, Caution]) -> str:
    """Its cautions on one line, each under its signal word."""
    said = [cautions[key] for key in step.cautions if key in cautions]
    return ". ".join(f"{caution.signal}: {caution.short}" for caution in said)
