"""Whether a printed sheet is current, by the code on it.

In: a code as somebody reads it off a sheet. Out: build from it, destroy it, or call. A day sheet
is current only while every job on it is as it was when the sheet was made.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from sqlalchemy import Row, select

from worker.ledger.codes import plain_code
from worker.ledger.gathering import Packed, contents_of
from worker.ledger.moves import LIVE, WITH_PACK
from worker.ledger.nights import NightRow, night_of
from worker.ledger.opening import Tx
from worker.ledger.records import JobRow, job_by_id, job_by_number
from worker.ledger.tables import bundles, codes, events, jobs, nights, shop_cuts

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
    changes: tuple[str, ...] = ()
    """What a day sheet or shop cut list no longer has right, a job each."""


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
    what = f"day sheet of crew {row.crew} for {row.work_date}"
    if row.state == "withdrawn":
        return Standing(code=code, verdict="withdrawn", thing=what)
    changes = changes_of(tx, row, row.work_date) if made else ()
    now = "" if changes else made
    verdict: Verdict = "current" if now == code else "superseded"
    return Standing(code=code, verdict=verdict, thing=what, current=now, changes=changes)


def to_destroy(tx: Tx, row: Row[Any], day: date) -> tuple[str, ...]:
    """Of the packs in a made bundle, those that must not be built from any more, in words.

    Args:
        tx: The transaction.
        row: The bundle.
        day: The day its crew works.
    """
    found = (_told(tx, pack, row.crew, day) for pack in contents_of(row).packs)
    return tuple(says for says in found if says)


def changes_of(tx: Tx, row: Row[Any], day: date) -> tuple[str, ...]:
    """What a made bundle no longer has right: it is made anew only when its night is run again.

    Args:
        tx: The transaction.
        row: The bundle.
        day: The day its crew works.
    """
    contents = contents_of(row)
    told = {pack.job: _told(tx, pack, row.crew, day) for pack in contents.packs}
    told |= {gone.job: _mended(job_by_number(tx, gone.job)) for gone in contents.missing}
    here = select(jobs.c.job).where(
        jobs.c.install_date == day, jobs.c.crew == row.crew, jobs.c.state.in_(LIVE)
    )
    came = sorted(set(tx.sql.scalars(here)) - told.keys())
    told |= {job: f"{job} has come to this day: call the office" for job in came}
    return tuple(says for _, says in sorted(told.items()) if says)


def _told(tx: Tx, pack: Packed, crew: str, day: date) -> str:
    """What became of a job whose pack is in a bundle; empty: it is as it was."""
    job = job_by_number(tx, pack.job)
    if job.state == "withdrawn":
        return f"{job.job} is withdrawn: destroy pack {pack.code}, do not build it"
    if (job.crew, job.install_date) != (crew, day):
        where = f"crew {job.crew} on {job.install_date}"
        return f"{job.job} is moved to {where}: destroy pack {pack.code}, do not build it"
    if job.state in WITH_PACK and job.code == pack.code:
        return ""
    new = f"work from pack {job.code}" if job.state in WITH_PACK else "call the office"
    return f"{job.job} has changed, revision {job.revision}: destroy pack {pack.code}, {new}"


def _mended(job: JobRow) -> str:
    """What became of a job that had no pack; empty: it still has none."""
    if job.state not in WITH_PACK:
        return ""
    return f"{job.job} has a pack now, {job.code}: call the office"


def _shop(tx: Tx, code: str, night_id: int) -> Standing:
    """A shop cut list: of several that a night has, the one with this code."""
    night = night_of(tx, night_id)
    rows = select(shop_cuts).where(shop_cuts.c.night_id == night_id, shop_cuts.c.code != "")
    made = {row.code: row for row in tx.sql.execute(rows.order_by(shop_cuts.c.pool)).all()}
    what = f"shop cut list for {night.work_date}"
    if code not in made:
        verdict: Verdict = "superseded" if made else "withdrawn"
        return Standing(code=code, verdict=verdict, thing=what, current=next(iter(made), ""))
    changes = tuple(_gone(tx, night, made[code].made_for))
    if changes:
        return Standing(code=code, verdict="superseded", thing=what, changes=changes)
    return Standing(code=code, verdict="current", thing=what, current=code)


def _gone(tx: Tx, night: NightRow, made_for: str) -> Iterator[str]:
    """Jobs of the shop's day that were withdrawn or replaced after the night had ended."""
    later = select(events.c.thing_id).where(
        events.c.thing == "job", events.c.at_ms >= night.closed_ms, events.c.was != events.c.now,
        events.c.now.in_({"withdrawn", "replaced"}),
    )  # fmt: skip
    rows = select(jobs).where(
        jobs.c.install_date == night.work_date, jobs.c.on_paper != "", jobs.c.id.in_(later)
    )
    for row in tx.sql.execute(rows.order_by(jobs.c.job)).all() if night.closed_ms else ():
        if made_for in {"night", row.crew}:
            yield f"{row.job} revision {row.revision} is {row.state}: do not cut it"
