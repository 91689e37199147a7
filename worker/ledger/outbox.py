"""The outbox: what is still to be told, to whom, and how often it was tried.

A message is written down in the transaction that finds it due, once a receiver, and stays until
it was taken or given up: told at least once, and recognisable when it comes twice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from sqlalchemy import select, update

from schemas.signals import Receiver, Signal
from worker import clock
from worker.ledger.locks import insert_once
from worker.ledger.opening import Tx
from worker.ledger.tables import bundles, codes, events, jobs, night_runs, nights, outbox, refusals

AT_ONCE: Final = 500
"""Events looked at in one pass at most."""

WEBHOOK: Final = "webhook"
MAIL: Final = "mail"

DUE: Final = "due"
SENT: Final = "sent"
GIVEN_UP: Final = "given up"
GONE: Final = "gone"
"""The receiver wants no more of them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Message:
    """One thing to be told to one receiver."""

    id: int
    kind: str
    target: str
    """Key of a webhook's receiver, or a mail address."""
    message_id: str
    """The same however often it is sent."""
    body: str
    tries: int


def put(tx: Tx, *, kind: str, target: str, message_id: str, body: str) -> bool:
    """Have something told; false if that very thing was put before."""
    return insert_once(
        tx, outbox,
        kind=kind, target=target, message_id=message_id, body=body, state=DUE,
        tries=0, not_before_ms=0, made_ms=tx.now_ms, sent_ms=0, error="",
    )  # fmt: skip


def due_messages(tx: Tx, *, most: int) -> list[Message]:
    """What is to be told now, the oldest first."""
    rows = (
        select(outbox)
        .where(outbox.c.state == DUE, outbox.c.not_before_ms <= tx.now_ms)
        .order_by(outbox.c.id)
        .limit(most)
    )
    return [
        Message(
            id=row.id, kind=row.kind, target=row.target, message_id=row.message_id,
            body=row.body, tries=row.tries,
        )
        for row in tx.sql.execute(rows)
    ]  # fmt: skip


def sent(tx: Tx, message: Message) -> None:
    """It was taken."""
    _set(tx, message, state=SENT, sent_ms=tx.now_ms, error="")


def put_off(tx: Tx, message: Message, *, error: str, wait: float) -> None:
    """It was not taken; try again after so many seconds."""
    later = tx.now_ms + int(wait * 1000)
    _set(tx, message, not_before_ms=later, error=error)


def give_up(tx: Tx, message: Message, *, error: str) -> None:
    """It will never be taken."""
    _set(tx, message, state=GIVEN_UP, error=error)


def turn_off(tx: Tx, message: Message, *, error: str) -> None:
    """The receiver wants no more: nothing further is put out or sent to it."""
    _set(tx, message, state=GONE, error=error)
    rest = update(outbox).where(
        outbox.c.kind == message.kind, outbox.c.target == message.target, outbox.c.state == DUE
    )
    tx.sql.execute(rest.values(state=GONE, error=error))


def is_off(tx: Tx, target: str) -> bool:
    """Whether a receiver has said that it wants no more."""
    rows = select(outbox.c.id).where(outbox.c.target == target, outbox.c.state == GONE).limit(1)
    return tx.sql.execute(rows).first() is not None


def turn_on(tx: Tx, target: str) -> int:
    """Tell a receiver again, beginning with what it missed; the number of messages."""
    rows = update(outbox).where(outbox.c.target == target, outbox.c.state == GONE)
    return tx.sql.execute(rows.values(state=DUE, tries=0, not_before_ms=0)).rowcount


def counts(tx: Tx) -> dict[tuple[str, str], int]:
    """Messages by kind and state."""
    found: dict[tuple[str, str], int] = {}
    for row in tx.sql.execute(select(outbox.c.kind, outbox.c.state)):
        found[row.kind, row.state] = found.get((row.kind, row.state), 0) + 1
    return found


def fan_out(tx: Tx, receivers: Sequence[Receiver]) -> int:
    """Put out, for every receiver, what has happened since the last time; events looked at."""
    news = select(events).where(events.c.told == 0).order_by(events.c.id).limit(AT_ONCE)
    rows = tx.sql.execute(news).all()
    wanted = [receiver for receiver in receivers if not is_off(tx, receiver.key)]
    for row in rows:
        signal = _signal(tx, row.thing, row.thing_id, row.was, row.now, row.at_ms)
        for receiver in wanted if signal else ():
            assert signal is not None
            if not receiver.topics or signal.type in receiver.topics:
                put(
                    tx, kind=WEBHOOK, target=receiver.key, message_id=f"evt_{row.id}",
                    body=signal.model_dump_json(),
                )  # fmt: skip
    told = update(events).where(events.c.id.in_([row.id for row in rows]))
    tx.sql.execute(told.values(told=1))
    return len(rows)


def _set(tx: Tx, message: Message, **values: object) -> None:
    tried = {"tries": message.tries + 1, **values}
    tx.sql.execute(update(outbox).where(outbox.c.id == message.id).values(**tried))


WITH_CODE: Final = frozenset(
    {"job.packed", "job.delivered", "job.withdrawn", "job.replaced", "bundle.made"}
)
"""What is told with the content code that the thing had then."""

_TOPICS: Final = {
    ("job", "received"): "job.received", ("job", "held"): "job.held",
    ("job", "refused"): "job.refused", ("job", "packed"): "job.packed",
    ("job", "delivered"): "job.delivered", ("job", "failed"): "job.failed",
    ("job", "withdrawn"): "job.withdrawn", ("job", "replaced"): "job.replaced",
    ("bundle", "made"): "bundle.made", ("bundle", "failed"): "bundle.failed",
    ("night", "closed"): "night.closed", ("run", "missed"): "run.missed",
    ("refusal", "refused"): "file.refused",
}  # fmt: skip


def _signal(tx: Tx, thing: str, thing_id: int, was: str, now: str, at_ms: int) -> Signal | None:
    topic = _TOPICS.get((thing, now))
    if topic is None or was == now:
        return None
    return Signal.model_validate(
        {"type": topic, "timestamp": clock.text(at_ms), "data": _data(tx, topic, thing_id, at_ms)}
    )


def _data(tx: Tx, topic: str, thing_id: int, at_ms: int) -> dict[str, str | int]:
    """Identities as they were at that moment, however late it is told."""
    thing = topic.partition(".")[0]
    code = _code_at(tx, thing, thing_id, at_ms) if topic in WITH_CODE else ""
    told = {"code": code} if code else {}
    if thing == "job":
        row = tx.sql.execute(select(jobs).where(jobs.c.id == thing_id)).one()
        found = {
            "job": row.job, "revision": row.revision, "crew": row.crew,
            "work_date": row.install_date.isoformat(),
        }  # fmt: skip
        return found | told
    if thing == "bundle":
        both = select(bundles, nights.c.work_date).join(nights, nights.c.id == bundles.c.night_id)
        row = tx.sql.execute(both.where(bundles.c.id == thing_id)).one()
        return {"crew": row.crew, "work_date": row.work_date.isoformat(), **told}
    if thing == "file":
        row = tx.sql.execute(select(refusals).where(refusals.c.id == thing_id)).one()
        return {"came_as": row.came_as, "sha256": row.sha256}
    table = nights if thing == "night" else night_runs
    row = tx.sql.execute(select(table).where(table.c.id == thing_id)).one()
    return {"work_date": row.work_date.isoformat()}


def _code_at(tx: Tx, thing: str, thing_id: int, at_ms: int) -> str:
    """The newest code that a job's or bundle's sheets had at a moment; empty for none."""
    rows = select(codes.c.code).where(
        codes.c.thing == thing, codes.c.thing_id == thing_id, codes.c.made_ms <= at_ms
    )
    newest = rows.order_by(codes.c.made_ms.desc(), codes.c.id.desc()).limit(1)
    return str(tx.sql.execute(newest).scalar() or "")
