"""Requests that carry a key of their own: asked again, they are answered as before.

The answer is kept in the transaction that makes what it tells of, so there is never one
without the other. What was refused is not kept: it may be mended and sent again.
"""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import select

from schemas.errors import Conflict
from worker.ledger.locks import insert_once
from worker.ledger.opening import Tx
from worker.ledger.tables import requests


class KeyUsedOtherwise(Conflict):
    """The request's own key came before with another request; nothing was done."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A request with a key of its own."""

    api_key_id: int
    idempotency_key: str
    digest: str
    """SHA-256 of method, address and body."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """What it was answered."""

    status: int
    location: str
    body: str


def answered_before(tx: Tx, asked: Asked) -> Answered | None:
    """What the same request was answered; none if it is new.

    Raises:
        KeyUsedOtherwise: Another request came with this key.
    """
    row = tx.sql.execute(
        select(requests).where(
            requests.c.api_key_id == asked.api_key_id,
            requests.c.idempotency_key == asked.idempotency_key,
        )
    ).first()
    if row is None:
        return None
    if row.asked != asked.digest:
        msg = f"key {asked.idempotency_key} came before with another request"
        raise KeyUsedOtherwise(msg)
    return Answered(status=row.status, location=row.location, body=row.answer)


def keep_answer(tx: Tx, asked: Asked, answer: Answered) -> Answered:
    """Keep an answer; if the same request was answered meanwhile, that answer stands.

    Raises:
        KeyUsedOtherwise: Another request came with this key meanwhile.
    """
    insert_once(
        tx, requests,
        api_key_id=asked.api_key_id, idempotency_key=asked.idempotency_key, asked=asked.digest,
        status=answer.status, location=answer.location, answer=answer.body, at_ms=tx.now_ms,
    )  # fmt: skip
    standing = answered_before(tx, asked)
    assert standing is not None
    return standing
