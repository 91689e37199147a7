"""Stairs: their measures against each other, asked about with the likely culprit."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from schemas.job import Job
from schemas.site import Option, Question, Stair
from schemas.wording import row, say
from services.intake.cross_checks.asking import GO_ON, put_right, recorded, rules, set_to, stairs
from services.intake.cross_checks.flight_figures import Disagreement, Mend, disagreements, mends
from services.tape import text, text_with_unit

_MOST = 4
"""No question offers more figures to put right."""
_ASKS = {
    "riser-count": say("How many risers are there, landing and deck included?"),
    "tread-count": say("How many treads are there, one fewer than risers?"),
    "rise": say("What was misread: one riser, their count, or the total rise?"),
    "run": say("What was misread: one tread, the count, or the total run?"),
    "slope": say("Was the straightedge on all nosings, and are riser and tread right?"),
    "straightedge": say("What was misread: the straightedge, riser, tread or count?"),
}
_NAMES = {"each_riser": "riser-one", "slope_deg": "read-again"}


def check(job: Job) -> tuple[Question, ...]:
    """Stairs whose measures disagree, with the figure that would make them agree."""
    return tuple(
        chain.from_iterable(
            (*_figures(job, stair, pointer), *_spread(job, stair), *_treads(job, stair))
            for pointer, stair in stairs(job)
        )
    )


def _figures(job: Job, stair: Stair, pointer: str) -> Iterator[Question]:
    """One question where one figure explains all, else one for each disagreement."""
    broken = disagreements(stair, step=job.step)
    found = mends(stair, step=job.step)
    if broken and found:
        key, ask = (
            (broken[0].key, _ASKS[broken[0].key])
            if len(broken) == 1
            else ("measures", say("Is that the figure that was misread, or which are?"))
        )
        yield _ask(job, stair, key=key, broken=broken, found=found, pointer=pointer, ask=ask)
        return
    for one in broken:
        others = frozenset(other.key for other in broken if other is not one)
        yield _ask(
            job,
            stair,
            key=one.key,
            broken=(one,),
            found=mends(stair, step=job.step, leaves=others),
            pointer=pointer,
            ask=_ASKS[one.key],
        )


def _ask(
    job: Job,
    stair: Stair,
    *,
    key: str,
    broken: tuple[Disagreement, ...],
    found: tuple[Mend, ...],
    pointer: str,
    ask: str,
) -> Question:
    return Question(
        key=f"{key}.{stair.name}",
        severity="stop",
        place=say("Stair {stair}", stair=stair.name),
        says=say(
            "{stair}: {broken}. {culprit}",
            stair=stair.name,
            broken=row((one.says for one in broken), "; "),
            culprit=_culprit(found, broken),
        ),
        ask=ask,
        options=tuple(_option(job, mend, pointer=pointer) for mend in found[:_MOST]),
    )


def _culprit(found: tuple[Mend, ...], broken: tuple[Disagreement, ...]) -> str:
    """Which single figure it is, as far as the others tell."""
    if not found:
        return say("No single figure would put that right: two or more were misread.")
    first = found[0]
    told = row((first.says, first.slip)) if first.slip else first.says
    if len(found) > 1:
        return say("The likely culprit: {told}.", told=told)
    if len(broken) > 1:
        return say("Only one figure would put all of that right: {told}.", told=told)
    return say("Only one figure would put that right: {told}.", told=told)


def _option(job: Job, mend: Mend, *, pointer: str) -> Option:
    key = _NAMES.get(mend.field, mend.field.replace("_", "-"))
    where = f"{pointer}{mend.pointer}"
    if mend.field in {"risers", "slope_deg"}:
        return set_to(key, mend.says, pointer=where, value=mend.value)
    return put_right(key, mend.says, pointer=where, value=int(mend.value), step=job.step)


def _spread(job: Job, stair: Stair) -> Iterator[Question]:
    if not stair.each_riser:
        return
    spread = max(stair.each_riser) - min(stair.each_riser)
    limits = [r.limit for r in rules(job, "stair.riser_spread") if r.limit is not None]
    if limits and spread > min(limits):
        yield Question(
            key=f"riser-spread.{stair.name}",
            severity="hold",
            place=say("Stair {stair}", stair=stair.name),
            says=say(
                "Risers of {stair} run from {least} to {most}; the recorded "
                "limit for the difference is {limits}. The stair itself may fail, not the "
                "rail.",
                stair=stair.name,
                least=text(min(stair.each_riser), job.step),
                most=text_with_unit(max(stair.each_riser), job.step),
                limits=recorded(job, min(limits)),
            ),
            ask=say("Has the owner been told, and is the stair to stay as it is?"),
            options=(GO_ON,),
        )


def _treads(job: Job, stair: Stair) -> Iterator[Question]:
    if not stair.each_tread:
        return
    spread = max(stair.each_tread) - min(stair.each_tread)
    limits = [r.limit for r in rules(job, "stair.tread_spread") if r.limit is not None]
    if limits and spread > min(limits):
        yield Question(
            key=f"tread-spread.{stair.name}",
            severity="hold",
            place=say("Stair {stair}", stair=stair.name),
            says=say(
                "Treads of {stair} run from {least} to {most}; the recorded limit for the "
                "difference is {limits}. The stair itself may fail, not the rail.",
                stair=stair.name,
                least=text(min(stair.each_tread), job.step),
                most=text_with_unit(max(stair.each_tread), job.step),
                limits=recorded(job, min(limits)),
            ),
            ask=say("Has the owner been told, and is the stair to stay as it is?"),
            options=(GO_ON,),
        )
