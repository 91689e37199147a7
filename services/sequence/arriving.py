"""Steps before any post is touched: arrive, check the measure, open questions, edges."""

from __future__ import annotations

from math import atan2, degrees

from schemas.sequence import Step
from schemas.site import OpenEdge, Question, Stair
from schemas.wording import Said, row, say, shipped
from services import tape
from services.sequence.stages import listed
from services.sequence.work import Work


def arriving(work: Work) -> tuple[Step, ...]:
    """Right house and revision, what the office still asks, the measure, the edges."""
    return (
        _arrive(work),
        *(_ask(number, q) for number, q in enumerate(open_holds(work), start=1)),
        _verify(work),
        _edges(work),
        *_old_rail(work),
    )


def open_holds(work: Work) -> tuple[Question, ...]:
    """Questions that let the pack print, but not the work go on."""
    given = {(answer.question, answer.option) for answer in work.job.answers}
    return tuple(
        question
        for question in work.job.questions
        if question.severity == "hold"
        and not any((question.key, option.key) in given for option in question.options)
    )


def _arrive(work: Work) -> Step:
    job = work.job
    return Step(
        number=0,
        key="arrive",
        stage="Arrive",
        hold="H0",
        text=say(
            "{street}, {town}: job {job}, revision {revision}. The code on every sheet is the one "
            "on the office list. Walk the work with the customer. Anything not as drawn: stop, "
            "call {on_duty}.",
            street=job.site.street, town=job.site.town, job=job.job, revision=job.revision,
            on_duty=job.company.whom_to_call,
        ),
        slip=say("Yesterday's sheet still in the truck"),
        cautions=("public", "heat", "storm"),
    )  # fmt: skip


def _ask(number: int, question: Question) -> Step:
    return Step(
        number=0,
        key=f"ask-{number}",
        stage="Arrive",
        hold=f"Q{number}",
        text=say(
            "{place}: {says} {ask}", place=question.place, says=question.says, ask=question.ask
        ),
        after=("arrive",),
    )


def _verify(work: Work) -> Step:
    legs = listed(f"{leg.name} {work.mark(leg.measured)}" for leg in work.layout.legs)
    turns = [
        say(
            "Corner after {leg}: {turn} degrees, by three sides.",
            leg=leg.name, turn=f"{leg.corner.turn_deg:g}",
        )
        for line in work.job.lines
        for leg in line.legs
        if leg.corner and leg.corner.turn_deg != 90
    ]  # fmt: skip
    stairs = [_stair(stair, work) for stair in work.job.stairs]
    least = work.plain("1/4", "6")
    return Step(
        number=0,
        key="verify",
        stage="Arrive",
        hold="H1",
        text=row(
            (
                say("Tape again before unloading all: {legs}.", legs=legs), *turns, *stairs,
                say("More than {off} or 1 degree off: call, do not cut.", off=least),
            ),
            " ",
        ),
        people=2,
        tool=say("Tape, digital level, straightedge"),
        slip=say("Counting treads instead of risers")
        if work.job.stairs
        else say("Hook on the wrong zero"),
        after=("arrive",),
    )  # fmt: skip


def _stair(stair: Stair, work: Work) -> Said:
    slope = degrees(atan2(stair.riser, stair.tread))
    facts = [say("{risers} risers", risers=stair.risers)]
    if stair.total_rise:
        facts.append(say("rise {rise}", rise=work.mark(stair.total_rise)))
    if stair.total_run:
        facts.append(say("run {run}", run=work.mark(stair.total_run)))
    facts.append(say("slope {slope}", slope=f"{slope:.1f}"))
    return say("{stair}: {facts}.", stair=stair.name, facts=row(facts))


def _edges(work: Work) -> Step:
    legs = work.layout.legs
    shown = listed(
        say("{leg} not measured", leg=leg.name)
        if leg.drop is None
        else f"{leg.name} {work.mark(leg.drop)}"
        for leg in legs
    )
    drops = say(
        "Open edges, drop: {drops}. Temporary guard or tied off; door to the deck blocked, or, "
        "where it stays in use, a temporary guard at every bay that is open; ladder footed.",
        drops=shown,
    )
    left = [_left_open(edge, work) for edge in work.job.open_edges]
    return Step(
        number=0,
        key="edges",
        stage="Edge",
        hold="H2",
        text=row((drops, *left), " "),
        people=2,
        tool=say("Temporary guard timber, screws, tape, barrier"),
        slip=say("Only the high side guarded"),
        cautions=("open-edge", "public", "ladder"),
        after=("verify",),
    )


def _left_open(edge: OpenEdge, work: Work) -> Said:
    """An edge at which no railing of this job will stand."""
    closed = (
        say("closed by {what}", what=shipped(edge.closed_by))
        if edge.closed_by
        else say("nothing closes it: the temporary guard stays, call the office")
    )
    return say(
        "Without railing: {where}, {width}: {closed}.",
        where=shipped(edge.where), width=work.mark(edge.width), closed=closed,
    )  # fmt: skip


def _old_rail(work: Work) -> tuple[Step, ...]:
    if not work.job.remove_feet:
        return ()
    metric = tape.is_metric(work.job.step)
    metres = f"{work.job.remove_feet * 0.3048:.1f} m"
    length = metres if metric else f"{work.job.remove_feet:g} ft"
    paint = ("old-paint",) if work.job.may_hold_lead else ()
    return (
        Step(
            number=0,
            key="old-rail",
            stage="Old rail",
            text=say(
                "Take off old rail, {length}, a length at a time; temporary guard up before the "
                "next. Lower it, never throw.",
                length=length,
            ),
            people=2,
            tool=say("Bar, reciprocating saw, magnet"),
            slip=say("All of it off at once, nothing in its place"),
            cautions=("open-edge", "old-rail", "lifting", *paint),
            after=("edges",),
        ),
    )
