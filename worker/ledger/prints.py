"""Prints: each bundle's way to paper, one row a content code and copy.

due -> sending (written before anything is sent) -> printing (the printer gave a number) ->
printed; or unsure (it may be on paper), failed (it is not, and no printer takes it), overtaken
(a newer bundle came first). Only a human makes another copy.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from sqlalchemy import Row, func, select, update

from schemas.errors import Conflict, UnknownThing
from worker.ledger.deliveries import deliver
from worker.ledger.locks import insert_once
from worker.ledger.moves import note
from worker.ledger.nights import NightRow, night_of
from worker.ledger.opening import Tx
from worker.ledger.standing import to_destroy
from worker.ledger.tables import bundles, prints
from worker.retries import WAIT_AHEAD

OPEN: Final = ("due", "sending", "printing")


@dataclass(frozen=True, slots=True, kw_only=True)
class Print:
    """One bundle on its way to paper."""

    id: int
    night_id: int
    crew: str
    code: str
    copy: int
    pdf: str
    state: str
    printer: str
    job_number: int
    tries: int
    asked_by: str
    made_ms: int
    done_ms: int
    says: str

    @property
    def name(self) -> str:
        """By which the printer's own list is searched for it."""
        return f"{self.crew} {self.code} copy {self.copy}"


def want(tx: Tx, night: NightRow, *, crew: str, code: str, pdf: str) -> bool:
    """Have a bundle printed, once a content code; older ones not yet sent are not any more."""
    older = update(prints).where(
        prints.c.night_id == night.id, prints.c.crew == crew, prints.c.code != code,
        prints.c.state == "due",
    )  # fmt: skip
    tx.sql.execute(older.values(state="overtaken", says=f"bundle {code} took its place"))
    return _insert(tx, night.id, crew=crew, code=code, pdf=pdf, copy=1, asked_by="")


def again(tx: Tx, night: NightRow, crew: str, *, by: str, why: str) -> Print:
    """Have a crew's current bundle printed once more, whole.

    Raises:
        UnknownThing: The crew has no bundle for that day.
        Conflict: It holds a pack that must not be built from.
    """
    made = select(bundles).where(
        bundles.c.night_id == night.id, bundles.c.crew == crew, bundles.c.state == "made"
    )
    bundle = tx.sql.execute(made).first()
    if bundle is None:
        msg = f"crew {crew} has no bundle for {night.work_date}"
        raise UnknownThing(msg)
    if gone := to_destroy(tx, bundle, night.work_date):
        msg = f"{'; '.join(gone)}; run the night again"
        raise Conflict(msg)
    copies = prints.c.crew == crew, prints.c.code == bundle.code
    copy = int(tx.sql.execute(select(func.max(prints.c.copy)).where(*copies)).scalar() or 0) + 1
    asked = f"{by}: {why}"[:200]
    _insert(tx, night.id, crew=crew, code=bundle.code, pdf=bundle.pdf, copy=copy, asked_by=asked)
    return _print(tx.sql.execute(select(prints).where(*copies, prints.c.copy == copy)).one())


def may_be_on_paper(tx: Tx, night: NightRow, *, crew: str, code: str) -> bool:
    """Whether a bundle was printed, is being printed, or nobody knows."""
    rows = select(prints.c.id).where(
        prints.c.night_id == night.id, prints.c.crew == crew, prints.c.code == code,
        prints.c.state.in_(("sending", "printing", "printed", "unsure")),
    )  # fmt: skip
    return tx.sql.execute(rows).first() is not None


def open_prints(tx: Tx) -> list[Print]:
    """Prints to be sent or looked after, the oldest first."""
    far_ms = tx.now_ms + int(1000 * WAIT_AHEAD)  # by a clock that has been put back since
    waits = prints.c.not_before_ms.between(tx.now_ms + 1, far_ms)
    rows = select(prints).where(prints.c.state.in_(OPEN), ~waits)
    return [_print(row) for row in tx.sql.execute(rows.order_by(prints.c.id))]


def prints_of(tx: Tx, night: NightRow) -> list[Print]:
    """All prints of a night."""
    rows = select(prints).where(prints.c.night_id == night.id).order_by(prints.c.id)
    return [_print(row) for row in tx.sql.execute(rows)]


def to(tx: Tx, row: Print, state: str, *, says: str, wait: float = 0.0, **values: object) -> Print:
    """Move a print on; `printed` leaves a receipt among the deliveries."""
    changed = {
        "state": state, "says": says, "not_before_ms": tx.now_ms + int(wait * 1000), **values,
    }  # fmt: skip
    if state not in OPEN:
        changed["done_ms"] = tx.now_ms
    tx.sql.execute(update(prints).where(prints.c.id == row.id).values(**changed))
    if state != row.state:
        note(tx, thing="print", thing_id=row.id, was=row.state, now=state, cause=says or state)
    now = tx.sql.execute(select(prints).where(prints.c.id == row.id)).one()
    if state == "printed":
        name = f"{now.crew} copy {now.copy}"
        night = night_of(tx, now.night_id)
        deliver(tx, night, target=now.printer, name=name, sha256=now.pdf)
    return _print(now)


def _insert(tx: Tx, night_id: int, **values: object) -> bool:
    return insert_once(
        tx, prints,
        night_id=night_id, state="due", printer="", job_number=0, tries=0, not_before_ms=0,
        made_ms=tx.now_ms, done_ms=0, says="", **values,
    )  # fmt: skip


def _print(row: Row[tuple[object, ...]]) -> Print:
    values = {name: row._mapping[name] for name in Print.__slots__}  # noqa: SLF001  # SQLAlchemy's public name
    return Print(**values)
