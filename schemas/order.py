"""What is to be bought: the load-outs of many jobs added up, by supplier.

In: the takeoffs of a night. Out: one line a part as it is ordered. For the office only:
prices stand on it.
"""

from __future__ import annotations

from datetime import date
from typing import Final

from schemas.record import Cents, Key, Line, Record

MOST_NAMED: Final = 200
"""So many jobs are named on a line; with the longest numbers they fill a third of a cell."""


class OrderLine(Record):
    """One part to buy."""

    supplier: Key | None
    """Whom it is ordered from; none: not decided."""
    item: Key
    """Stock key of the price book."""
    says: Line
    """In words."""
    variant: Line | None
    """Colour and height as ordered; none: it comes in one only."""
    needed: int
    """Pieces that the plans take, spares not counted."""
    spare: int
    """Spare pieces by the company's rule."""
    package: int
    """Pieces in a package."""
    packages: int
    """Packages on the load-outs; each crew loads whole ones."""
    cents: Cents
    """Of all packages."""
    jobs: tuple[tuple[Key, int], ...]
    """Which jobs, and how many packages each; a shop cutting stands as `shop-` and its pool, with
    fewer than none where it saves some."""

    @property
    def for_jobs(self) -> str:
        """The jobs in a row, of a long night the first ones: a cell of a spreadsheet ends."""
        named = [f"{job} x {count}" for job, count in self.jobs[:MOST_NAMED]]
        rest = len(self.jobs) - MOST_NAMED
        return "; ".join((*named, *([f"and {rest} more jobs"] if rest > 0 else [])))

    @property
    def each(self) -> Cents:
        """Price of a package."""
        return self.cents // self.packages


class OrderTotals(Record):
    """All that a night's jobs load."""

    key: Key
    """Number of the order, made from company and day."""
    buyer: Line
    """The company's name."""
    currency: Key | None
    """ISO 4217; none: no prices on the order."""
    issued: date
    """Day on which it was worked out."""
    needed_by: date
    """Day of work; the yard loads that morning."""
    lines: tuple[OrderLine, ...]
    """By supplier and stock key."""

    @property
    def suppliers(self) -> tuple[str | None, ...]:
        """Whom to order from, those not decided last."""
        known = {line.supplier for line in self.lines}
        return tuple(sorted(known, key=lambda name: (name is None, name or "")))

    def of(self, supplier: str | None) -> tuple[OrderLine, ...]:
        """The lines of one supplier."""
        return tuple(line for line in self.lines if line.supplier == supplier)
