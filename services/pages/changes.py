"""What this pack replaces, what is to be done with the old one, what differs, what is in it."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.pages import Block, Column, Heading, Prose, Row, Sheet, Table, Tick, Ticks
from schemas.plan import Plan
from schemas.wording import counted, row, say
from services.pages.changed import Difference, come_and_gone, differences
from services.pages.wording import job_words

_HELD = say(
    "Their tickets carry the old revision. Compare each with the new cut list before it is used."
)
NOTHING = "nothing"
"""What a first issue replaces."""
_MOST = 20
"""Differences listed; a longer list is not read. Common practice."""


def changes(
    plan: Plan, *, replaces: str, sheets: Sequence[Sheet], before: Sequence[Sheet]
) -> Sheet:
    """The sheet that retires the old paper, says what differs and lists the new.

    Args:
        plan: The finished plan.
        replaces: What is to be destroyed, or ``nothing``.
        sheets: All other sheets of the pack, in order.
        before: Sheets of the pack it replaces, made of its own plan; empty where it is not known.
    """
    differs = () if replaces == NOTHING else _differs(sheets, before)
    return Sheet(
        key="changes",
        title=say("Replaces"),
        place=job_words(plan.job.job, plan.job.revision),
        blocks=(*_retired(replaces), *differs, *_index(sheets)),
    )


def _retired(replaces: str) -> tuple[Block, ...]:
    if replaces == NOTHING:
        return (
            Prose(text=say("First issue: it replaces nothing."), role="lead"),
            Prose(
                text=say(
                    "If you hold any other paper for this job, stop and call the office before "
                    "you cut: one of the two is wrong."
                )
            ),
        )
    return (
        Prose(text=say("Replaces and retires: {replaces}", replaces=replaces), role="lead"),
        Ticks(
            ticks=(
                Tick(
                    text=say("Old paper handed in or torn up: {replaces}", replaces=replaces),
                    mark="1",
                ),
                Tick(
                    text=say("Pieces already cut to the old paper laid aside and held"),
                    mark="2",
                    under=(_HELD,),
                ),
                Tick(text=say("Both people on site have been told"), mark="3"),
            )
        ),
    )


def _differs(sheets: Sequence[Sheet], before: Sequence[Sheet]) -> tuple[Block, ...]:
    """What is not as it was, figure by figure."""
    title = Heading(text=say("What has changed"))
    if not before:
        says = say("The old plan is not at hand: take every figure as new.")
        return (title, Prose(text=says, role="strong"))
    come, gone = come_and_gone(sheets, before)
    news = [
        (say("New sheets: {names}.", names=row(s.title for s in come)), come),
        (say("Sheets no longer in it: {names}.", names=row(s.title for s in gone)), gone),
    ]
    found = differences(sheets, before)
    if not found and not come and not gone:
        says = say("No named figure. What differs otherwise has a bar in the margin.")
        return (title, Prose(text=says, role="strong"))
    return (
        title,
        *(Prose(text=text, role="strong") for text, some in news if some),
        *_listed(found),
    )


def _listed(found: Sequence[Difference]) -> tuple[Block, ...]:
    if not found:
        return ()
    columns = (
        Column(head=say("Sheet"), share=1.5), Column(head=say("Where"), share=2.6, bold=True),
        Column(head=say("Now"), share=1.6, bold=True), Column(head=say("Was"), share=1.6),
    )  # fmt: skip
    rows = tuple(Row(cells=tuple(difference)) for difference in found[:_MOST])
    more = len(found) - _MOST
    rest = counted(
        "{count} more figure has changed; look for the bars in the margin of their sheets.",
        "{count} more figures have changed; look for the bars in the margin of their sheets.",
        count=more,
    )
    bars = say(
        "Rows, facts, steps and drawings that differ have a bar in the margin, cut tickets one at "
        "their left edge; the line under a title has none."
    )
    return (
        Table(columns=columns, rows=rows, size="dense"),
        *((Prose(text=rest, role="strong"),) if more > 0 else ()),
        Prose(text=bars, role="strong"),
    )


def _index(sheets: Sequence[Sheet]) -> tuple[Block, ...]:
    columns = (Column(head=say("Sheet"), share=2, bold=True), Column(head=say("For"), share=3))
    rows = tuple(Row(cells=(sheet.title, sheet.place)) for sheet in sheets)
    return (
        Heading(text=say("In this pack")),
        Prose(
            text=say(
                "Every sheet carries the same code. A sheet with another code is not of this pack."
            )
        ),
        Table(columns=columns, rows=rows, size="small"),
    )
