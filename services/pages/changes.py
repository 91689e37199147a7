"""What this pack replaces, what is to be done with the old one, and what is in it."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.pages import Block, Column, Heading, Prose, Row, Sheet, Table, Tick, Ticks
from schemas.plan import Plan

_HELD = (
    "Their tickets carry the old revision. Compare each with the new cut list before it is used."
)
NOTHING = "nothing"
"""What a first issue replaces."""


def changes(plan: Plan, *, replaces: str, sheets: Sequence[Sheet]) -> Sheet:
    """The sheet that retires the old paper and lists the new.

    Args:
        plan: The finished plan.
        replaces: What is to be destroyed, or ``nothing``.
        sheets: All other sheets of the pack, in order.
    """
    return Sheet(
        key="changes",
        title="Replaces",
        place=f"{plan.job.job} rev {plan.job.revision}",
        blocks=(*_retired(replaces), *_index(sheets)),
    )


def _retired(replaces: str) -> tuple[Block, ...]:
    if replaces == NOTHING:
        return (
            Prose(text="First issue: it replaces nothing.", role="lead"),
            Prose(
                text="If you hold any other paper for this job, stop and call the office before "
                "you cut: one of the two is wrong."
            ),
        )
    return (
        Prose(text=f"Replaces and retires: {replaces}", role="lead"),
        Ticks(
            ticks=(
                Tick(text=f"Old paper handed in or torn up: {replaces}", mark="1"),
                Tick(
                    text="Pieces already cut to the old paper laid aside and held",
                    mark="2",
                    under=(_HELD,),
                ),
                Tick(text="Both people on site have been told", mark="3"),
            )
        ),
    )  # fmt: skip


def _index(sheets: Sequence[Sheet]) -> tuple[Block, ...]:
    columns = (Column(head="Sheet", share=2, bold=True), Column(head="For", share=3))
    rows = tuple(Row(cells=(sheet.title, sheet.place)) for sheet in sheets)
    return (
        Heading(text="In this pack"),
        Prose(
            text="Every sheet carries the same code. A sheet with another code is not of this pack."
        ),
        Table(columns=columns, rows=rows, size="small"),
    )
