"""Who measured and when, what the authority knows, what comes off first."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from schemas.job import Job
from schemas.site import Option, Question
from services.intake.cross_checks.asking import GO_ON

STALE = timedelta(weeks=12)
"""A measure older than this on the day of work is asked about. Source: common practice."""
LEAD_BANNED = 1978
"""Year from which US house paint is taken to hold no lead. Source: 40 CFR 745.83 (target
housing is that constructed before 1978)."""


def check(job: Job) -> tuple[Question, ...]:
    """Doubts about the measure's standing and the job's papers."""
    return (*_kind(job), *_age(job), *_permit(job), *_old_paint(job), *_no_stair(job), *_mount(job))


def _kind(job: Job) -> Iterator[Question]:
    if job.measured.kind == "sales":
        yield Question(
            key="measure.sales",
            severity="hold",
            place="Job",
            says=f"The only measure, by {job.measured.by}, was taken for the price, not to cut to.",
            ask="Is there a final measure? Until then nothing is cut before it is taken again.",
            options=(GO_ON,),
        )


def _age(job: Job) -> Iterator[Question]:
    age = job.install_date - date.fromisoformat(job.measured.on)
    if age > STALE:
        yield Question(
            key="measure.old",
            severity="hold",
            place="Job",
            says=(
                f"The measure of {job.measured.on} will be {age.days // 7} weeks old on the day "
                f"of work ({job.install_date.isoformat()})."
            ),
            ask="Has anything been built or moved on the site since?",
            options=(Option(key="unchanged", says="Nothing changed on the site"), GO_ON),
        )
    if age < timedelta(0):
        yield Question(
            key="measure.later",
            severity="hold",
            place="Job",
            says=(
                f"The measure is dated {job.measured.on}, after the day of work "
                f"({job.install_date.isoformat()})."
            ),
            ask="Which of the two dates is wrong?",
            options=(GO_ON,),
        )


def _permit(job: Job) -> Iterator[Question]:
    if job.permit is None:
        yield Question(
            key="permit.unknown",
            severity="hold",
            place="Job",
            says="No permit number is recorded.",
            ask="Is a permit needed here, and has it been given? The authority decides.",
            options=(
                Option(key="not-needed", says="The authority said that none is needed"),
                GO_ON,
            ),
        )


def _old_paint(job: Job) -> Iterator[Question]:
    year = job.site.year_built
    if not job.remove_feet or (year is not None and year >= LEAD_BANNED):
        return
    when = f"was built in {year}" if year else "is of unknown age"
    yield Question(
        key="paint.old",
        severity="hold",
        place="Old railing",
        says=f"The house {when}, and {job.remove_feet:g} ft of old railing come off.",
        ask="Is the old railing painted, and is lead-safe work arranged where it applies?",
        options=(Option(key="no-old-paint", says="No old paint on what comes off"), GO_ON),
    )


def _no_stair(job: Job) -> Iterator[Question]:
    promised = [line for line in job.promises if "stair" in line.casefold()]
    if promised and not job.stairs:
        yield Question(
            key="stair.missing",
            severity="stop",
            place="Job",
            says=f'The customer was promised "{promised[0]}", but no stair was measured.'[:200],
            ask="Was a stair sold that was left out of the measure?",
            options=(Option(key="no-stair", says="No stair rail was sold"),),
        )


def _mount(job: Job) -> Iterator[Question]:
    mount = job.detail.mount if job.detail else None
    if mount == "surface" and job.post.boards == "membrane":
        yield Question(
            key="mount.membrane",
            severity="hold",
            place="Posts",
            says="Posts are screwed down through a waterproof membrane.",
            ask="Who seals the holes, and does the membrane's maker allow them?",
            options=(Option(key="sealed", says="Sealing is arranged and allowed"), GO_ON),
        )
    if mount == "surface" and job.post.blocking is False:
        yield Question(
            key="mount.no-blocking",
            severity="hold",
            place="Posts",
            says="Posts stand on the boards, and no solid blocking is under them.",
            ask="Who puts blocking in before the posts are set?",
            options=(GO_ON,),
        )
    known = {"surface": job.post.blocking, "concrete": job.post.edge_distance}
    if mount not in known or known[mount] is not None:
        return
    unknown = (
        "the blocking under the boards"
        if mount == "surface"
        else "the distance from the anchors to the concrete's edge"
    )
    yield Question(
        key=f"mount.{mount}",
        severity="hold",
        place="Posts",
        says=f"Detail {job.detail.key if job.detail else ''} mounts posts on the {mount}; the "
        f"measure does not tell {unknown}.",
        ask="Has someone looked, and does it agree with the detail?",
        options=(Option(key="looked", says="Looked at; it agrees with the detail"), GO_ON),
    )
