"""The offcut rack: what hangs there, what is set aside for which plan, what was taken.

A piece is on the rack, set aside for one plan, taken (cut up), or away (thrown out, lost). What is
offered to a plan is kept with it: the same job at the same revision, made anew from the same
documents, is offered the same pieces, and so comes out the same. Pieces that a plan does not
take go back at once. A leftover comes to the rack when its bar has been cut, not before.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import Any, Final

from pydantic import TypeAdapter
from sqlalchemy import Row, Select, delete, insert, select, text, update

from schemas.cut_plan import PlainStock, RackPiece, StockRail
from schemas.errors import Conflict, UnknownThing
from schemas.lengths import INSIDE
from worker.ledger.moves import note
from worker.ledger.opening import Tx
from worker.ledger.tables import offers, rack

ON_RACK: Final = "on rack"
SET_ASIDE: Final = "set aside"
TAKEN: Final = "taken"
AWAY: Final = "away"

MOST_OFFERED: Final = 24
"""So many pieces a plan is offered at most, the oldest first; more make no plan better for long."""

Offcut = StockRail | PlainStock
STOCK: Final = TypeAdapter(tuple[Offcut, ...])
ONE: Final = TypeAdapter(Offcut)


@dataclass(frozen=True, slots=True, kw_only=True)
class OnRack:
    """One piece and where it stands."""

    tag: str
    piece: RackPiece
    state: str
    holder: str
    """Plan for which it is set aside or was taken; empty for none."""


def holder_of_job(job_id: int) -> str:
    """How a job at one revision holds pieces."""
    return f"job {job_id}"


def put(tx: Tx, pieces: Iterable[RackPiece], *, cause: str) -> list[str]:
    """Hang pieces on the rack; one whose tag is known already is left as it is.

    Returns:
        Tags of the pieces that are new.
    """
    _one_at_a_time(tx)
    new = []
    for piece in pieces:
        known = select(rack.c.id).where(rack.c.tag == piece.tag)
        if tx.sql.execute(known).first():
            continue
        system, colour = _kind(piece.stock)
        row = {
            "tag": piece.tag,
            "system": system,
            "colour": colour,
            "stock": piece.stock.model_dump_json(),
            "home": piece.home or "",
            "home_revision": piece.home_revision,
            "state": ON_RACK,
            "holder": "",
            "at_ms": tx.now_ms,
        }
        row_id = tx.sql.execute(insert(rack).values(**row).returning(rack.c.id)).scalar_one()
        note(tx, thing="rack", thing_id=row_id, was="", now=ON_RACK, cause=cause)
        new.append(piece.tag)
    return new


def _kind(stock: StockRail | PlainStock) -> tuple[str, str]:
    """By which two words a plan asks for it: see `worker.making.kinds_of`."""
    if isinstance(stock, StockRail):
        return stock.system, stock.colour
    if stock.what == "sleeve":
        system, _, colour = stock.made_of.rpartition(" ")
        return system, colour
    return stock.what, stock.made_of


def next_tag(tx: Tx) -> str:
    """A tag that no piece has, for one put there by hand."""
    _one_at_a_time(tx)
    newest = tx.sql.execute(select(rack.c.id).order_by(rack.c.id.desc()).limit(1)).scalar()
    return f"R{(newest or 0) + 1:04}"


def pieces(tx: Tx, *, state: str | None = None) -> list[OnRack]:
    """The pieces of a state, or all of them, the oldest first."""
    rows = select(rack).order_by(rack.c.id)
    if state is not None:
        rows = rows.where(rack.c.state == state)
    return [_read(row) for row in tx.sql.execute(rows)]


def offer(
    tx: Tx, *, holder: str, inputs: str, kinds: Collection[tuple[str, str]]
) -> tuple[Offcut, ...]:
    """Set pieces aside for a plan, or tell again what was set aside for it.

    Args:
        tx: The transaction.
        holder: The plan.
        inputs: Digest of all else it is made from; another digest makes another offer.
        kinds: Systems and colours that it can use.
    """
    known = tx.sql.execute(select(offers).where(offers.c.holder == holder)).first()
    if known is not None and known.inputs == inputs:
        return _stock(known.stock)
    let_go(tx, holder=holder)
    found = [
        row
        for system, colour in sorted(kinds)
        for row in tx.sql.execute(_free(system, colour).limit(MOST_OFFERED)).all()
    ]
    return _offered(tx, found, holder=holder, inputs=inputs)


def deal(tx: Tx, plans: Iterable[tuple[str, str, Collection[tuple[str, str]]]]) -> None:
    """Deal the rack out to many plans before any is made, so that none depends on which is first.

    Each kind's pieces go round among the plans that can use it, in the order given. A plan that
    was offered pieces before, from the same documents, keeps its offer.

    Args:
        tx: The transaction.
        plans: Holder, digest of inputs, systems and colours.
    """
    asking = []
    for holder, inputs, kinds in plans:
        known = tx.sql.execute(select(offers).where(offers.c.holder == holder)).first()
        if known is None or known.inputs != inputs:
            let_go(tx, holder=holder)
            asking.append((holder, inputs, kinds))
    hands: dict[str, list[Row[Any]]] = {holder: [] for holder, _, _ in asking}
    for system, colour in sorted({kind for _, _, kinds in asking for kind in kinds}):
        able = [holder for holder, _, kinds in asking if (system, colour) in kinds]
        free = tx.sql.execute(_free(system, colour).limit(MOST_OFFERED * len(able))).all()
        for number, row in enumerate(free):
            hands[able[number % len(able)]].append(row)
    for holder, inputs, _ in asking:
        _offered(tx, hands[holder], holder=holder, inputs=inputs)


def settle(tx: Tx, *, holder: str, taken: Collection[str]) -> None:
    """Keep for a plan what it takes; the rest of its offer goes back to the rack.

    Raises:
        Conflict: It takes a piece that is not set aside for it.
    """
    mine = tx.sql.execute(_held(holder)).all()
    if strange := sorted(set(taken) - {row.tag for row in mine}):
        msg = f"{', '.join(strange)}: not set aside for {holder}"
        raise Conflict(msg)
    for row in mine:
        if row.tag not in taken:
            _move(tx, row, to=ON_RACK, holder="", cause=f"not taken by {holder}")


def let_go(tx: Tx, *, holder: str) -> None:
    """End a plan's claim on the rack: what it held and did not cut goes back."""
    for row in tx.sql.execute(_held(holder)).all():
        _move(tx, row, to=ON_RACK, holder="", cause=f"let go by {holder}")
    tx.sql.execute(delete(offers).where(offers.c.holder == holder))


def cut(tx: Tx, *, holder: str, left: Iterable[RackPiece], by: str) -> tuple[list[str], list[str]]:
    """Write down that a plan was cut: its pieces are used up, its leftovers hang on the rack.

    Returns:
        Tags taken, and tags that are new.
    """
    mine = tx.sql.execute(_held(holder)).all()
    for row in mine:
        _move(tx, row, to=TAKEN, holder=holder, cause=f"{by}: cut for {holder}")
    return [row.tag for row in mine], put(tx, left, cause=f"{by}: left of {holder}")


def take_away(tx: Tx, tag: str, *, by: str, why: str) -> OnRack:
    """Take a piece off the rack for good.

    Raises:
        UnknownThing: No such tag.
        Conflict: A plan holds it, or it is gone already.
    """
    return _by_hand(tx, tag, start={ON_RACK}, to=AWAY, cause=f"{by} took it away: {why}")


def bring_back(tx: Tx, tag: str, *, by: str, why: str) -> OnRack:
    """Hang a piece back that was taken or away and is whole after all.

    Raises:
        UnknownThing: No such tag.
        Conflict: It is on the rack, or set aside for a plan still to be cut.
    """
    return _by_hand(tx, tag, start={TAKEN, AWAY}, to=ON_RACK, cause=f"{by} brought it back: {why}")


def _by_hand(tx: Tx, tag: str, *, start: Collection[str], to: str, cause: str) -> OnRack:
    row = tx.sql.execute(select(rack).where(rack.c.tag == tag).with_for_update()).first()
    if row is None:
        msg = f"no piece on the rack has the tag {tag}"
        raise UnknownThing(msg)
    if row.state not in start:
        msg = f"{tag} is {row.state}" + (f" for {row.holder}" if row.holder else "")
        raise Conflict(msg)
    _move(tx, row, to=to, holder="", cause=cause)
    return _read(tx.sql.execute(select(rack).where(rack.c.id == row.id)).one())


def _free(system: str, colour: str) -> Select[Any]:
    """Pieces nobody holds, the oldest first; those another transaction is about to take are not."""
    return (
        select(rack)
        .where(rack.c.state == ON_RACK, rack.c.system == system, rack.c.colour == colour)
        .order_by(rack.c.id)
        .with_for_update(skip_locked=True)
    )


def _held(holder: str) -> Select[Any]:
    rows = select(rack).where(rack.c.state == SET_ASIDE, rack.c.holder == holder)
    return rows.order_by(rack.c.id).with_for_update()


def _offered(tx: Tx, found: list[Row[Any]], *, holder: str, inputs: str) -> tuple[Offcut, ...]:
    for row in found:
        _move(tx, row, to=SET_ASIDE, holder=holder, cause=f"set aside for {holder}")
    stock = tuple(ONE.validate_json(row.stock, context=INSIDE) for row in found)
    kept = STOCK.dump_json(stock).decode()
    tx.sql.execute(insert(offers).values(holder=holder, inputs=inputs, stock=kept, at_ms=tx.now_ms))
    return stock


def _move(tx: Tx, row: Row[Any], *, to: str, holder: str, cause: str) -> None:
    values = {"state": to, "holder": holder, "at_ms": tx.now_ms}
    tx.sql.execute(update(rack).where(rack.c.id == row.id).values(**values))
    note(tx, thing="rack", thing_id=row.id, was=row.state, now=to, cause=cause)


def _stock(kept: str) -> tuple[Offcut, ...]:
    return STOCK.validate_json(kept, context=INSIDE)


def _read(row: Row[Any]) -> OnRack:
    stock = ONE.validate_json(row.stock, context=INSIDE)
    piece = RackPiece(stock=stock, home=row.home or None, home_revision=row.home_revision)
    return OnRack(tag=row.tag, piece=piece, state=row.state, holder=row.holder)


def _one_at_a_time(tx: Tx) -> None:
    """SQLite has one writer anyway; PostgreSQL locks the giving out of tags."""
    if tx.sql.dialect.name == "postgresql":
        tx.sql.execute(text("SELECT pg_advisory_xact_lock(3)"))
