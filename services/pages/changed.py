"""What differs between a pack and the one it replaces, found on the sheets themselves.

Both packs are laid out by the same program, so whatever differs is a difference of the job.
The revision's own number is not one. A row, a fact, a step, a paragraph or a drawing that
the old pack did not show in that place gets a bar in the margin.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from schemas.drawings import Drawing
from schemas.pages import (
    Block,
    Fact,
    Facts,
    Figure,
    Prose,
    Row,
    Sheet,
    Table,
    Tick,
    Ticket,
    Tickets,
    Ticks,
)
from schemas.wording import say

_REVISION = re.compile(r"\b(rev(?:ision)? |r)\d+\b")
_SMALL_PRINT = frozenset({"cautions", "homeowner", "open-edge", "changes"})
"""Sheets whose differences follow from those of others."""
_NOT_LISTED = _SMALL_PRINT | {"as-built", "findings"}
"""Sheets whose figures stand on others too, where they are listed."""


class Difference(NamedTuple):
    """One figure that is not as it was."""

    sheet: str
    """Title of its sheet."""
    place: str
    """The row or fact, and its column."""
    now: str
    was: str
    """Empty: it did not stand there."""


def marked(sheets: Sequence[Sheet], before: Sequence[Sheet]) -> tuple[Sheet, ...]:
    """The sheets, with all that differs from those before set off.

    Args:
        sheets: Of the new pack.
        before: Of the one it replaces, laid out by the same program; none marks nothing.
    """
    if not before:
        return tuple(sheets)
    old = {sheet.key: _said(sheet) for sheet in before}
    return tuple(
        sheet
        if sheet.key in _SMALL_PRINT
        else sheet.model_copy(
            update={"blocks": tuple(_marked(b, old.get(sheet.key, set())) for b in sheet.blocks)}
        )
        for sheet in sheets
    )


def differences(sheets: Sequence[Sheet], before: Sequence[Sheet]) -> tuple[Difference, ...]:
    """Named figures that differ: facts by their label, cells by their row and head.

    Args:
        sheets: Of the new pack.
        before: Of the one it replaces.
    """
    old = {sheet.key: {at: value for at, _, value in _figures(sheet)} for sheet in before}
    out: list[Difference] = []
    for sheet in sheets:
        if sheet.key in _NOT_LISTED or sheet.key not in old:
            continue
        was = old[sheet.key]
        out += [
            Difference(sheet.title, place, now, was.get(at, ""))
            for at, place, now in _figures(sheet)
            if _plain(now) != _plain(was.get(at, ""))
        ]
    return tuple(out)


def come_and_gone(
    sheets: Sequence[Sheet], before: Sequence[Sheet]
) -> tuple[tuple[Sheet, ...], tuple[Sheet, ...]]:
    """Sheets that the old pack had not, and sheets of the old that are no more."""
    new, old = {s.key for s in sheets} | _SMALL_PRINT, {s.key for s in before}
    come = tuple(sheet for sheet in sheets if sheet.key not in old)
    return come, tuple(sheet for sheet in before if sheet.key not in new)


def _plain(text: str) -> str:
    """A text without revision numbers, which always differ."""
    return _REVISION.sub(r"\1", str(text))


def _said(sheet: Sheet) -> set[tuple[str, ...]]:
    return {part for block in sheet.blocks for part in _parts(block)}


def _parts(block: Block) -> Iterator[tuple[str, ...]]:
    """Everything of a block that is marked on its own."""
    match block:
        case Table():
            yield from map(_row, block.rows)
        case Facts():
            yield from map(_fact, block.facts)
        case Ticks():
            yield from map(_tick, block.ticks)
        case Prose():
            yield (_plain(block.text),)
        case Figure():
            yield _shown(block.drawing)
        case Tickets():
            yield from map(_ticket, block.tickets)
        case _:
            return


def _ticket(ticket: Ticket) -> tuple[str, ...]:
    """A ticket by what is cut to it; its number may move without that."""
    return tuple(map(_plain, (ticket.piece, ticket.cut, *ticket.lines, ticket.end)))


def _row(row: Row) -> tuple[str, ...]:
    return tuple(map(_plain, row.cells))


def _fact(fact: Fact) -> tuple[str, ...]:
    return (fact.label, _plain(fact.value))


def _tick(tick: Tick) -> tuple[str, ...]:
    """A step by what it says; its number alone is no difference."""
    return (_plain(tick.text), *tick.under[:1]) if tick.hold else (_plain(tick.text),)


def _shown(drawing: Drawing) -> tuple[str, ...]:
    return tuple(sorted(_plain(label.text) for label in drawing.labels))


def _marked(block: Block, old: set[tuple[str, ...]]) -> Block:
    match block:
        case Table():
            rows = tuple(r.model_copy(update={"changed": _row(r) not in old}) for r in block.rows)
            return block.model_copy(update={"rows": rows})
        case Facts():
            facts = tuple(
                f.model_copy(update={"changed": _fact(f) not in old}) for f in block.facts
            )
            return block.model_copy(update={"facts": facts})
        case Ticks():
            ticks = tuple(
                t.model_copy(update={"changed": _tick(t) not in old}) for t in block.ticks
            )
            return block.model_copy(update={"ticks": ticks})
        case Tickets():
            tickets = tuple(
                t.model_copy(update={"changed": _ticket(t) not in old}) for t in block.tickets
            )
            return block.model_copy(update={"tickets": tickets})
        case Prose() | Figure():
            (part,) = _parts(block)
            return block.model_copy(update={"changed": part not in old})
        case _:
            return block


def _figures(sheet: Sheet) -> Iterator[tuple[tuple[str, ...], str, str]]:
    """Facts and cells by what is the same in both packs, where they have such, and in words."""
    yield ("place",), say("How many, and where"), sheet.place
    for block in sheet.blocks:
        if isinstance(block, Facts):
            for fact in block.facts:
                yield (fact.label,), fact.label, fact.value
        elif isinstance(block, Table) and _named(block):
            heads = tuple(column.head for column in block.columns)
            for row in block.rows:
                for column, cell in zip(block.columns[1:], row.cells[1:], strict=True):
                    if not column.box:
                        name = row.cells[0]
                        place = say("{row}: {head}", row=name, head=column.head)
                        yield (*heads, name, column.head), place, cell


def _named(table: Table) -> bool:
    """Whether its rows have names of their own: first cells bold, no two alike."""
    names = [row.cells[0] for row in table.rows]
    return table.columns[0].bold and len(set(names)) == len(names)
