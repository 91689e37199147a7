"""Gathering a crew's packs into its bundle: decided here, by counting rows.

When no job of a crew's day is unfinished, its bundle is ready to be made: of the packs there
are, with every missing one named and its reason. A bundle that would come out as it is stays.
"""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import sha256
from typing import Any, Final

from sqlalchemy import Row, select, update

from schemas.bundle import DecidedBooking, Missing
from schemas.record import Record
from schemas.wording import WHOLE, SaidText, say
from schemas.wording import row as in_a_row
from worker.ledger.booking_answers import decided
from worker.ledger.claims import Claim
from worker.ledger.codes import remember_code
from worker.ledger.moves import UNFINISHED, WITH_PACK, move, note
from worker.ledger.nights import NightRow, Recall, due_jobs, night_of, recalled, to_paper
from worker.ledger.opening import Tx
from worker.ledger.records import JobRow
from worker.ledger.tables import bundles, due, jobs, nights

_GONE: Final = {"withdrawn": say("withdrawn"), "replaced": say("replaced")}
_MOST_REASONS: Final = 3
"""More are not read on a day sheet."""
TOO_LATE: Final = say("not finished by the cut-off")


class Packed(Record):
    """A pack that goes into a bundle."""

    job_id: int
    job: str
    revision: int
    code: str
    plan: str
    """Its name in the store."""
    pdf: str
    """Its name in the store."""
    pages: int
    replaces: str
    open_questions: tuple[SaidText, ...]
    """Holds that the crew meets first."""


class Contents(Record):
    """What a bundle is made of."""

    crew: str
    issued: str
    stamp: str
    """Digest of library and program."""
    packs: tuple[Packed, ...]
    missing: tuple[Missing, ...]
    """Jobs of the day without a pack."""
    recalled: tuple[Missing, ...]
    """Jobs no longer of the day whose pack the crew may hold."""
    decided: tuple[DecidedBooking, ...] = ()
    """What the office decided about the crew's bookings."""

    def digest(self) -> str:
        """The same for the same contents."""
        return sha256(self.model_dump_json().encode()).hexdigest()


class Held(Record):
    """What a crew holds: the first bundle that was delivered once printing may have begun."""

    code: str
    """Of its day sheet."""
    contents: Contents


def gather(
    tx: Tx, night: NightRow, *, stamp: str, again: bool = False, too_late: bool = False
) -> None:
    """Bring the bundles of a night in line with their jobs.

    Args:
        tx: The transaction.
        night: The night.
        stamp: Digest of library and program; another one makes bundles again.
        again: Look at finished bundles too, not only at those that wait.
        too_late: The cut-off has passed: unfinished jobs count as missing.
    """
    unfinished = _unfinished(tx, night)
    rows = select(bundles).where(bundles.c.night_id == night.id).order_by(bundles.c.crew)
    for row in tx.sql.execute(rows.with_for_update()).all():
        if row.id in unfinished and not too_late:
            _to(tx, row, "waiting", cause="packs are being made")
        elif again or too_late or row.state == "waiting":
            _gather_one(tx, night, row, stamp)


def gather_for(tx: Tx, job_id: int, *, stamp: str) -> list[int]:
    """The same for the bundle of one job in its open night; the bundle if it is ready now."""
    rows = (
        select(bundles)
        .join(due, due.c.bundle_id == bundles.c.id)
        .join(nights, nights.c.id == due.c.night_id)
        .where(due.c.job_id == job_id, nights.c.state == "open")
        .with_for_update(of=bundles)
    )
    ready = []
    for row in tx.sql.execute(rows).all():
        night = night_of(tx, row.night_id)
        if row.state == "waiting" and row.id not in _unfinished(tx, night, row.id):
            _gather_one(tx, night, row, stamp)
            ready.append(row.id)
    return ready


def _unfinished(tx: Tx, night: NightRow, bundle_id: int | None = None) -> set[int]:
    """Bundles of which a job is still to be made."""
    rows = (
        select(due.c.bundle_id)
        .join(jobs, jobs.c.id == due.c.job_id)
        .where(due.c.night_id == night.id, jobs.c.state.in_(UNFINISHED))
        .distinct()
    )
    if bundle_id is not None:
        rows = rows.where(due.c.bundle_id == bundle_id)
    return set(tx.sql.scalars(rows))


def _gather_one(tx: Tx, night: NightRow, row: Row[Any], stamp: str) -> None:
    members = due_jobs(tx, night, row.id)
    gone = recalled(tx, day=night.work_date, crew=row.crew)
    if members or gone:
        made = _contents(row.crew, night, members, gone, stamp)
        about = {row.crew, *(job.job for job in members)}
        told = (one for one in decided(tx, night) if one.question.partition(".")[2] in about)
        _ready(tx, row, made.model_copy(update={"decided": tuple(told)}))
    else:
        _to(tx, row, "withdrawn", cause="no job and no paper of this day", made_from="")


def contents_of(row: Row[Any]) -> Contents:
    """What a bundle's row says it is made of."""
    return Contents.model_validate_json(row.contents)


def held_of(row: Row[Any]) -> Held | None:
    """What the crew of a bundle holds; none if nothing can have been printed yet."""
    return Held.model_validate_json(row.held) if row.held else None


def hand_over(tx: Tx, row: Row[Any]) -> None:
    """Write down that a bundle may be in its crew's hands from now on; the first one counts."""
    held = Held(code=row.code, contents=contents_of(row)).model_dump_json(context=WHOLE)
    first = bundles.c.id == row.id, bundles.c.held == ""
    tx.sql.execute(update(bundles).where(*first).values(held=held))


def bundled(tx: Tx, claim: Claim, contents: Contents, *, pdf: str, code: str, pages: int) -> bool:
    """The bundle is in the store; its packs may now be on paper."""
    made = move(
        tx, bundles, claim.row_id,
        start={"ready"}, to="made", cause=f"made as {code}", fence=claim.attempt,
        pdf=pdf, code=code, pages=pages, strikes=0, lease_until_ms=0, error="",
    )  # fmt: skip
    if made:
        remember_code(tx, thing="bundle", thing_id=claim.row_id, code=code)
        ids = [pack.job_id for pack in contents.packs]
        to_paper(tx, ids, to="bundled", cause=f"in bundle {code}")
    return made


def _contents(
    crew: str, night: NightRow, members: list[JobRow], gone: list[Recall], stamp: str
) -> Contents:
    return Contents(
        crew=crew,
        issued=night.issued,
        stamp=stamp,
        packs=tuple(_packed(job) for job in members if job.state in WITH_PACK),
        missing=tuple(_missing(job) for job in members if job.state not in WITH_PACK),
        recalled=tuple(_recalled(recall) for recall in gone),
    )


def _packed(job: JobRow) -> Packed:
    return Packed(
        job_id=job.id, job=job.job, revision=job.revision, code=job.code,
        plan=job.plan, pdf=job.pdf, pages=job.pages, replaces=job.replaces,
        open_questions=tuple(
            in_a_row((q.place, q.ask), ": ") for q in job.questions if q.severity == "hold"
        ),
    )  # fmt: skip


def _missing(job: JobRow) -> Missing:
    return Missing(job=job.job, revision=job.revision, why=reason_of(job))


def _recalled(recall: Recall) -> Missing:
    why = say("{why}: destroy pack {code}", why=_GONE[recall.why], code=recall.code)
    return Missing(job=recall.job, revision=recall.revision, why=why)


def last_line(error: str) -> str:
    """What a kept error says, without the traceback and our own errors' names."""
    line = (error.strip().splitlines() or [""])[-1]
    return line.partition(": ")[2] if line.startswith("schemas.errors.") else line


def one_line(text: str) -> str:
    """A text as one printable line of 200 characters at most."""
    line = " ".join(text.split())
    return line if len(line) <= 200 else f"{line[:197]}..."


def reason_of(job: JobRow) -> str:
    """Why a job has no pack, in words for the day sheet."""
    if job.state == "held":
        return say("held: {asks}", asks=_first(in_a_row((q.place, q.ask), ": ") for q in job.stops))
    if job.state == "refused":
        found = (f"{p.pointer or '/'}: {p.says}" for p in job.problems)
        return say("refused: {problems}", problems=_first(found))
    if job.state == "failed":
        return say("failed: could not be made: {error}", error=last_line(job.error))
    return TOO_LATE


def _first(texts: Iterable[str]) -> str:
    """The first of several reasons, and how many more there are."""
    every = tuple(texts)
    if len(every) <= _MOST_REASONS:
        return in_a_row(every, "; ")
    shown = in_a_row(every[:_MOST_REASONS], "; ")
    return say("{shown}; and {count} more", shown=shown, count=len(every) - _MOST_REASONS)


def _ready(tx: Tx, row: Row[Any], contents: Contents) -> None:
    made_from = contents.digest()
    if row.made_from == made_from and row.state in {"ready", "made", "failed"}:
        return
    if row.made_from == made_from and row.pdf:
        _to(tx, row, "made", cause="comes out as it is")
        return
    _to(
        tx, row, "ready", cause=f"{len(contents.packs)} packs, {len(contents.missing)} missing",
        made_from=made_from, contents=contents.model_dump_json(context=WHOLE),
        pdf="", code="", pages=0,
        error="", strikes=0, not_before_ms=0, rung_ms=0,
    )  # fmt: skip


def _to(tx: Tx, row: Row[Any], state: str, *, cause: str, **values: object) -> None:
    """Move a bundle on; whoever works on it from before is fenced off."""
    if row.state == state and not values.keys() - {"made_from"}:
        return
    fenced = {"state": state, "attempt": row.attempt + 1, "lease_until_ms": 0, **values}
    tx.sql.execute(update(bundles).where(bundles.c.id == row.id).values(**fenced))
    note(tx, thing="bundle", thing_id=row.id, was=row.state, now=state, cause=cause)
