"""Rows of the as-measured table against the stock they are planned on."""

from __future__ import annotations

from services.pages.fresh_kit import off_plan
from tests.planned import plan


def test_rows_off_the_planned_stock_are_told_from_the_planned_row() -> None:
    """The planned opening fits every bay's place on its bar; the shortest stock marks all rows."""
    made = plan("l-deck")
    tight = made.cuts.model_copy(
        update={
            "bars": tuple(
                bar.model_copy(update={"stock": bar.stock.model_copy(update={"holes": 1})})
                for bar in made.cuts.bars
            )
        }
    )

    for group in made.bays.alike(made.layout):
        assert group[0].clear not in off_plan(group, made.cuts)
        cut = {row.opening for row in group[0].as_measured if row.cut is not None}
        assert off_plan(group, tight) == cut
