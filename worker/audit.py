"""An auditor: reads ledger, store and delivered files afresh, and lists what does not agree.

It trusts no column that another one can prove: submissions are hashed again, files read
again, states followed through their events, and the night's report counted again. It changes
nothing, and may run at any time; while a night is under way unfinished jobs are not a fault.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from itertools import pairwise
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Select, select, text

from schemas.delivery import NightReport
from worker.bootstrap import Works
from worker.ledger.accepting import content_of
from worker.ledger.moves import UNFINISHED, WITH_PACK
from worker.ledger.opening import Tx
from worker.ledger.rack import SET_ASIDE, holder_of_job
from worker.ledger.reading import happened, promised
from worker.ledger.tables import bundles, deliveries, due, jobs, nights, rack, submissions
from worker.night.report import REPORT
from worker.stores import Damaged, name_of
from worker.stores.folder import HALF_WRITTEN

FOLDERS: Final = ("bundles", "packs", "plans", "orders", "shop")
"""Under a delivery folder: where the night puts files that it answers for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing that does not agree with another."""

    where: str
    says: str


def audit(works: Works, *, day: date | None = None, out: Path | None = None) -> list[Fault]:
    """List all that does not agree; empty when everything does.

    Args:
        works: The works.
        day: Work date of a night that has ended, to be audited with its report; none: no night.
        out: Delivery folder of that night.

    Raises:
        NotNow: The ledger cannot be used.
    """
    with works.ledger.writing() as tx:
        faults = [*_database(tx), *_submissions(tx), *_jobs(tx), *_rack(tx), *_stored(works, tx)]
        if day is not None:
            faults += _finished(tx, day)
            faults += _delivered(tx, day, out) if out else []
            faults += _reported(tx, day, out) if out else []
    return faults


def _database(tx: Tx) -> Iterator[Fault]:
    if tx.sql.dialect.name == "sqlite":
        said = tx.sql.scalar(text("PRAGMA integrity_check"))
        if said != "ok":
            yield Fault(where="ledger", says=str(said))


def _submissions(tx: Tx) -> Iterator[Fault]:
    """Each is what it was when it was taken in, and belongs to a job."""
    rows = select(submissions, jobs.c.job).outerjoin(jobs, jobs.c.submission_id == submissions.c.id)
    for row in tx.sql.execute(rows):
        where = f"submission {row.id}"
        if sha256(row.raw).hexdigest() != row.sha256:
            yield Fault(where=where, says="is not what was taken in")
        elif content_of(row.raw) != row.content:
            yield Fault(where=where, says="its content has another digest")
        if row.job is None:
            yield Fault(where=where, says="was taken in and belongs to no job")


def _jobs(tx: Tx) -> Iterator[Fault]:
    """Each stands where its story ends, and each step starts where the one before ended."""
    for row in tx.sql.execute(select(jobs)).all():
        where = f"job {row.job} revision {row.revision}"
        story = happened(tx, "job", row.id)
        if not story or story[0].was:
            yield Fault(where=where, says="its story has no beginning")
            continue
        for before, after in pairwise(story):
            if after.was != before.now:
                yield Fault(where=where, says=f"went from {before.now} and came from {after.was}")
        if story[-1].now != row.state:
            yield Fault(where=where, says=f"is {row.state}, its story ends {story[-1].now}")
    newest: Counter[str] = Counter()
    for row in tx.sql.execute(select(jobs.c.job).where(jobs.c.state.not_in({"replaced"}))):
        newest[row.job] += 1
    for job, number in newest.items():
        if number > 1:
            yield Fault(where=f"job {job}", says=f"has {number} revisions that count")


def _rack(tx: Tx) -> Iterator[Fault]:
    """No offcut is kept for a job that does not count, and each stands where its story ends."""
    rows = select(rack.c.id, rack.c.tag, rack.c.state, rack.c.holder)
    lost = {holder_of_job(row.id): row for row in tx.sql.execute(_off())}
    for row in tx.sql.execute(rows).all():
        where = f"offcut {row.tag}"
        if row.state == SET_ASIDE and row.holder in lost:
            job = lost[row.holder]
            yield Fault(where=where, says=f"is kept for {job.job}, which is {job.state}")
        story = happened(tx, "rack", row.id)
        if not story or story[-1].now != row.state:
            yield Fault(where=where, says=f"is {row.state}, and its story says otherwise")


def _off() -> Select[Any]:
    """Jobs that count no more."""
    return select(jobs.c.id, jobs.c.job, jobs.c.state).where(
        jobs.c.state.in_({"withdrawn", "replaced"})
    )


def _stored(works: Works, tx: Tx) -> Iterator[Fault]:
    """Every file that the ledger names is in the store, whole."""
    packs = select(jobs.c.job, jobs.c.pdf, jobs.c.plan).where(jobs.c.state.in_(WITH_PACK))
    named = {
        sha: f"{what} of {row.job}"
        for row in tx.sql.execute(packs)
        for what, sha in (("pack", row.pdf), ("plan", row.plan))
    }
    made = select(bundles.c.crew, bundles.c.pdf).where(bundles.c.state == "made")
    named |= {row.pdf: f"bundle of {row.crew}" for row in tx.sql.execute(made)}
    for sha, where in named.items():
        try:
            works.store.get(sha)
        except Damaged as no:
            yield Fault(where=where, says=str(no))


def _finished(tx: Tx, day: date) -> Iterator[Fault]:
    """After the night nothing is still being made."""
    left = select(jobs.c.job, jobs.c.state).where(
        jobs.c.install_date == day, jobs.c.state.in_(UNFINISHED)
    )
    for row in tx.sql.execute(left):
        yield Fault(where=f"job {row.job}", says=f"is still {row.state} after its night")


def _delivered(tx: Tx, day: date, out: Path) -> Iterator[Fault]:
    """What stands at the target is what the ledger says was put there: no more, no less."""
    rows = (
        select(deliveries.c.name, deliveries.c.sha256)
        .join(nights, nights.c.id == deliveries.c.night_id)
        .where(nights.c.work_date == day, deliveries.c.target == str(out.resolve()))
    )
    told = {row.name: row.sha256 for row in tx.sql.execute(rows)}
    stands = {
        path.relative_to(out).as_posix(): path
        for folder in FOLDERS
        for path in sorted((out / folder).glob("*"))
    }
    for name in sorted(told.keys() - stands.keys()):
        yield Fault(where=name, says="was delivered and is not there")
    for name in sorted(stands.keys() - told.keys()):
        half = Path(name).name.startswith(HALF_WRITTEN)
        yield Fault(where=name, says="is half a file" if half else "stands there unsaid")
    for name in sorted(told.keys() & stands.keys()):
        if name_of(stands[name].read_bytes()) != told[name]:
            yield Fault(where=name, says="is not the file that was delivered")


def _reported(tx: Tx, day: date, out: Path) -> Iterator[Fault]:
    """The report's figures are those counted again from what was accepted and from the files."""
    try:
        report = NightReport.model_validate_json((out / REPORT).read_bytes())
    except OSError:
        yield Fault(where=REPORT, says="is not there")
        return
    counted = {
        "jobs_due": len(promised(tx, day)),
        "on_day_sheets": len(list((out / "packs").glob("*.pdf"))),
        "crews made": len(list((out / "bundles").glob("*.pdf"))),
    }
    said = {
        "jobs_due": report.jobs_due,
        "on_day_sheets": report.on_day_sheets,
        "crews made": sum(crew.state == "made" for crew in report.crews),
    }
    for name, number in counted.items():
        if said[name] != number:
            yield Fault(where=REPORT, says=f"{name}: says {said[name]}, counted {number}")
    if report.on_day_sheets + report.excepted != report.jobs_due:
        yield Fault(where=REPORT, says="day sheets and exceptions are not the jobs due")
    listed = select(due.c.job_id).join(nights, nights.c.id == due.c.night_id)
    twice = Counter(tx.sql.scalars(listed.where(nights.c.work_date == day)))
    for job_id, number in twice.items():
        if number > 1:
            yield Fault(where=f"job in row {job_id}", says=f"is due {number} times")
