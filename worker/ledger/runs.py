"""Runs of nights as the schedule has them: one row a company, work day and kind of run.

However many schedulers tick, however late, a run has one row: it is started once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from sqlalchemy import Row, select, update

from services.delivery import DueRun
from worker.ledger.locks import insert_once
from worker.ledger.moves import LIVE, note
from worker.ledger.opening import Tx
from worker.ledger.tables import jobs, night_runs, nights

OPEN: Final = ("due", "running")

ASKED: Final = "asked"
"""Kind of a run that somebody asked for by hand; the other kinds are the schedule's."""

STRIKES: Final = 5
"""So many looks may a run break before it is set aside: minutes, for what mends itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunRow:
    """One run of the schedule."""

    id: int
    company: str
    work_date: date
    kind: str
    state: str
    since_ms: int
    until_ms: int
    run: int
    """Which run of its night it became; 0 before."""
    strikes: int
    """Looks that it broke."""
    error: str
    """What broke the last of them, in a line; empty: nothing did."""


def write_down(tx: Tx, company: str, due: Sequence[DueRun]) -> list[RunRow]:
    """Write down runs that are due; those that were not known before."""
    new = [run for run in due if _insert(tx, company, run)]
    return [row for run in new for row in [_known(tx, company, run)] if row is not None]


def ask(tx: Tx, company: str, day: date, *, patience: float) -> RunRow:
    """Write down a run that somebody asks for: it is due at once, and overtakes what runs.

    Args:
        tx: The transaction.
        company: The company's key.
        day: The day the crews work.
        patience: How long to wait for packs. [s]
    """
    for run in open_runs(tx, company):
        if run.work_date == day and run.kind != ASKED:
            to(tx, run, "overtaken", cause="a run was asked for")
    insert_once(
        tx, night_runs,
        company=company, work_date=day, kind=ASKED, state="due", since_ms=tx.now_ms, until_ms=0,
        run=0, started_ms=0, ended_ms=0,
    )  # fmt: skip
    mine = night_runs.c.company == company, night_runs.c.work_date == day
    row = tx.sql.execute(select(night_runs).where(*mine, night_runs.c.kind == ASKED)).one()
    times = {"since_ms": tx.now_ms, "until_ms": tx.now_ms + int(patience * 1000)}
    to(tx, _run(row), "due", cause=f"asked for {day}", run=0, strikes=0, error="", **times)
    return _run(row)


def is_asked_for(tx: Tx, company: str, day: date) -> bool:
    """Whether a run of a night was asked for and has not been started yet."""
    asked = [run for run in open_runs(tx, company) if run.work_date == day and run.kind == ASKED]
    return any(run.state == "due" for run in asked)


def open_runs(tx: Tx, company: str) -> list[RunRow]:
    """Runs to be started or gone on with, by work day."""
    rows = (
        select(night_runs)
        .where(night_runs.c.company == company, night_runs.c.state.in_(OPEN))
        .order_by(night_runs.c.work_date, night_runs.c.since_ms.desc())
    )
    return [_run(row) for row in tx.sql.execute(rows)]


def strike(tx: Tx, row: RunRow, *, error: str) -> str:
    """Write down that a run broke a look; the state it has now: after some it is set aside."""
    strikes = row.strikes + 1
    state = "failed" if strikes >= STRIKES else row.state
    ended = {"ended_ms": tx.now_ms} if state == "failed" else {}
    to(tx, row, state, cause=f"broke: {error}", strikes=strikes, error=error, **ended)
    return state


def set_aside(tx: Tx, company: str, *, day: date | None = None) -> list[RunRow]:
    """Runs that are set aside and whose night nobody has run since, by work day.

    Args:
        tx: The transaction.
        company: The company's key.
        day: Of this work day only; none: of all.
    """
    since = (
        select(nights.c.id)
        .where(
            nights.c.company == night_runs.c.company,
            nights.c.work_date == night_runs.c.work_date,
            nights.c.closed_ms > night_runs.c.ended_ms,
        )
        .exists()
    )
    rows = select(night_runs).where(
        night_runs.c.company == company, night_runs.c.state == "failed", ~since
    )
    if day is not None:
        rows = rows.where(night_runs.c.work_date == day)
    return [_run(row) for row in tx.sql.execute(rows.order_by(night_runs.c.work_date))]


def to(tx: Tx, row: RunRow, state: str, *, cause: str, **values: object) -> None:
    """Move a run on."""
    changed = update(night_runs).where(night_runs.c.id == row.id)
    tx.sql.execute(changed.values(state=state, **values))
    note(tx, thing="run", thing_id=row.id, was=row.state, now=state, cause=cause)


def days_with_jobs(tx: Tx, *, since: date) -> set[date]:
    """Days of work, from one on, on which a job stands that counts."""
    rows = select(jobs.c.install_date).where(jobs.c.install_date >= since, jobs.c.state.in_(LIVE))
    return set(tx.sql.scalars(rows.distinct()))


def _insert(tx: Tx, company: str, run: DueRun) -> bool:
    """A missed night is only one that nobody ever ran."""
    if run.kind == "missed" and _was_run(tx, company, run.work_date):
        return False
    state = "missed" if run.kind == "missed" else "due"
    return insert_once(
        tx, night_runs,
        company=company, work_date=run.work_date, kind=run.kind, state=state,
        since_ms=int(run.since.timestamp() * 1000), until_ms=int(run.until.timestamp() * 1000),
        run=0, started_ms=0, ended_ms=0,
    )  # fmt: skip


def _was_run(tx: Tx, company: str, day: date) -> bool:
    rows = select(nights.c.id).where(nights.c.company == company, nights.c.work_date == day)
    return tx.sql.execute(rows).first() is not None


def _known(tx: Tx, company: str, run: DueRun) -> RunRow | None:
    rows = select(night_runs).where(
        night_runs.c.company == company,
        night_runs.c.work_date == run.work_date,
        night_runs.c.kind == run.kind,
    )
    row = tx.sql.execute(rows).first()
    if row is None:
        return None
    found = _run(row)
    cause = f"{run.kind} run for {run.work_date}, due {run.since.isoformat(timespec='minutes')}"
    note(tx, thing="run", thing_id=found.id, was="", now=found.state, cause=cause)
    return found


def _run(row: Row[Any]) -> RunRow:
    return RunRow(
        id=row.id, company=row.company, work_date=row.work_date, kind=row.kind, state=row.state,
        since_ms=row.since_ms, until_ms=row.until_ms, run=row.run, strikes=row.strikes,
        error=row.error,
    )  # fmt: skip
