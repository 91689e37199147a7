"""Lists of jobs, page by page, and how many there are of each kind."""

from __future__ import annotations

from datetime import date

from sqlalchemy import func, select

from worker.ledger.moves import UNFINISHED
from worker.ledger.opening import Tx
from worker.ledger.records import JobRow, job_of
from worker.ledger.tables import jobs, nights, submissions
from worker.queues import PACKS


def jobs_page(
    tx: Tx,
    *,
    day: date | None = None,
    crew: str | None = None,
    state: str | None = None,
    after: int = 0,
    limit: int,
) -> list[JobRow]:
    """Jobs at their highest revision, in the order in which they came.

    Args:
        tx: The transaction.
        day: Day of work; none: any.
        crew: Crew key; none: any.
        state: Where they stand; none: anywhere. `replaced` finds lower revisions.
        after: Row number after which the page begins.
        limit: Most rows.
    """
    rows = select(jobs).where(jobs.c.id > after).order_by(jobs.c.id).limit(limit)
    if state != "replaced":
        rows = rows.where(jobs.c.state != "replaced")
    for column, value in ((jobs.c.install_date, day), (jobs.c.crew, crew), (jobs.c.state, state)):
        if value is not None:
            rows = rows.where(column == value)
    return [job_of(row) for row in tx.sql.execute(rows)]


def counted(tx: Tx) -> dict[str, int]:
    """How many jobs are in which state."""
    rows = select(jobs.c.state, func.count()).group_by(jobs.c.state)
    return {state: int(number) for state, number in tx.sql.execute(rows)}


def oldest_wait_ms(tx: Tx) -> int:
    """How long the oldest job has waited that was asked for at once and is not made."""
    first = (
        select(func.min(submissions.c.received_ms))
        .join(jobs, jobs.c.submission_id == submissions.c.id)
        .where(jobs.c.state.in_(UNFINISHED), jobs.c.wanted == PACKS)
    )
    since = tx.sql.execute(first).scalar()
    return 0 if since is None else max(0, tx.now_ms - int(since))


def open_nights(tx: Tx) -> int:
    """How many nights are being run."""
    rows = select(func.count()).select_from(nights).where(nights.c.state == "open")
    return int(tx.sql.execute(rows).scalar_one())
