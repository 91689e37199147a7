"""The install sequence, with hold points to initial."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from schemas.pages import Block, Heading, Prose, Sheet, Tick, Ticks
from schemas.plan import Plan
from schemas.sequence import Caution, Step
from schemas.wording import row, say
from services.pages.wording import Ruler, people, units_note
from services.wording.terms import term


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
        title=say("Install sequence"),
        place=say("In this order; no hold point is passed unsigned"),
        blocks=(
            units_note(Ruler(step=plan.job.step)),
            Prose(
                text=say(
                    "Where the rail maker's printed instructions, the local code or a licensed "
                    "professional say otherwise, they win: stop and call. Steps are numbered "
                    "through; a hold point is a step in a heavy frame."
                )
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
    """A part of the work; what to beware of all through it is said once at its head."""
    throughout = _throughout(steps)
    says = _short(throughout, cautions)
    head = (
        (Prose(text=say("All through: {cautions}", cautions=says), role="strong"),) if says else ()
    )
    unders = [_under(step, cautions, throughout, last=step is last) for step in steps]
    first: dict[str, int] = {}
    for step, under in zip(steps, unders, strict=True):
        first.setdefault(under, step.number)
    ticks = tuple(
        _tick(step, under, first=first[under]) for step, under in zip(steps, unders, strict=True)
    )
    return (Heading(text=stage), *head, Ticks(ticks=ticks))


def _throughout(steps: list[Step]) -> tuple[str, ...]:
    """Cautions of every step of a part of the work, if it has several."""
    if len(steps) == 1:
        return ()
    return tuple(key for key in steps[0].cautions if all(key in s.cautions for s in steps))


def _tick(step: Step, under: str, *, first: int) -> Tick:
    """A step; what an earlier one of its stage says in the same words is not said again."""
    if under and step.number != first:
        under = say("People, tools, slip as in step {number}.", number=first)
    return Tick(
        text=step.text,
        mark=str(step.number),
        hold=step.hold is not None,
        under=(under,) if under else (),
    )


def _under(
    step: Step, cautions: dict[str, Caution], throughout: tuple[str, ...], *, last: bool
) -> str:
    """People, tool, wait, the usual slip, cautions of this step alone."""
    own = [key for key in step.cautions if key not in throughout]
    lines = (_with(step), _slip(step), _short(own, cautions), say("List complete") if last else "")
    said = row(filter(None, lines), ". ")
    return say("{said}.", said=said) if said else ""


def _with(step: Step) -> str:
    crew = people(step.people) if step.people > 1 else ""
    return row(filter(None, (crew, step.tool, _wait(step))), "; ")


def _wait(step: Step) -> str:
    return say("Wait: {wait}", wait=step.wait) if step.wait else ""


def _slip(step: Step) -> str:
    return say("Usual slip: {slip}", slip=step.slip) if step.slip else ""


def _short(keys: Iterable[str], cautions: dict[str, Caution]) -> str:
    """Cautions on one line, each under its signal word."""
    said = [cautions[key] for key in keys if key in cautions]
    return row((row((term(c.signal), c.short), ": ") for c in said), ". ")
