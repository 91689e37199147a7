"""What is due, and whose doorbell must be rung (again).

A message may be lost, doubled or late. A row rings when it has never been rung, when its
worker's lease ran out, or when its message must be lost: the queue is empty, or hours passed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import ColumnElement, Row, Table, select, update

from worker.ledger.claims import CLAIMABLE
from worker.ledger.opening import Tx
from worker.ledger.tables import bundles, jobs
from worker.queues import MAKE_BUNDLE, MAKE_PACK, NIGHT
from worker.retries import RING_AGAIN, RING_AGAIN_IDLE, WAIT_AHEAD, lease_ahead_ms

AT_ONCE: Final = 500
"""Rows a pass rings for at most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """One message to be sent."""

    task: str
    row_id: int
    queue: str


def to_ring(tx: Tx, *, idle: bool, lease: float) -> list[Ring]:
    """The messages that are due now, asked-for-now before the night's.

    Args:
        tx: The transaction.
        idle: The queues hold no message: whatever was rung for and not claimed is lost.
        lease: How long a claim is given for. [s]
    """
    age_ms = int(1000 * (RING_AGAIN_IDLE if idle else RING_AGAIN))
    packs = _due(tx, jobs, age_ms, lease, jobs.c.wanted != "")
    found = [Ring(task=MAKE_PACK, row_id=r.id, queue=r.wanted) for r in packs]
    made = _due(tx, bundles, age_ms, lease)
    found += [bundle_ring(r.id) for r in made]
    return sorted(found, key=lambda ring: ring.queue == NIGHT)


def bundle_ring(bundle_id: int) -> Ring:
    """The message for a bundle."""
    return Ring(task=MAKE_BUNDLE, row_id=bundle_id, queue=NIGHT)


def rung(tx: Tx, rings: Sequence[Ring]) -> None:
    """Write down that the messages were sent."""
    for table, task in ((jobs, MAKE_PACK), (bundles, MAKE_BUNDLE)):
        ids = [ring.row_id for ring in rings if ring.task == task]
        tx.sql.execute(update(table).where(table.c.id.in_(ids)).values(rung_ms=tx.now_ms))


def _due(
    tx: Tx, table: Table, age_ms: int, lease: float, *conditions: ColumnElement[bool]
) -> list[Row[Any]]:
    """Rows to ring for; times far ahead are of a clock that has been put back since."""
    columns = table.c
    far_ms = int(1000 * WAIT_AHEAD)
    rows = (
        select(table)
        .where(
            columns.state.in_(CLAIMABLE[table]),
            ~columns.lease_until_ms.between(tx.now_ms + 1, tx.now_ms + lease_ahead_ms(lease)),
            ~columns.not_before_ms.between(tx.now_ms + 1, tx.now_ms + far_ms),
            (columns.rung_ms <= tx.now_ms - age_ms)
            | (columns.rung_ms > tx.now_ms + far_ms)
            | (columns.lease_until_ms > columns.rung_ms),
            *conditions,
        )
        .order_by(columns.id)
        .limit(AT_ONCE)
    )
    return list(tx.sql.execute(rows).all())
