"""The takeoff as CSV: one record a line of the load, in truck order."""

from __future__ import annotations

from schemas.plan import Plan
from services.exports.table import Cell, csv_table, money

_HEADS = (
    "job", "revision", "load", "group", "item", "says", "variant", "needed", "spare", "package",
    "packages", "grams", "why", "places", "note",
)  # fmt: skip


def takeoff_csv(plan: Plan, *, prices: bool = False) -> bytes:
    """Every line of the takeoff.

    Args:
        plan: The finished plan.
        prices: With what the packages cost; for the office only.
    """
    job = plan.job
    heads = (*_HEADS, "cost") if prices else _HEADS
    rows: list[tuple[Cell, ...]] = []
    for line in plan.takeoff.lines:
        cells: tuple[Cell, ...] = (
            job.job, job.revision, line.load, line.group, line.item, line.says, line.variant,
            line.needed, line.spare, line.package, line.packages, line.grams, line.why,
            "; ".join(line.places), line.note,
        )  # fmt: skip
        rows.append((*cells, money(line.cents)) if prices else cells)
    return csv_table(heads, rows)
