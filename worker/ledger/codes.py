"""Every code that was ever printed, and whether the sheet that bears it is current.

In: a code as somebody reads it off a sheet. Out: build from it, destroy it, or call.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, Literal

from sqlalchemy import Row, select

from worker.ledger.locks import insert_once
from worker.ledger.moves import WITH_PACK
from worker.ledger.opening import Tx
from worker.ledger.records import JobRow, job_by_id, job_by_number
from worker.ledger.tables import bundles, codes, jobs, nights, shop_cuts

_MISREAD: Final = str.maketrans("ILO", "110")
"""The printed alphabet has none of these; Crockford's base 32 reads them so."""

Verdict = Literal["current", "superseded", "withdrawn", "unknown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How a printed sheet stands now."""

    code: str
    verdict: Verdict
    thing: str = ""
    """Job and revision, or crew and day; empty if unknown."""
    current: str = ""
    """Code of the sheet to work from; empty if there is none at the moment."""


def remember_code(
    tx: Tx, *, thing: Literal["job", "bundle", "shop"], thing_id: int, code: str, plan: str = ""
) -> None:
    """Keep a code that may be printed from now on, with the plan that stands behind it."""
    insert_once(tx, codes, code=code, thing=thing, thing_id=thing_id, made_ms=tx.now_ms, plan=plan)


def plan_of_code(tx: Tx, code: str, *, job: str) -> str:
    """Name in the store of the plan behind a printed code of a job; empty if it is not known."""
    same = select(codes.c.plan).join(jobs, jobs.c.id == codes.c.thing_id)
    same = same.where(codes.c.code == code, codes.c.thing == "job", jobs.c.job == job)
    return tx.sql.scalars(same.order_by(codes.c.id)).first() or ""


def plain_code(read: str) -> str:
    """A code as it is kept, from one as it was read or typed: case and look-alikes aside."""
    letters = "".join(sign for sign in read.upper() if sign.isalnum()).translate(_MISREAD)
    return f"{letters[:4]}-{letters[4:]}" if len(letters) == 8 else read


def standing_of(tx: Tx, read: str) -> Standing:
    """How the sheet with a code stands."""
    newest = codes.c.made_ms.desc(), codes.c.id.desc()
    rows = select(codes).where(codes.c.code.in_({read, plain_code(read)})).order_by(*newest)
    found = [_standing(tx, row) for row in tx.sql.execute(rows).all()]
    current = [standing for standing in found if standing.verdict == "current"]
    return next(iter(current or found), Standing(code=read, verdict="unknown"))


def _standing(tx: Tx, row: Row[Any]) -> Standing:
    if row.thing == "job":
        return _pack(tx, row.code, job_by_id(tx, row.thing_id))
    if row.thing == "shop":
        return _shop(tx, row.code, row.thing_id)
    return _day(tx, row.code, row.thing_id)


def _pack(tx: Tx, code: str, printed: JobRow) -> Standing:
    newest = job_by_number(tx, printed.job)
    made = newest.code if newest.state in WITH_PACK else ""
    verdict: Verdict = "current" if made == code else "superseded"
    if newest.state == "withdrawn":
        verdict = "withdrawn"
    what = f"job {printed.job} revision {printed.revision}"
    return Standing(code=code, verdict=verdict, thing=what, current=made)


def _day(tx: Tx, code: str, bundle_id: int) -> Standing:
    rows = select(bundles, nights.c.work_date).join(nights, nights.c.id == bundles.c.night_id)
    row = tx.sql.execute(rows.where(bundles.c.id == bundle_id)).one()
    made = row.code if row.state == "made" else ""
    verdict: Verdict = "current" if made == code else "superseded"
    if row.state == "withdrawn":
        verdict = "withdrawn"
    what = f"day sheet of crew {row.crew} for {row.work_date}"
    return Standing(code=code, verdict=verdict, thing=what, current=made)


def _shop(tx: Tx, code: str, night_id: int) -> Standing:
    """A shop cut list: of several that a night has, the one with this code."""
    day = tx.sql.execute(select(nights.c.work_date).where(nights.c.id == night_id)).scalar_one()
    rows = select(shop_cuts.c.code).where(shop_cuts.c.night_id == night_id, shop_cuts.c.code != "")
    made = list(tx.sql.scalars(rows.order_by(shop_cuts.c.pool)))
    verdict: Verdict = "current" if code in made else "superseded" if made else "withdrawn"
    now = code if code in made else next(iter(made), "")
    return Standing(code=code, verdict=verdict, thing=f"shop cut list for {day}", current=now)
