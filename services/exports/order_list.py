"""Order totals as CSV: one record a part, all suppliers in one table."""

from __future__ import annotations

from schemas.order import OrderTotals
from services.exports.table import csv_table, money

_HEADS = (
    "order", "needed_by", "supplier", "item", "says", "variant", "needed", "spare", "package",
    "packages", "price", "amount", "currency", "jobs",
)  # fmt: skip


def order_csv(order: OrderTotals) -> bytes:
    """Every part to buy; without a currency, without prices."""
    priced = order.currency is not None
    return csv_table(
        _HEADS,
        (
            (
                order.key, order.needed_by.isoformat(), line.supplier, line.item, line.says,
                line.variant, line.needed, line.spare, line.package, line.packages,
                money(line.each) if priced else None, money(line.cents) if priced else None,
                order.currency, line.for_jobs,
            )
            for line in order.lines
        ),
    )  # fmt: skip
