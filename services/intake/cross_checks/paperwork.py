"""Who measured and when, what the authority knows, what comes off first."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from schemas.company import FixingDetail
from schemas.job import Job
from schemas.site import Option, Question
from schemas.wording import say
from services.intake.cross_checks.asking import GO_ON
from services.wording.terms import term

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
STALE = timedelta(weeks=12)
"""A measure older than this on the day of work is asked about. Source: common practice."""
LEAD_BANNED = 1978
"""Year from which US house paint is taken to hold no lead. Source: 40 CFR 745.83 (target
housing is that constructed before 1978)."""


def check(job: Job) -> tuple[Question, ...]:
    """Doubts about the measure's standing and the job's papers."""
    return (
        *_kind(job),
        *_age(job),
        *_day_off(job),
        *_deck_work(job),
        *_permit(job),
        *_inspection(job),
        *_old_paint(job),
        *_no_stair(job),
        *_mount(job),
    )


def _kind(job: Job) -> Iterator[Question]:
    if job.measured.kind == "sales":
        yield Question(
            key="measure.sales",
            severity="hold",
            place=say("Job"),
            says=say(
                "The only measure, by {by}, was taken for the price, not to cut to.",
                by=job.measured.by,
            ),
            ask=say(
                "Is there a final measure? Until then nothing is cut before it is taken again."
            ),
            options=(GO_ON,),
        )


def _age(job: Job) -> Iterator[Question]:
    age = job.install_date - date.fromisoformat(job.measured.on)
    if age > STALE:
        yield Question(
            key="measure.old",
            severity="hold",
            place=say("Job"),
            says=say(
                "The measure of {on} will be {weeks} weeks old on the day of work ({day}).",
                on=job.measured.on,
                weeks=age.days // 7,
                day=job.install_date.isoformat(),
            ),
            ask=say("Has anything been built or moved on the site since?"),
            options=(Option(key="unchanged", says=say("Nothing changed on the site")), GO_ON),
        )
    if age < timedelta(0):
        yield Question(
            key="measure.later",
            severity="hold",
            place=say("Job"),
            says=say(
                "The measure is dated {on}, after the day of work ({day}).",
                on=job.measured.on,
                day=job.install_date.isoformat(),
            ),
            ask=say("Which of the two dates is wrong?"),
            options=(GO_ON,),
        )


def _day_off(job: Job) -> Iterator[Question]:
    day = job.install_date
    closed = {off.day: off.says for off in job.company.days_off}
    weekday = WEEKDAYS[day.weekday()]
    if day in closed:
        why = say("the company is closed for {why}", why=closed[day])
    elif weekday not in job.company.work_days:
        why = say("no crew goes out on that day of the week")
    else:
        return
    yield Question(
        key="install-date.day-off",
        severity="hold",
        place=say("Job"),
        says=say("The day of work, {day}, is a day off: {why}.", day=day.isoformat(), why=why),
        ask=say("Is that day meant, and has the crew agreed? If not, move the job."),
        options=(Option(key="agreed", says=say("Meant, and the crew has agreed")), GO_ON),
    )


def _deck_work(job: Job) -> Iterator[Question]:
    if job.deck_work is not None and job.measured.on <= job.deck_work.isoformat():
        yield Question(
            key="measure.before-deck",
            severity="hold",
            place=say("Job"),
            says=say(
                "The measure was taken on {measured}, and others still built at the deck on {day}.",
                measured=job.measured.on,
                day=job.deck_work.isoformat(),
            ),
            ask=say("Was the finished deck measured?"),
            options=(Option(key="finished", says=say("What was measured is finished")), GO_ON),
        )


def _inspection(job: Job) -> Iterator[Question]:
    if job.inspection is not None and job.inspection <= job.install_date:
        yield Question(
            key="inspection.early",
            severity="hold",
            place=say("Job"),
            says=say(
                "The inspector is booked for {inspection}; the work is done on {day} at the "
                "earliest.",
                inspection=job.inspection.isoformat(),
                day=job.install_date.isoformat(),
            ),
            ask=say("Is the inspection moved, or is it one of posts or fixings only?"),
            options=(Option(key="of-fixings", says=say("It is one of posts or fixings")), GO_ON),
        )


def _permit(job: Job) -> Iterator[Question]:
    if job.permit is None:
        yield Question(
            key="permit.unknown",
            severity="hold",
            place=say("Job"),
            says=say("No permit number is recorded."),
            ask=say("Is a permit needed here, and has it been given? The authority decides."),
            options=(
                Option(key="not-needed", says=say("The authority said that none is needed")),
                GO_ON,
            ),
        )


def _old_paint(job: Job) -> Iterator[Question]:
    year = job.site.year_built
    if not job.remove_feet or (year is not None and year >= LEAD_BANNED):
        return
    when = say("was built in {year}", year=year) if year else say("is of unknown age")
    yield Question(
        key="paint.old",
        severity="hold",
        place=say("Old railing"),
        says=say(
            "The house {when}, and {remove_feet} ft of old railing come off.",
            when=when,
            remove_feet=f"{job.remove_feet:g}",
        ),
        ask=say("Is the old railing painted, and is lead-safe work arranged where it applies?"),
        options=(Option(key="no-old-paint", says=say("No old paint on what comes off")), GO_ON),
    )


def _no_stair(job: Job) -> Iterator[Question]:
    promised = [line for line in job.promises if "stair" in line.casefold()]
    if promised and not job.stairs:
        yield Question(
            key="stair.missing",
            severity="stop",
            place=say("Job"),
            says=say(
                'The customer was promised "{promised}", but no stair was measured.',
                promised=promised[0],
            ),
            ask=say("Was a stair sold that was left out of the measure?"),
            options=(Option(key="no-stair", says=say("No stair rail was sold")),),
        )


def _mount(job: Job) -> Iterator[Question]:
    feet = [
        _named(job, number)
        for stair in job.stairs
        for number in (stair.lower_post.detail, stair.mid_detail)
    ]
    details = {detail.key: detail for detail in (job.detail, *feet) if detail}
    asked = [question for detail in details.values() for question in _mounted(job, detail)]
    yield from {question.key: question for question in asked}.values()


def _named(job: Job, number: str | None) -> FixingDetail | None:
    return next((detail for detail in job.company.details if detail.key == number), None)


def _mounted(job: Job, detail: FixingDetail) -> Iterator[Question]:
    mount = detail.mount
    if mount == "surface" and job.post.boards == "membrane":
        yield Question(
            key="mount.membrane",
            severity="hold",
            place=say("Posts"),
            says=say("Posts are screwed down through a waterproof membrane."),
            ask=say("Who seals the holes, and does the membrane's maker allow them?"),
            options=(Option(key="sealed", says=say("Sealing is arranged and allowed")), GO_ON),
        )
    if mount == "surface" and job.post.blocking is False:
        yield Question(
            key="mount.no-blocking",
            severity="hold",
            place=say("Posts"),
            says=say("Posts stand on the boards, and no solid blocking is under them."),
            ask=say("Who puts blocking in before the posts are set?"),
            options=(GO_ON,),
        )
    known = {"surface": job.post.blocking, "concrete": job.post.edge_distance}
    if mount not in known or known[mount] is not None:
        return
    unknown = (
        say("the blocking under the boards")
        if mount == "surface"
        else say("the distance from the anchors to the concrete's edge")
    )
    yield Question(
        key=f"mount.{mount}",
        severity="hold",
        place=say("Posts"),
        says=say(
            "Detail {detail} mounts posts on the {mount}; the measure does not tell {unknown}.",
            detail=detail.key,
            mount=term(mount),
            unknown=unknown,
        ),
        ask=say("Has someone looked, and does it agree with the detail?"),
        options=(Option(key="looked", says=say("Looked at; it agrees with the detail")), GO_ON),
    )
