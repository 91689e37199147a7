"""The job card: this site's hazards, what is open, what was promised."""

from __future__ import annotations

from schemas.job import Job
from schemas.pages import (
    Block,
    Column,
    Fact,
    Facts,
    Heading,
    Prose,
    Row,
    Sheet,
    Table,
    Tick,
    Ticks,
)
from schemas.plan import Plan
from schemas.site import Answer, Question
from schemas.takeoff import Takeoff
from services.pages.wording import Ruler, day_words, hours_words, joined

_MOST_HAZARDS = 8
"""Crews stop reading after so many lines. Common practice."""


def job_card(plan: Plan) -> Sheet:
    """The first sheet of a pack.

    Args:
        plan: The finished plan.
    """
    return Sheet(
        key="job-card",
        title="Job card",
        place=f"{plan.job.site.street}, {plan.job.site.town}",
        blocks=(
            *_hazards(plan),
            *_holds(plan.job),
            *_head(plan),
            *_promises(plan.job),
            *_answers(plan.job),
            *_assumed(plan.job),
            *_complete(plan),
        ),
    )


def _hazards(plan: Plan) -> tuple[Block, ...]:
    hazards = plan.sequence.site_hazards[:_MOST_HAZARDS]
    site = plan.job.site
    lines = [Prose(text=f"{i}. {hazard}", role="lead") for i, hazard in enumerate(hazards, 1)]
    none = Prose(text="None recorded. Walk round before unloading.", role="lead")
    return (
        Heading(text="Dangers of this site"),
        *(lines or [none]),
        Prose(
            text=f"Emergency: {site.emergency}. Address: {site.street}, {site.town}.", role="lead"
        ),
    )


def _open(job: Job) -> tuple[Question, ...]:
    answered = {answer.question for answer in job.answers}
    return tuple(q for q in job.questions if q.key not in answered)


def _holds(job: Job) -> tuple[Block, ...]:
    still = _open(job)
    holds = [q for q in still if q.severity != "note"]
    notes = [q for q in still if q.severity == "note"]
    if not still:
        return (Heading(text="Open questions"), Prose(text="None is open."))
    blocks: list[Block] = []
    if holds:
        ticks = [Tick(text=q.ask, mark=q.place, hold=True, under=(q.says,)) for q in holds]
        blocks += [
            Heading(text="Open: settle each before the work it touches"),
            Ticks(ticks=tuple(ticks)),
        ]
    if notes:
        ticks = [Tick(text=q.says, mark=q.place, under=(q.ask,)) for q in notes]
        blocks += [Heading(text="Notes from the measure"), Ticks(ticks=tuple(ticks))]
    return tuple(blocks)


def _head(plan: Plan) -> tuple[Block, ...]:
    job, takeoff = plan.job, plan.takeoff
    crew = next((c for c in job.company.crews if c.key == job.crew), None)
    kind = "final measure" if job.measured.kind == "final" else "sales measure: quantities only"
    facts = (
        Fact(label="Day of work", value=day_words(job.install_date.isoformat()), big=True),
        Fact(label="Crew", value=crew.name if crew else job.crew, big=True),
        Fact(label="Job and revision", value=f"{job.job} rev {job.revision}", big=True),
        Fact(label="Customer", value=job.site.customer),
        Fact(label="Site", value=f"{job.site.street}, {job.site.town}"),
        Fact(label="Building", value=f"{job.use}, built {job.site.year_built or 'not known'}"),
        Fact(
            label="Railing",
            value=f"{job.system.title}, {job.colour}, height {job.level_height.name}",
        ),
        Fact(label="Stair railing", value=_stair_words(job)),
        Fact(label="Rules recorded", value=plan.compliance.profile),
        Fact(label="Permit", value=job.permit or "not recorded: ask the office"),
        Fact(label="Post fixing", value=_detail_words(job)),
        Fact(label="Measured", value=f"{job.measured.by}, {day_words(job.measured.on)}, {kind}"),
        Fact(label="Hours for the crew", value=_hours_words(takeoff)),
        Fact(label="Railing, all bays", value=Ruler(step=job.step).long(takeoff.rail_length)),
    )
    promised = (f"Promised there at {job.site.arrives}",) if job.site.arrives else ()
    access = tuple(Prose(text=line) for line in (*promised, *job.site.access))
    return (Heading(text="The job"), Facts(facts=facts, columns=3), *access)


def _stair_words(job: Job) -> str:
    if not job.stairs or job.stair_height is None:
        return "no stair"
    return f"{job.stair_system.title}, height {job.stair_height.name}"


def _hours_words(takeoff: Takeoff) -> str:
    needs, has = hours_words(takeoff.crew_hours), hours_words(takeoff.day_hours)
    longer = takeoff.crew_hours > takeoff.day_hours
    return f"{needs}; the day has {has}" + (": MORE THAN A DAY" if longer else "")


def _detail_words(job: Job) -> str:
    if job.detail is None:
        return "no approved detail recorded: do not fix posts"
    return f"detail {job.detail.key}"


def _promises(job: Job) -> tuple[Block, ...]:
    if not job.promises:
        return ()
    ticks = tuple(Tick(text=promise) for promise in job.promises)
    return (Heading(text="Promised to the customer"), Ticks(ticks=ticks))


def _answers(job: Job) -> tuple[Block, ...]:
    asked = {question.key: question for question in job.questions}
    rows = tuple(_answer_row(answer, asked.get(answer.question)) for answer in job.answers)
    if not rows:
        return ()
    columns = (
        Column(head="Asked", share=3), Column(head="Decided", share=2, bold=True),
        Column(head="By", share=1.2), Column(head="Why", share=2),
    )  # fmt: skip
    return (Heading(text="Decided by the office"), Table(columns=columns, rows=rows))


def _answer_row(answer: Answer, question: Question | None) -> Row:
    if question is None:
        return Row(cells=(answer.question, answer.option, answer.by, answer.why))
    says = next((o.says for o in question.options if o.key == answer.option), answer.option)
    return Row(cells=(f"{question.place}: {question.says}", says, answer.by, answer.why))


def _assumed(job: Job) -> tuple[Block, ...]:
    if not job.assumed:
        return ()
    places: dict[str, list[str]] = {}
    for assumed in job.assumed:
        places.setdefault(assumed.says, []).append(assumed.place)
    ticks = tuple(Tick(text=f"{joined(where)}: {says}") for says, where in places.items())
    return (Heading(text="Assumed, not measured: verify on site"), Ticks(ticks=ticks))


def _complete(plan: Plan) -> tuple[Block, ...]:
    columns = (
        Column(head="Nothing left out", share=2.4), Column(head="Job", share=1.5, align="right"),
        Column(head="Sheets", share=1.5, align="right"), Column(head="Equal", share=1),
    )  # fmt: skip
    rows = tuple(
        Row(cells=(what, head, sheets, "equal" if same else "NOT EQUAL: call"), strong=not same)
        for what, head, sheets, same in plan.compliance.complete
    )
    return (Heading(text="Counted over"), Table(columns=columns, rows=rows, size="small"))
