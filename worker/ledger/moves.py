"""Moving a row from one state to the next: conditional, fenced, and written down.

A move names the states it may start from. A worker's move also names the attempt it holds:
a worker that was given up for lost and comes back late changes nothing.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Any, Final

from sqlalchemy import Row, Table, insert, select, update

from worker.ledger.opening import Tx
from worker.ledger.tables import bundles, events, jobs

UNFINISHED: Final = frozenset({"received", "planned"})
"""Somebody must still work on it."""

LIVE: Final = UNFINISHED | {"held", "refused", "packed", "bundled", "delivered", "failed"}
"""It counts; only withdrawn and replaced jobs do not."""

WITH_PACK: Final = frozenset({"packed", "bundled", "delivered"})

OFF: Final = frozenset({"withdrawn", "replaced"})
"""It counts no more."""

ON_PAPER: Final = frozenset({"bundled", "delivered"})
"""Its pack may be in a crew's hands."""

THING: Final = {jobs: "job", bundles: "bundle"}


def note(tx: Tx, *, thing: str, thing_id: int, was: str, now: str, cause: str) -> None:
    """Write down a change, with its time and cause."""
    tx.sql.execute(
        insert(events).values(
            at_ms=tx.now_ms, thing=thing, thing_id=thing_id, was=was, now=now, cause=cause
        )
    )


def move(
    tx: Tx,
    table: Table,
    row_id: int,
    *,
    start: Collection[str],
    to: str,
    cause: str,
    fence: int | None = None,
    **values: object,
) -> bool:
    """Move a row, if it stands where the move starts; whether it did.

    Args:
        tx: The transaction.
        table: `jobs` or `bundles`.
        row_id: The row.
        start: States the move may start from.
        to: State after it.
        cause: Why, for the row in `events`.
        fence: Attempt of the claim under which the move is made; none: not a worker's move.
        **values: Further columns to set.
    """
    row = locked(tx, table, row_id)
    if row is None or row.state not in start or fence not in {None, row.attempt}:
        return False
    tx.sql.execute(update(table).where(table.c.id == row_id).values(state=to, **values))
    note(tx, thing=THING[table], thing_id=row_id, was=row.state, now=to, cause=cause)
    return True


def locked(tx: Tx, table: Table, row_id: int) -> Row[Any] | None:
    """A row that nobody else may change until this transaction ends."""
    return tx.sql.execute(select(table).where(table.c.id == row_id).with_for_update()).first()
