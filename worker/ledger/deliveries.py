"""What was put where: one row a file and target, so that nothing is delivered unsaid."""

from __future__ import annotations

from sqlalchemy import delete, insert, select

from worker.ledger.moves import note
from worker.ledger.nights import NightRow
from worker.ledger.opening import Tx
from worker.ledger.tables import deliveries


def delivered_to(tx: Tx, night: NightRow, target: str) -> dict[str, str]:
    """File names at a target that this night put there, and their SHA-256."""
    rows = select(deliveries.c.name, deliveries.c.sha256).where(
        deliveries.c.night_id == night.id, deliveries.c.target == target
    )
    return {row.name: row.sha256 for row in tx.sql.execute(rows)}


def delivered_as(tx: Tx, night: NightRow, name: str) -> str:
    """SHA-256 of the file that was last put somewhere under a name; empty for none."""
    rows = (
        select(deliveries.c.sha256)
        .where(deliveries.c.night_id == night.id, deliveries.c.name == name)
        .order_by(deliveries.c.at_ms.desc(), deliveries.c.id.desc())
    )
    return tx.sql.execute(rows.limit(1)).scalar() or ""


def deliver(tx: Tx, night: NightRow, *, target: str, name: str, sha256: str) -> None:
    """Write down that a file now stands at a target."""
    take_back(tx, night, target=target, name=name)
    put = insert(deliveries).values(
        night_id=night.id, target=target, name=name, sha256=sha256, at_ms=tx.now_ms
    )
    row_id = tx.sql.execute(put.returning(deliveries.c.id)).scalar_one()
    cause = f"{name} to {target}"
    note(tx, thing="delivery", thing_id=row_id, was="", now="delivered", cause=cause)


def take_back(tx: Tx, night: NightRow, *, target: str, name: str) -> None:
    """Write down that a file no longer stands at a target."""
    rows = (
        deliveries.c.night_id == night.id,
        deliveries.c.target == target,
        deliveries.c.name == name,
    )
    for row in tx.sql.execute(select(deliveries.c.id).where(*rows)).all():
        note(tx, thing="delivery", thing_id=row.id, was="delivered", now="taken back", cause=name)
    tx.sql.execute(delete(deliveries).where(*rows))
