"""The table for what the tape finds: opening to cut and margin, or call."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.bays import AsMeasured
from schemas.pages import Block, Column, Heading, Prose, Row, Table
from services.pages.wording import Ruler

_ABREAST, _ABREAST_MM = 3, 4
"""Sets of columns beside each other; whole millimetres are narrower than fractions."""
CALL = "CALL"
"""No legal bay at this opening."""


def as_measured(
    rows: Sequence[AsMeasured],
    *,
    planned: int,
    count: int,
    low: int,
    high: int,
    ruler: Ruler,
    margin: str,
) -> tuple[Block, ...]:
    """The valid window in words and the table, several rows abreast.

    Args:
        rows: Ascending openings.
        planned: The opening of the plan.
        count: Balusters of the plan.
        low: Smallest opening for that count.
        high: Largest.
        ruler: For the text of lengths.
        margin: What the margin is measured from, for the head.
    """
    head = (
        Column(head="Found", share=1.15, align="right"),
        Column(head="Cut", share=1.15, align="right", bold=True),
        Column(head=margin, share=1.3, align="right"),
        Column(head="", share=0.3),  # keeps one set's margin from the next set's opening
    )
    abreast = _ABREAST_MM if ruler.metric else _ABREAST
    depth = -(-len(rows) // abreast)
    found = [_cells(row, planned, count, ruler) for row in rows]
    found += [("", "", "", "")] * (depth * abreast - len(found))
    table = tuple(
        Row(cells=tuple(cell for k in range(abreast) for cell in found[i + k * depth])[:-1])
        for i in range(depth)
    )
    window = (
        f"{count} balusters from {ruler.mark(low)} to {ruler.mark(high)} clear. Measure as the "
        "posts really stand, cut to that line; * is the plan, (n) another count of balusters. "
        "CALL: no legal bay, ring the office."
    )
    return (
        Heading(text="As measured: find the opening, read the cut"),
        Prose(text=window),
        Table(columns=(head * abreast)[:-1], rows=table),
    )


def _cells(row: AsMeasured, planned: int, count: int, ruler: Ruler) -> tuple[str, str, str, str]:
    opening = ruler.mark(row.opening)
    opening = f"*{opening}" if row.opening == planned else opening
    if row.cut is None or row.margin is None or row.balusters is None:
        return (opening, CALL, "", "")
    margin = ruler.mark(row.margin)
    if row.balusters != count:
        margin = f"({row.balusters}) {margin}"  # may part here, never within the measure
    return (opening, ruler.mark(row.cut), margin, "")
