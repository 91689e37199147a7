"""The table for what the tape finds: opening to cut and margin, or call."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from schemas.bays import AsMeasured
from schemas.lengths import Length
from schemas.pages import Block, Column, Prose, Row, Table
from schemas.wording import row, say
from services.pages.wording import Ruler

_ABREAST, _ABREAST_MM = 3, 4
"""Sets of columns beside each other; whole millimetres are narrower than fractions."""
CALL = say("CALL")
"""No legal bay at this opening."""
_FRESH = say("† does not fit at its planned hole: take a fresh kit.")


def as_measured(
    rows: Sequence[AsMeasured],
    *,
    planned: int,
    count: int,
    low: int,
    high: int,
    ruler: Ruler,
    margin: str,
    fresh: Collection[Length],
    more: str = "",
) -> tuple[Block, ...]:
    """The valid window in words and the table, several rows abreast.

    Args:
        rows: Ascending openings.
        planned: The opening of the plan.
        count: Balusters of the plan.
        low: Smallest opening for that count.
        high: Largest.
        ruler: For the text of lengths.
        margin: What the margin is measured from, in words.
        fresh: Openings whose rail the planned place on the stock cannot give.
        more: What else the table is read with, in words.
    """
    shown = _to_build(rows)
    head = (
        Column(head=say("Found"), share=1, align="right", rule=True),
        Column(head=say("Cut"), share=1.06, align="right", bold=True),
        Column(head=say("Margin"), share=1.28, align="right"),
    )
    abreast = _ABREAST_MM if ruler.metric else _ABREAST
    depth = -(-len(shown) // abreast)
    found = [_cells(row, planned, count, ruler, fresh=row.opening in fresh) for row in shown]
    found += [("", "", "")] * (depth * abreast - len(found))
    table = tuple(
        Row(cells=tuple(cell for k in range(abreast) for cell in found[i + k * depth]))
        for i in range(depth)
    )
    window = say(
        "As measured. {count} balusters from {low} to {high} clear. Find the opening, read the cut "
        "and the {margin}. * the plan; (n) another count; CALL: no legal bay. Not in the table: "
        "call.",
        count=count,
        low=ruler.mark(low),
        high=ruler.mark(high),
        margin=margin,
    )
    legend = row(
        filter(None, (window, _FRESH if any(r.opening in fresh for r in shown) else "", more)), " "
    )
    return (
        Prose(text=legend, role="strong"),
        Table(columns=head * abreast, rows=table, size="dense"),
    )


def _to_build(rows: Sequence[AsMeasured]) -> Sequence[AsMeasured]:
    """The openings with a legal bay, and of each gap between such its two ends.

    What is not in the table is to be called about, so the openings left out say nothing else.
    """
    builds = [row.cut is not None for row in rows]
    if True not in builds:
        return rows
    last = len(rows) - 1
    return [
        row
        for at, row in enumerate(rows)
        if builds[at]
        or (0 < at < last and any(builds[:at]) and any(builds[at:])
            and (builds[at - 1] or builds[at + 1]))
    ]  # fmt: skip


def _cells(
    row: AsMeasured, planned: int, count: int, ruler: Ruler, *, fresh: bool
) -> tuple[str, str, str]:
    opening = ruler.mark(row.opening)
    opening = f"*{opening}" if row.opening == planned else f"†{opening}" if fresh else opening
    if row.cut is None or row.margin is None or row.balusters is None:
        return (opening, CALL, "")
    margin = ruler.mark(row.margin)
    if row.balusters != count:
        margin = f"{margin} ({row.balusters})"  # away from the cut, which is what is read next
    return (opening, ruler.mark(row.cut), margin)
