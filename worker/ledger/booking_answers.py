"""What the office decided about a day's bookings: one row an answer, bound to what was asked."""

from __future__ import annotations

from sqlalchemy import insert, select

from schemas.bundle import DecidedBooking
from worker.ledger.moves import note
from worker.ledger.nights import NightRow
from worker.ledger.opening import Tx
from worker.ledger.tables import booking_answers

OF_NIGHT = tuple(DecidedBooking.model_fields)


def decided(tx: Tx, night: NightRow) -> tuple[DecidedBooking, ...]:
    """All answers of a night; the latest to each question as it was asked."""
    rows = select(booking_answers).where(booking_answers.c.night_id == night.id)
    latest = {
        (row.question, row.says): DecidedBooking(**{name: getattr(row, name) for name in OF_NIGHT})
        for row in tx.sql.execute(rows.order_by(booking_answers.c.id))
    }
    return tuple(latest.values())


def decide(tx: Tx, night: NightRow, answer: DecidedBooking) -> None:
    """Put an answer on record; the night's next run goes by it."""
    values = {"night_id": night.id, "at_ms": tx.now_ms, **answer.model_dump(mode="json")}
    tx.sql.execute(insert(booking_answers).values(**values))
    cause = f"{answer.by} answered {answer.question}: {answer.option} ({answer.why})"
    state = night.state
    note(tx, thing="night", thing_id=night.id, was=state, now=state, cause=cause[:1000])
