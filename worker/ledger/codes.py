"""Every code that was ever printed, with the plan that stands behind it."""

from __future__ import annotations

from typing import Final, Literal

from sqlalchemy import select, update

from worker.ledger.locks import insert_once
from worker.ledger.opening import Tx
from worker.ledger.tables import codes, jobs

_MISREAD: Final = str.maketrans("ILO", "110")
"""The printed alphabet has none of these; Crockford's base 32 reads them so."""


def remember_code(
    tx: Tx, *, thing: Literal["job", "bundle", "shop"], thing_id: int, code: str, plan: str = ""
) -> None:
    """Keep a code that may be printed from now on, with the plan that stands behind it."""
    row = {"code": code, "thing": thing, "thing_id": thing_id}
    if not insert_once(tx, codes, **row, made_ms=tx.now_ms, plan=plan):  # made again as it was
        same = (codes.c[name] == value for name, value in row.items())
        tx.sql.execute(update(codes).where(*same).values(made_ms=tx.now_ms))


def plan_of_code(tx: Tx, code: str, *, job: str) -> str:
    """Name in the store of the plan behind a printed code of a job; empty if it is not known."""
    same = select(codes.c.plan).join(jobs, jobs.c.id == codes.c.thing_id)
    same = same.where(codes.c.code == code, codes.c.thing == "job", jobs.c.job == job)
    return tx.sql.scalars(same.order_by(codes.c.id)).first() or ""


def plain_code(read: str) -> str:
    """A code as it is kept, from one as it was read or typed: case and look-alikes aside."""
    letters = "".join(sign for sign in read.upper() if sign.isalnum()).translate(_MISREAD)
    return f"{letters[:4]}-{letters[4:]}" if len(letters) == 8 else read
