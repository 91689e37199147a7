"""Late changes: what brings a bundle that a crew may hold already up to date.

From the hour of the last run on, a delivered bundle may be printed. When another one is
delivered after that, a supplement goes with it: what differs from the printed one, and the
packs that are new. It is always told from the first printed one, so the last supplement
stands for all before it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

from sqlalchemy import Row

from schemas.bundle import LateChange
from schemas.wording import say
from services.delivery import times_of
from worker.bootstrap import Works
from worker.ledger.gathering import Contents, contents_of, hand_over, held_of
from worker.ledger.nights import NightRow
from worker.ledger.opening import Tx
from worker.making import stop_of

OFF: Final = say("it is no longer of this day")


def supplement_file(crew: str) -> str:
    """Where a crew's supplement stands."""
    return f"supplements/{crew}.pdf"


def make_supplements(works: Works, night: NightRow, rows: Sequence[Row[Any]]) -> dict[str, str]:
    """Make the supplements of a night's bundles: their names in the folder and in the store."""
    return {
        supplement_file(row.crew): _make(works, night, row, changes)
        for row in rows
        if (changes := late_changes(row))
    }


def late_changes(row: Row[Any]) -> tuple[LateChange, ...]:
    """What a bundle's crew must be told of it; nothing if it holds none, or this one."""
    held = held_of(row)
    if row.state != "made" or held is None:
        return ()
    return tuple(changes_between(held.contents, contents_of(row)))


def hand_over_printed(works: Works, tx: Tx, night: NightRow, rows: Sequence[Row[Any]]) -> None:
    """Write down what crews may hold, if printing may have begun."""
    last_run = times_of(works.library.company, night.work_date).last_run
    if tx.now_ms >= last_run.timestamp() * 1000:
        for row in rows:
            if row.state == "made":
                hand_over(tx, row)


def changes_between(held: Contents, now: Contents) -> Iterator[LateChange]:
    """What a crew that holds one bundle must be told of another, by job."""
    before = {pack.job: pack for pack in held.packs}
    after = {pack.job: pack for pack in now.packs}
    whys = {gone.job: gone.why for gone in (*now.recalled, *now.missing)}
    told = {gone.job: gone.why for gone in held.missing}
    revisions = {thing.job: thing.revision for thing in (*now.recalled, *now.missing)}
    for job in sorted(before.keys() | after.keys() | whys.keys()):
        old, new = before.get(job), after.get(job)
        if new is not None and (old is None or old.code != new.code):
            destroy = old.code if old else ""
            yield LateChange(job=job, revision=new.revision, destroy=destroy, pack=new.code)
        elif new is None and old is not None:
            revision = revisions.get(job, old.revision)
            why = whys.get(job, OFF)
            yield LateChange(job=job, revision=revision, destroy=old.code, why=why)
        elif new is None and told.get(job) != whys[job]:
            yield LateChange(job=job, revision=revisions[job], why=whys[job])


def _make(works: Works, night: NightRow, row: Row[Any], changes: tuple[LateChange, ...]) -> str:
    held, contents = held_of(row), contents_of(row)
    assert held is not None
    made = works.pipeline.make_supplement(
        crew=row.crew,
        day=night.work_date,
        of=held.code,
        code=row.code,
        changes=changes,
        stops=[stop_of(works, pack) for pack in contents.packs],
        library=works.library,
        issued=contents.issued,
    )
    return works.store.put(made.pdf)
