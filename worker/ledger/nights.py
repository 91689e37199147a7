"""A night: which jobs at which revision are due for which crews, one row a work date.

Opening a night again brings it up to date; what has not changed since is left as it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from sqlalchemy import delete, func, insert, select, update

from schemas.errors import NotNow
from worker.ledger.deciding import start_again
from worker.ledger.moves import LIVE, ON_PAPER, UNFINISHED, WITH_PACK, move, note
from worker.ledger.opening import Tx
from worker.ledger.records import JobRow, job_by_id, job_of
from worker.ledger.tables import bundles, due, events, jobs, nights
from worker.queues import NIGHT


class Overtaken(NotNow):
    """Another run of the same night was started meanwhile; what this one found counts no more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NightRow:
    """One night."""

    id: int
    company: str
    work_date: date
    issued: str
    state: str
    """Open while a run of it goes on, closed after."""
    runs: int
    """Which run it is: the fence of all that the run writes at its end."""
    opened_ms: int
    closed_ms: int
    """0 while it is open."""
    report: str
    """Name in the store of its last run's report; empty before the first has ended."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recall:
    """A pack that may be on paper and whose job is no longer on that crew's day."""

    job: str
    revision: int
    crew: str
    code: str
    why: str


def open_night(tx: Tx, *, company: str, day: date, issued: str) -> NightRow:
    """Open the night for a work date, or open it again.

    Args:
        tx: The transaction.
        company: The company's key.
        day: The day the crews work, in the company's zone.
        issued: The day printed as that of issue, kept from the first opening on.
    """
    row = tx.sql.execute(
        select(nights)
        .where(nights.c.company == company, nights.c.work_date == day)
        .with_for_update()
    ).first()
    if row is None:
        first = insert(nights).values(
            company=company, work_date=day, issued=issued, state="open", runs=0, opened_ms=0
        )
        row = tx.sql.execute(first.returning(*nights.c)).one()
    opened = {"state": "open", "runs": row.runs + 1, "opened_ms": tx.now_ms, "closed_ms": 0}
    tx.sql.execute(update(nights).where(nights.c.id == row.id).values(**opened))
    cause = f"run {row.runs + 1} for {day}"
    note(tx, thing="night", thing_id=row.id, was=row.state, now="open", cause=cause)
    night = night_of(tx, row.id)
    _list_due(tx, night)
    return night


def close_night(tx: Tx, night: NightRow, *, report: str) -> None:
    """Write down that the run has ended, and where its report is kept.

    Raises:
        Overtaken: A later run has started.
    """
    hold_fence(tx, night)
    closed = {"state": "closed", "closed_ms": tx.now_ms, "report": report}
    tx.sql.execute(update(nights).where(nights.c.id == night.id).values(**closed))
    cause = f"run {night.runs} ended"
    note(tx, thing="night", thing_id=night.id, was="open", now="closed", cause=cause)


def hold_fence(tx: Tx, night: NightRow) -> None:
    """Let a run go on only while it is its night's latest; nobody starts another meanwhile.

    Raises:
        Overtaken: A later run has started.
    """
    latest = select(nights.c.runs).where(nights.c.id == night.id).with_for_update()
    runs = tx.sql.execute(latest).scalar_one()
    if runs != night.runs:
        msg = f"run {night.runs} for {night.work_date} was overtaken by run {runs}"
        raise Overtaken(msg)


def night_for(tx: Tx, *, company: str, day: date) -> NightRow | None:
    """The night of a work day, if it was ever opened."""
    rows = select(nights.c.id).where(nights.c.company == company, nights.c.work_date == day)
    found = tx.sql.execute(rows).scalar()
    return None if found is None else night_of(tx, found)


def newest_day(tx: Tx, *, company: str, until: date) -> date | None:
    """The latest work day, up to one, of which a night was opened."""
    mine = nights.c.company == company, nights.c.work_date <= until
    return tx.sql.execute(select(func.max(nights.c.work_date)).where(*mine)).scalar()


def night_of(tx: Tx, night_id: int) -> NightRow:
    """The night of that row number."""
    row = tx.sql.execute(select(nights).where(nights.c.id == night_id)).one()
    return NightRow(
        id=row.id, company=row.company, work_date=row.work_date, issued=row.issued,
        state=row.state, runs=row.runs, opened_ms=row.opened_ms, closed_ms=row.closed_ms,
        report=row.report,
    )  # fmt: skip


def due_jobs(tx: Tx, night: NightRow, bundle_id: int | None = None) -> list[JobRow]:
    """The jobs of a night, or of one bundle of it, by crew and number."""
    rows = (
        select(jobs)
        .join(due, due.c.job_id == jobs.c.id)
        .where(due.c.night_id == night.id)
        .order_by(jobs.c.crew, jobs.c.job)
    )
    if bundle_id is not None:
        rows = rows.where(due.c.bundle_id == bundle_id)
    return [job_of(row) for row in tx.sql.execute(rows)]


def make_again(tx: Tx, job_id: int, *, cause: str) -> None:
    """Send a job back whose pack is no longer what its submission and the library make."""
    row = job_by_id(tx, job_id)
    if row.state in WITH_PACK:
        start_again(tx, row, cause=cause)


def recalled(tx: Tx, *, day: date, crew: str) -> list[Recall]:
    """Packs a crew may hold for a day on which the job is no longer its own."""
    gone = tx.sql.execute(
        select(jobs)
        .where(
            jobs.c.install_date == day,
            jobs.c.crew == crew,
            jobs.c.on_paper != "",
            jobs.c.state.in_({"withdrawn", "replaced"}),
        )
        .order_by(jobs.c.job, jobs.c.revision)
    )
    here = select(jobs.c.job).where(
        jobs.c.install_date == day, jobs.c.crew == crew, jobs.c.state.in_(LIVE)
    )
    stays = set(tx.sql.scalars(here))
    return [
        Recall(job=row.job, revision=row.revision, crew=crew, code=row.on_paper, why=row.state)
        for row in gone
        if row.job not in stays
    ]


def changed_since(tx: Tx, night: NightRow) -> list[JobRow]:
    """Jobs of a closed night's day that came, changed or were withdrawn after it was closed."""
    later = select(events.c.thing_id).where(
        events.c.thing == "job",
        events.c.now.in_(UNFINISHED | {"held", "withdrawn"}),
        events.c.was != events.c.now,
        events.c.at_ms >= night.closed_ms,
    )
    rows = (
        select(jobs)
        .where(
            jobs.c.install_date == night.work_date,
            jobs.c.state.in_(UNFINISHED | {"held"})
            | ((jobs.c.state == "withdrawn") & (jobs.c.on_paper != "")),
            jobs.c.id.in_(later),
        )
        .order_by(jobs.c.crew, jobs.c.job)
    )
    return [job_of(row) for row in tx.sql.execute(rows)]


def crews_to_tell(tx: Tx, day: date) -> set[str]:
    """Crews that have work on a day, or may hold paper for it."""
    at_work = select(jobs.c.crew).where(
        jobs.c.install_date == day, jobs.c.state.in_(LIVE) | (jobs.c.on_paper != "")
    )
    return set(tx.sql.scalars(at_work))


def _list_due(tx: Tx, night: NightRow) -> None:
    """Bring the list of due jobs, and a bundle for each crew, up to date."""
    tx.sql.execute(delete(due).where(due.c.night_id == night.id))
    bundle_of = {crew: _bundle(tx, night, crew) for crew in crews_to_tell(tx, night.work_date)}
    due_now = select(jobs).where(jobs.c.install_date == night.work_date, jobs.c.state.in_(LIVE))
    for row in tx.sql.execute(due_now.order_by(jobs.c.id)).all():
        tx.sql.execute(
            insert(due).values(night_id=night.id, bundle_id=bundle_of[row.crew], job_id=row.id)
        )
        if not row.wanted:
            tx.sql.execute(update(jobs).where(jobs.c.id == row.id).values(wanted=NIGHT))


def _bundle(tx: Tx, night: NightRow, crew: str) -> int:
    found = tx.sql.execute(
        select(bundles.c.id).where(bundles.c.night_id == night.id, bundles.c.crew == crew)
    ).scalar()
    if found is not None:
        return int(found)
    made = insert(bundles).values(night_id=night.id, crew=crew, state="waiting")
    return int(tx.sql.execute(made.returning(bundles.c.id)).scalar_one())


def to_paper(tx: Tx, job_ids: list[int], *, to: str, cause: str) -> None:
    """Mark packs as bundled, or delivered: from now on a crew may hold them."""
    start = {"bundled": {"packed"}, "delivered": ON_PAPER}[to]
    for job_id in job_ids:
        code = job_by_id(tx, job_id).code
        move(tx, jobs, job_id, start=start - {to}, to=to, cause=cause, on_paper=code)
