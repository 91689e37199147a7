"""Steps before any post is touched: arrive, check the measure, open questions, edges."""

from __future__ import annotations

from math import atan2, degrees

from schemas.sequence import Step
from schemas.site import Question, Stair
from services import tape
from services.sequence.hazards import may_hold_lead
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
        text=f"{job.site.street}, {job.site.town}: job {job.job}, revision {job.revision}. The "
        "code on every sheet is the one on the office list. Walk the work with the customer. "
        f"Anything not as drawn: stop, call {job.company.on_duty}.",
        slip="Yesterday's sheet still in the truck",
        cautions=("public", "heat", "storm"),
    )


def _ask(number: int, question: Question) -> Step:
    return Step(
        number=0,
        key=f"ask-{number}",
        stage="Arrive",
        hold=f"Q{number}",
        text=f"{question.place}: {question.says} {question.ask}",
        after=("arrive",),
    )


def _verify(work: Work) -> Step:
    legs = listed(f"{leg.name} {work.mark(leg.measured)}" for leg in work.layout.legs)
    turns = [
        f"Corner after {leg.name}: {leg.corner.turn_deg:g} degrees, by three sides."
        for line in work.job.lines
        for leg in line.legs
        if leg.corner and leg.corner.turn_deg != 90
    ]
    stairs = " ".join([*turns, *(_stair(stair, work) for stair in work.job.stairs)])
    return Step(
        number=0,
        key="verify",
        stage="Arrive",
        hold="H1",
        text=f"Tape again before unloading all: {legs}. {stairs}".strip()
        + f" More than {work.plain('1/4', '6')} or 1 degree off: call, do not cut.",
        people=2,
        tool="Tape, digital level, straightedge",
        slip="Counting treads instead of risers" if work.job.stairs else "Hook on the wrong zero",
        after=("arrive",),
    )


def _stair(stair: Stair, work: Work) -> str:
    slope = degrees(atan2(stair.riser, stair.tread))
    total = f", rise {work.mark(stair.total_rise)}" if stair.total_rise else ""
    run = f", run {work.mark(stair.total_run)}" if stair.total_run else ""
    return f"{stair.name}: {stair.risers} risers{total}{run}, slope {slope:.1f}."


def _edges(work: Work) -> Step:
    legs = work.layout.legs
    shown = listed(
        f"{leg.name} {'not measured' if leg.drop is None else work.mark(leg.drop)}" for leg in legs
    )
    return Step(
        number=0,
        key="edges",
        stage="Edge",
        hold="H2",
        text=f"Open edges, drop: {shown}. Temporary guard or tied off; door to the deck blocked; "
        "ladder footed.",
        people=2,
        tool="Temporary guard timber, screws, tape, barrier",
        slip="Only the high side guarded",
        cautions=("open-edge", "public", "ladder"),
        after=("verify",),
    )


def _old_rail(work: Work) -> tuple[Step, ...]:
    if not work.job.remove_feet:
        return ()
    metric = tape.is_metric(work.job.step)
    metres = f"{work.job.remove_feet * 0.3048:.1f} m"
    length = metres if metric else f"{work.job.remove_feet:g} ft"
    paint = ("old-paint",) if may_hold_lead(work.job) else ()
    return (
        Step(
            number=0,
            key="old-rail",
            stage="Old rail",
            text=f"Take off old rail, {length}, a length at a time; temporary guard up before the "
            "next. Lower it, never throw.",
            people=2,
            tool="Bar, reciprocating saw, magnet",
            slip="All of it off at once, nothing in its place",
            cautions=("open-edge", "old-rail", "lifting", *paint),
            after=("edges",),
        ),
    )
