"""Locks: who alone may do a thing at the moment, for the length of a lease.

Each new holder gets a higher number, its fence. One that was given up for lost and comes back
late can neither renew nor give back what is another's by then.
"""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Table, select, update
from sqlalchemy.dialects import postgresql, sqlite

from worker.ledger.opening import Tx
from worker.ledger.tables import locks
from worker.retries import lasts


@dataclass(frozen=True, slots=True, kw_only=True)
class Lock:
    """The right to do a thing alone, until the lease ends."""

    name: str
    holder: str
    fence: int


def take(tx: Tx, name: str, *, holder: str, lease: float) -> Lock | None:
    """Take a lock; none while somebody else's lease lasts.

    Args:
        tx: The transaction.
        name: What is to be done alone.
        holder: Who does it.
        lease: How long without renewal. [s]
    """
    insert_once(tx, locks, name=name, holder="", fence=0, until_ms=0)
    row = tx.sql.execute(select(locks).where(locks.c.name == name).with_for_update()).one()
    if row.holder and lasts(row.until_ms, now_ms=tx.now_ms, lease=lease):
        return None
    lock = Lock(name=name, holder=holder, fence=row.fence + 1)
    until_ms = tx.now_ms + int(lease * 1000)
    tx.sql.execute(
        update(locks)
        .where(locks.c.id == row.id)
        .values(holder=holder, fence=lock.fence, until_ms=until_ms)
    )
    return lock


def renew(tx: Tx, lock: Lock, *, lease: float) -> bool:
    """Hold a lock for another lease; whether it is still ours."""
    return _write(tx, lock, until_ms=tx.now_ms + int(lease * 1000))


def give_back(tx: Tx, lock: Lock) -> bool:
    """Let the next one in; whether it was still ours."""
    return _write(tx, lock, until_ms=tx.now_ms, holder="")


def holder_of_lock(tx: Tx, name: str) -> str:
    """Who holds a lock now; empty for nobody."""
    row = tx.sql.execute(select(locks).where(locks.c.name == name)).first()
    return row.holder if row is not None and row.until_ms > tx.now_ms else ""


def last_held(tx: Tx, name: str) -> int:
    """When a lock's last lease ended or will end, in milliseconds since 1970; 0 for never."""
    return int(tx.sql.scalar(select(locks.c.until_ms).where(locks.c.name == name)) or 0)


def insert_once(tx: Tx, table: Table, **values: object) -> bool:
    """Insert a row unless one with its unique columns is there; whether it was inserted."""
    dialect = postgresql if tx.sql.dialect.name == "postgresql" else sqlite
    row = dialect.insert(table).values(**values).on_conflict_do_nothing()
    return tx.sql.execute(row.returning(table.c.id)).first() is not None


def _write(tx: Tx, lock: Lock, **values: object) -> bool:
    ended = tx.sql.execute(
        update(locks).where(locks.c.name == lock.name, locks.c.fence == lock.fence).values(**values)
    )
    return ended.rowcount == 1
