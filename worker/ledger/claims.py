"""Claiming a row to work on, holding it, and letting it go.

A claim counts before anything is done; it holds for the length of a lease, which the worker
renews while it lives. A claim that finds nothing to claim is a message too many: ignored.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from sqlalchemy import Table, select, update

from worker.ledger.moves import UNFINISHED, locked, move
from worker.ledger.opening import Tx
from worker.ledger.tables import bundles, jobs
from worker.retries import STRIKES, WAIT_AHEAD, lasts, wait_ms

CLAIMABLE: Final = {jobs: UNFINISHED, bundles: frozenset({"ready"})}


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """The right to work on one row, until the lease ends."""

    table: Table = field(repr=False)
    row_id: int
    attempt: int
    """The fence: no other claim of the row has this number."""
    strikes: int
    """Claims so far that ended without an answer, this one included."""


def claim(tx: Tx, table: Table, row_id: int, *, holder: str, lease: float) -> Claim | None:
    """Claim a row for a worker; none when there is nothing to do or somebody is at it.

    A row that was claimed `STRIKES` times and never answered for is set aside instead.

    Args:
        tx: The transaction.
        table: `jobs` or `bundles`.
        row_id: The row.
        holder: Host and process that claims.
        lease: How long without renewal. [s]
    """
    row = locked(tx, table, row_id)
    if (
        row is None
        or row.state not in CLAIMABLE[table]
        or lasts(row.lease_until_ms, now_ms=tx.now_ms, lease=lease)
        or tx.now_ms < row.not_before_ms <= tx.now_ms + int(1000 * WAIT_AHEAD)
    ):
        return None
    if row.strikes >= STRIKES:
        set_aside(tx, table, row_id, error=row.error or f"{STRIKES} workers were lost over it")
        return None
    held = {
        "attempt": row.attempt + 1,
        "strikes": row.strikes + 1,
        "lease_until_ms": tx.now_ms + int(lease * 1000),
        "holder": holder,
    }
    cause = f"claimed by {holder}, attempt {row.attempt + 1}"
    move(tx, table, row_id, start={row.state}, to=row.state, cause=cause, **held)
    return Claim(table=table, row_id=row_id, attempt=row.attempt + 1, strikes=row.strikes + 1)


def renew(tx: Tx, held: Claim, *, lease: float) -> bool:
    """Hold a claim for another lease; whether it is still held."""
    table = held.table
    renewed = tx.sql.execute(
        update(table)
        .where(
            table.c.id == held.row_id,
            table.c.attempt == held.attempt,
            table.c.state.in_(CLAIMABLE[table]),
        )
        .values(lease_until_ms=tx.now_ms + int(lease * 1000))
    )
    return renewed.rowcount == 1


def let_go(tx: Tx, held: Claim, *, error: str, counts: bool) -> bool:
    """Give a row back after an error that another try may not meet.

    Args:
        tx: The transaction.
        held: The claim.
        error: What happened, kept with the row.
        counts: False when the machine is at fault (disk, network): not a strike.
    """
    if counts and held.strikes >= STRIKES:
        return set_aside(tx, held.table, held.row_id, error=error, fence=held.attempt)
    row = locked(tx, held.table, held.row_id)
    if row is None:
        return False
    return move(
        tx, held.table, held.row_id,
        start=CLAIMABLE[held.table], to=row.state, fence=held.attempt,
        cause=f"given back: {error.strip().splitlines()[-1]}",
        error=error, strikes=held.strikes - (not counts), lease_until_ms=0, rung_ms=0,
        not_before_ms=tx.now_ms + wait_ms(held.strikes),
    )  # fmt: skip


def set_aside(tx: Tx, table: Table, row_id: int, *, error: str, fence: int | None = None) -> bool:
    """Take a row out of the work for good, its error kept, until somebody releases it."""
    return move(
        tx, table, row_id,
        start=CLAIMABLE[table], to="failed", fence=fence,
        cause=f"set aside: {error.strip().splitlines()[-1]}", error=error, lease_until_ms=0,
    )  # fmt: skip


def is_busy(tx: Tx, *, holder: str) -> bool:
    """Whether a process holds a lease that has not run out."""
    return any(
        tx.sql.execute(
            select(table.c.id)
            .where(table.c.holder == holder, table.c.lease_until_ms > tx.now_ms)
            .limit(1)
        ).first()
        for table in (jobs, bundles)
    )


def free(tx: Tx, *, holder: str) -> int:
    """End the leases of a process known to be dead; the number of rows."""
    return sum(
        tx.sql.execute(
            update(table)
            .where(table.c.holder == holder, table.c.lease_until_ms > tx.now_ms)
            .values(lease_until_ms=tx.now_ms, rung_ms=0)
        ).rowcount
        for table in (jobs, bundles)
    )
