"""Order totals: what the load-outs of many jobs take together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from math import ceil

from pydantic import BaseModel, ConfigDict

from schemas.company import StockItem
from schemas.errors import UnknownThing
from schemas.job import Library
from schemas.lengths import INSIDE
from schemas.order import OrderLine, OrderTotals
from schemas.record import Key
from schemas.shop import ShopPlan
from schemas.takeoff import Takeoff, TakeoffLine
from services.exports.shop_kits import Part, shop_changes


class _Head(BaseModel):
    """Which job it is."""

    model_config = ConfigDict(frozen=True, strict=True)

    job: Key


class JobLoad(BaseModel):
    """What purchasing reads of a stored plan; the rest is passed over."""

    model_config = ConfigDict(frozen=True, strict=True)

    job: _Head
    takeoff: Takeoff


def read_load(raw: bytes) -> JobLoad:
    """Read the takeoff out of a plan that we wrote."""
    return JobLoad.model_validate_json(raw, context=INSIDE)


def read_shop(raw: bytes) -> ShopPlan:
    """Read a shop cutting that we wrote."""
    return ShopPlan.model_validate_json(raw, context=INSIDE)


def total_orders(
    loads: Iterable[JobLoad],
    *,
    library: Library,
    needed_by: date,
    issued: date,
    shops: Iterable[ShopPlan] = (),
) -> OrderTotals:
    """Add up what the jobs load, and what the shop cuts for them from other kits.

    Packages are those of the load-outs: every crew takes whole ones, so none runs short. What
    is on the shelf already is not known here and is the buyer's to take off.

    Args:
        loads: One a job; each is read, added up and let go, so that a long night fits in memory.
        library: For suppliers, currency and what is boxed with kits.
        needed_by: Day of work.
        issued: Day on which it is worked out.
        shops: Shop cuttings for these jobs.

    Raises:
        UnknownThing: The shop takes a kit that the price book does not list.
    """
    company = library.company
    variants: dict[tuple[str, str], str | None] = {}
    sums: dict[Part, _Sum] = {}
    for load in loads:
        for line in load.takeoff.lines:
            part = (line.item, line.variant)
            if part not in sums:
                sums[part] = _Sum(says=line.says, package=line.package)
            sums[part].add(load.job.job, line)
            variants[load.job.job, line.item] = line.variant
    for shop in shops:
        changes = shop_changes(shop, variants=variants, systems=library.systems)
        _change(sums, changes, by=f"shop-{shop.pool}"[:40], book=company.price_book)
    suppliers = {item.key: item.supplier for item in company.price_book}
    lines = [_line(part, total, suppliers.get(part[0])) for part, total in sums.items()]
    return OrderTotals(
        key=f"{company.key}-{needed_by.isoformat()}"[:40],
        buyer=company.name,
        currency=company.currency,
        issued=issued,
        needed_by=needed_by,
        lines=tuple(sorted((line for line in lines if line.packages), key=_order)),
    )


def _change(
    sums: dict[Part, _Sum], changes: Mapping[Part, int], *, by: str, book: Iterable[StockItem]
) -> None:
    """Put a shop's changes into the sums; packages saved are whole ones, and so are added ones."""
    items = {item.key: item for item in book}
    for part, pieces in changes.items():
        if part[0] not in items:
            msg = f"the price book has no {part[0]}, which {by} takes; add it there"
            raise UnknownThing(msg)
        item = items[part[0]]
        total = sums.setdefault(part, _Sum(says=item.says, package=item.package))
        whole = abs(pieces) // item.package
        packages = ceil(pieces / item.package) if pieces > 0 else -whole
        total.needed += pieces
        total.packages += packages
        total.cents += packages * item.cents
        total.jobs.append((by, packages))


@dataclass(slots=True, kw_only=True)
class _Sum:
    """What one part comes to so far; the loads themselves are not kept."""

    says: str
    package: int
    needed: int = 0
    spare: int = 0
    packages: int = 0
    cents: int = 0
    jobs: list[tuple[str, int]] = field(default_factory=list)

    def add(self, job: str, line: TakeoffLine) -> None:
        """Add one job's line."""
        self.needed += line.needed
        self.spare += line.spare
        self.packages += line.packages
        self.cents += line.cents
        self.jobs.append((job, line.packages))


def _order(line: OrderLine) -> tuple[bool, str, str, str]:
    return line.supplier is None, line.supplier or "", line.item, line.variant or ""


def _line(part: tuple[str, str | None], total: _Sum, supplier: str | None) -> OrderLine:
    return OrderLine(
        supplier=supplier,
        item=part[0],
        says=str(total.says),
        variant=None if part[1] is None else str(part[1]),
        needed=total.needed,
        spare=total.spare,
        package=total.package,
        packages=total.packages,
        cents=total.cents,
        jobs=tuple(sorted(total.jobs)),
    )
