"""The job card: this site's hazards, what is open, what was promised."""

from __future__ import annotations

from datetime import date

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
from schemas.site import Answer, JobPart, Question
from schemas.takeoff import Takeoff
from schemas.wording import row, say, shipped
from services.pages.wording import Ruler, hours_words, job_words
from services.wording import words_of
from services.wording.terms import term

_MOST_HAZARDS = 8
"""Crews stop reading after so many lines. Common practice."""


def job_card(plan: Plan) -> Sheet:
    """The first sheet of a pack.

    Args:
        plan: The finished plan.
    """
    return Sheet(
        key="job-card",
        title=say("Job card"),
        place=f"{plan.job.site.street}, {plan.job.site.town}",
        blocks=(
            *_hazards(plan),
            *_part(plan.job),
            *_holds(plan),
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
    lines = [
        Prose(text=say("{number}. {hazard}", number=i, hazard=hazard), role="lead")
        for i, hazard in enumerate(hazards, 1)
    ]
    none = Prose(text=say("None recorded. Walk round before unloading."), role="lead")
    return (
        Heading(text=say("Dangers of this site")),
        *(lines or [none]),
        Prose(
            text=say(
                "Emergency: {emergency}. Address: {street}, {town}.",
                emergency=shipped(site.emergency),
                street=site.street,
                town=site.town,
            ),
            role="lead",
        ),
        Prose(
            text=say("Questions on a pack: {on_duty}.", on_duty=plan.job.company.whom_to_call),
            role="strong",
        ),
    )


def _part(job: Job) -> tuple[Block, ...]:
    """What a split leaves to the other crew, and that no edge there may stand open for it."""
    part = job.part
    if part is None:
        return ()
    if part.work is not None:
        return _part_by_day(job, part)
    names = {crew.key: crew.name for crew in job.company.crews}
    other = say(
        "The other part is {job}: legs {legs}, crew {crew}, {day} when it was split; the office "
        "knows whether that still holds.",
        job=part.other,
        legs=", ".join(part.legs),
        crew=names.get(part.crew, part.crew),
        day=words_of(job).date(part.install_date),
    )
    guard = say(
        "Leave legs {legs} as they stand. Before you leave, no edge there may be open: railing "
        "or a temporary guard in place.",
        legs=", ".join(part.legs),
    )
    return (
        Heading(text=say("Part {number} of 2 of job {job}", number=part.number, job=part.of)),
        Prose(text=other, role="lead"),
        Ticks(ticks=(Tick(text=guard, hold=True),)),
    )


def _part_by_day(job: Job, part: JobPart) -> tuple[Block, ...]:
    """What the other day does, and the state in which the job is left or found."""
    names = {crew.key: crew.name for crew in job.company.crews}
    words = {
        "job": part.other, "crew": names.get(part.crew, part.crew),
        "day": words_of(job).date(part.install_date),
    }  # fmt: skip
    if part.work == "posts":
        other = say(
            "Today the posts only. The rails are {job}, crew {crew}, {day} when it was split; the "
            "office knows whether that still holds.",
            **words,
        )
        tick = say(
            "No railing stands when you leave: temporary guard along every edge, hand-over sheet "
            "filled in. Not done: you do not leave."
        )
    else:
        other = say(
            "Today the rails, on posts that were set as {job}, crew {crew}, {day} when it was "
            "split; the office knows whether that still holds.",
            **words,
        )
        tick = say("Hand-over sheet of the first day in hand, posts and guard taken over.")
    head = say("Day {number} of 2 of job {job}", number=part.number, job=part.of)
    return (
        Heading(text=head),
        Prose(text=other, role="lead"),
        Ticks(ticks=(Tick(text=tick, hold=True),)),
    )


def _open(job: Job) -> tuple[Question, ...]:
    answered = {answer.question for answer in job.answers}
    return tuple(q for q in job.questions if q.key not in answered)


def _screened(plan: Plan) -> tuple[Tick, ...]:
    """What the post screen finds over its guide: one line, the sums are on the findings."""
    over = [finding.place for finding in plan.compliance.findings if finding.over_guide]
    if not over:
        return ()
    ask = say("Post screen over its guide: for the authority before setting.")
    where = row(dict.fromkeys(over), "; ")
    return (Tick(text=ask, hold=True, under=(say("{where}: see the findings.", where=where),)),)


def _holds(plan: Plan) -> tuple[Block, ...]:
    still, screened = _open(plan.job), _screened(plan)
    holds = [q for q in still if q.severity != "note"]
    notes = [q for q in still if q.severity == "note"]
    if not still and not screened:
        return (Heading(text=say("Open questions")), Prose(text=say("None is open.")))
    blocks: list[Block] = []
    if holds or screened:
        ticks = [Tick(text=q.ask, mark=q.place, hold=True, under=(q.says,)) for q in holds]
        ticks += screened
        blocks += [
            Heading(text=say("Open: settle each before the work it touches")),
            Ticks(ticks=tuple(ticks)),
        ]
    if notes:
        ticks = [Tick(text=q.says, mark=q.place, under=(q.ask,)) for q in notes]
        blocks += [Heading(text=say("Notes from the measure")), Ticks(ticks=tuple(ticks))]
    return tuple(blocks)


def _head(plan: Plan) -> tuple[Block, ...]:
    job, takeoff = plan.job, plan.takeoff
    crew = next((c for c in job.company.crews if c.key == job.crew), None)
    kind = (
        say("final measure")
        if job.measured.kind == "final"
        else say("sales measure: quantities only")
    )
    facts = (
        Fact(label=say("Day of work"), value=words_of(job).date(job.install_date), big=True),
        Fact(label=say("Crew"), value=crew.name if crew else job.crew, big=True),
        Fact(
            label=say("Job and revision"),
            value=job_words(job.job, job.revision),
            big=True,
        ),
        Fact(label=say("Customer"), value=job.site.customer),
        Fact(
            label=say("Site"),
            value=f"{job.site.street}, {job.site.town}",
        ),
        Fact(
            label=say("Building"),
            value=say(
                "{use}, built {year}",
                use=term(job.use),
                year=job.site.year_built or say("not known"),
            ),
        ),
        Fact(
            label=say("Railing"),
            value=say(
                "{system}, {colour}, height {height}",
                system=shipped(job.system.title),
                colour=shipped(job.colour),
                height=job.level_height.name,
            ),
        ),
        Fact(label=say("Stair railing"), value=_stair_words(job)),
        Fact(label=say("Rules recorded"), value=plan.compliance.profile),
        Fact(label=say("Permit"), value=job.permit or say("not recorded: ask the office")),
        Fact(label=say("Post fixing"), value=_detail_words(plan)),
        Fact(
            label=say("Measured"),
            value=say(
                "{by}, {day}, {kind}",
                by=job.measured.by,
                day=words_of(job).date(date.fromisoformat(job.measured.on)),
                kind=kind,
            ),
        ),
        Fact(label=say("Hours for the crew"), value=_hours_words(takeoff)),
        Fact(label=say("Railing, all bays"), value=Ruler(step=job.step).long(takeoff.rail_length)),
    )
    promised = (
        (say("Promised there at {arrives}", arrives=job.site.arrives),) if job.site.arrives else ()
    )
    access = tuple(Prose(text=line) for line in (*promised, *map(shipped, job.site.access)))
    return (Heading(text=say("The job")), Facts(facts=facts, columns=3), *access)


def _stair_words(job: Job) -> str:
    if not job.stairs or job.stair_height is None:
        return say("no stair")
    return say(
        "{system}, height {height}",
        system=shipped(job.stair_system.title),
        height=job.stair_height.name,
    )


def _hours_words(takeoff: Takeoff) -> str:
    needs, has = hours_words(takeoff.crew_hours), hours_words(takeoff.day_hours)
    longer = takeoff.crew_hours > takeoff.day_hours
    if longer:
        return say("{needs}; the day has {has}: MORE THAN A DAY", needs=needs, has=has)
    return say("{needs}; the day has {has}", needs=needs, has=has)


def _detail_words(plan: Plan) -> str:
    """Details with their posts; all posts of one detail need no names."""
    by: dict[str, list[str]] = {}
    for post in plan.layout.posts:
        if not post.in_place:
            detail = plan.job.fixing_of(post)
            by.setdefault(detail.key if detail else "", []).append(post.name)
    if not by:
        return say("posts in place")
    if len(by) == 1:
        number = next(iter(by))
        return (
            say("detail {detail}", detail=number)
            if number
            else say("no approved detail recorded: do not fix posts")
        )
    most = max(by, key=lambda number: (bool(number), len(by[number])))
    others = (number for number in by if number != most)
    return row(
        (
            say("detail {detail}", detail=most),
            *(
                say("{posts}: detail {detail}", posts=row(by[number]), detail=number)
                if number
                else say("{posts}: NOT RECORDED, do not fix", posts=row(by[number]))
                for number in others
            ),
        ),
        "; ",
    )


def _promises(job: Job) -> tuple[Block, ...]:
    if not job.promises:
        return ()
    ticks = tuple(Tick(text=shipped(promise)) for promise in job.promises)
    return (Heading(text=say("Promised to the customer")), Ticks(ticks=ticks, abreast=2))


def _answers(job: Job) -> tuple[Block, ...]:
    asked = {question.key: question for question in job.questions}
    rows = tuple(_answer_row(answer, asked.get(answer.question)) for answer in job.answers)
    if not rows:
        return ()
    columns = (
        Column(head=say("Asked"), share=3), Column(head=say("Decided"), share=2, bold=True),
        Column(head=say("By"), share=1.2), Column(head=say("Why"), share=2),
    )  # fmt: skip
    return (Heading(text=say("Decided by the office")), Table(columns=columns, rows=rows))


def _answer_row(answer: Answer, question: Question | None) -> Row:
    if question is None:
        return Row(cells=(answer.question, answer.option, answer.by, answer.why))
    says = next((o.says for o in question.options if o.key == answer.option), answer.option)
    return Row(
        cells=(
            say("{place}: {says}", place=question.place, says=question.says),
            says,
            answer.by,
            answer.why,
        )
    )


def _assumed(job: Job) -> tuple[Block, ...]:
    if not job.assumed:
        return ()
    places: dict[str, list[str]] = {}
    for assumed in job.assumed:
        places.setdefault(assumed.says, []).append(assumed.place)
    ticks = tuple(
        Tick(text=say("{where}: {says}", where=row(where), says=says))
        for says, where in places.items()
    )
    heading = Heading(text=say("Assumed, not measured: verify on site"))
    return (heading, Ticks(ticks=ticks, abreast=2))


def _complete(plan: Plan) -> tuple[Block, ...]:
    columns = (
        Column(head=say("Nothing left out"), share=1.7),
        Column(head=say("Job"), share=2.1, align="right"),
        Column(head=say("Sheets"), share=2.1, align="right"),
        Column(head=say("Equal"), share=0.55),
    )
    rows = tuple(
        Row(
            cells=(what, head, sheets, say("equal") if same else say("NOT EQUAL: call")),
            strong=not same,
        )
        for what, head, sheets, same in plan.compliance.complete
    )
    return (Heading(text=say("Counts checked")), Table(columns=columns, rows=rows, size="small"))
