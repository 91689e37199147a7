"""Order totals: what the load-outs of many jobs take together."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from pydantic import BaseModel, ConfigDict

from schemas.company import Company
from schemas.lengths import INSIDE
from schemas.order import OrderLine, OrderTotals
from schemas.record import Key
from schemas.takeoff import Takeoff, TakeoffLine


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


def total_orders(
    loads: Iterable[JobLoad], *, company: Company, needed_by: date, issued: date
) -> OrderTotals:
    """Add up what the jobs load.

    Packages are those of the load-outs: every crew takes whole ones, so none runs short. What
    is on the shelf already is not known here and is the buyer's to take off.

    Args:
        loads: One a job.
        company: For suppliers and currency.
        needed_by: Day of work.
        issued: Day on which it is worked out.
    """
    together: dict[tuple[str, str | None], list[tuple[str, TakeoffLine]]] = {}
    for load in loads:
        for line in load.takeoff.lines:
            together.setdefault((line.item, line.variant), []).append((load.job.job, line))
    suppliers = {item.key: item.supplier for item in company.price_book}
    lines = [_line(same, suppliers.get(item)) for (item, _), same in together.items()]
    return OrderTotals(
        key=f"{company.key}-{needed_by.isoformat()}"[:40],
        buyer=company.name,
        currency=company.currency,
        issued=issued,
        needed_by=needed_by,
        lines=tuple(sorted(lines, key=_order)),
    )


def _order(line: OrderLine) -> tuple[bool, str, str, str]:
    return line.supplier is None, line.supplier or "", line.item, line.variant or ""


def _line(same: list[tuple[str, TakeoffLine]], supplier: str | None) -> OrderLine:
    first = same[0][1]
    return OrderLine(
        supplier=supplier,
        item=first.item,
        says=first.says,
        variant=first.variant,
        needed=sum(line.needed for _, line in same),
        spare=sum(line.spare for _, line in same),
        package=first.package,
        packages=sum(line.packages for _, line in same),
        cents=sum(line.cents for _, line in same),
        jobs=tuple(sorted((job, line.packages) for job, line in same)),
    )
