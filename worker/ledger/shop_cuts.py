"""What the shop cuts ahead for a night: one row a cutting, with what it was made from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass

from sqlalchemy import delete, insert, select

from worker.ledger.nights import NightRow
from worker.ledger.opening import Tx
from worker.ledger.tables import shop_cuts


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopRow:
    """One cutting."""

    made_for: str
    """Key of the crew, or `night`."""
    pool: str
    """The same, and the ruler where jobs have two; empty: nothing was to be cut, or it failed."""
    made_from: str
    """Digest of the jobs' plans, the library and the program."""
    plan: str = ""
    """Its name in the store."""
    pdf: str = ""
    code: str = ""
    pages: int = 0
    error: str = ""
    """Why there is none; empty when nothing went wrong."""


def shop_holder(night: NightRow, made_for: str) -> str:
    """How a shop cutting holds offcuts of the rack."""
    return f"shop {night.id} {made_for}"


def shop_rows(tx: Tx, night: NightRow) -> list[ShopRow]:
    """All cuttings of a night."""
    rows = select(shop_cuts).where(shop_cuts.c.night_id == night.id)
    names = ShopRow.__slots__
    return [
        ShopRow(**{name: getattr(row, name) for name in names})
        for row in tx.sql.execute(rows.order_by(shop_cuts.c.made_for, shop_cuts.c.pool))
    ]


def keep_shop_rows(tx: Tx, night: NightRow, made_for: str, rows: Sequence[ShopRow]) -> None:
    """Put these in the place of what stood there for that crew or night."""
    tx.sql.execute(
        delete(shop_cuts).where(shop_cuts.c.night_id == night.id, shop_cuts.c.made_for == made_for)
    )
    for row in rows:
        tx.sql.execute(insert(shop_cuts).values(night_id=night.id, **asdict(row)))
