"""The table for what the tape finds: opening to cut and margin, or call."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import groupby

from schemas.bays import AsMeasured, openings_cut
from schemas.lengths import Length
from schemas.pages import Block, Column, Prose, Row, Table
from schemas.wording import row, say
from services.pages.wording import Ruler

_ABREAST, _ABREAST_MM = 3, 4
"""Sets of columns beside each other; whole millimetres are narrower than fractions."""
CALL = say("CALL")
"""No legal bay at this opening."""
_CALLS = say("CALL, to: no legal bay from the one opening to the other.")
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
    found = [
        _gap(first, last, ruler)
        if first.cut is None
        else _cells(first, planned, count, ruler, fresh=first.opening in fresh)
        for first, last in shown
    ]
    found += [("", "", "")] * (-len(found) % abreast)
    table = tuple(
        Row(cells=tuple(cell for cells in found[start : start + abreast] for cell in cells))
        for start in range(0, len(found), abreast)
    )
    least, greatest = openings_cut(rows)
    window = say(
        "As measured, {least} to {greatest}, read across. Find the opening, read the cut and the "
        "{margin}. * the plan; (n) another count. {count} balusters can stand from {low} to "
        "{high} clear; not in the table: call.",
        least=ruler.mark(least),
        greatest=ruler.mark(greatest),
        count=count,
        low=ruler.mark(low),
        high=ruler.mark(high),
        margin=margin,
    )
    gaps = any(first.cut is None for first, _ in shown)
    fresh_here = any(first.opening in fresh for first, _ in shown)
    legend = row(
        filter(None, (window, _CALLS if gaps else "", _FRESH if fresh_here else "", more)), " "
    )
    return (
        Prose(text=legend, role="strong"),
        Table(columns=head * abreast, rows=table, size="dense"),
    )


def _to_build(rows: Sequence[AsMeasured]) -> list[tuple[AsMeasured, AsMeasured]]:
    """Each opening with a legal bay, and each gap between such from its first to its last.

    Below the first and beyond the last the legend says what is to be done.
    """
    runs: list[tuple[AsMeasured, AsMeasured]] = []
    for legal, run in groupby(rows, key=lambda row: row.cut is not None):
        every = list(run)
        runs += [(row, row) for row in every] if legal else [(every[0], every[-1])]
    first, last = (
        (0 if runs[0][0].cut is not None else 1),
        (-1 if runs[-1][0].cut is None else None),
    )
    return runs[first:last]


def _gap(first: AsMeasured, last: AsMeasured, ruler: Ruler) -> tuple[str, str, str]:
    """The openings between two legal ones at which there is no legal bay."""
    if first == last:
        return (ruler.mark(first.opening), CALL, "")
    return (ruler.mark(first.opening), CALL, say("to {last}", last=ruler.mark(last.opening)))


def _cells(
    row: AsMeasured, planned: int, count: int, ruler: Ruler, *, fresh: bool
) -> tuple[str, str, str]:
    opening = ruler.mark(row.opening)
    opening = f"*{opening}" if row.opening == planned else f"†{opening}" if fresh else opening
    cut, margin = ruler.maybe(row.cut, CALL), ruler.maybe(row.margin, "")
    if row.balusters != count:
        margin = f"{margin} ({row.balusters})"  # away from the cut, which is what is read next
    return (opening, cut, margin)
