"""What a replacement says of the pack it replaces."""

from __future__ import annotations

from functools import cache

from schemas.pages import Block, Facts, Figure, Prose, Sheet, Table, Tickets, Ticks
from schemas.plan import Plan
from services.pages.changed import come_and_gone, differences
from services.pipeline import make_pack, make_plan, make_sheets
from tests import builders
from tests.planned import plan
from tests.unit.services.pages.sheet_text import words

OLD = "7K2M-Q9DX"


@cache
def longer() -> Plan:
    """The L deck at revision 2, leg A found two inches longer."""
    tree = builders.document("l-deck")
    tree["revision"] = 2
    tree["lines"][0]["legs"][0]["length"] = "10' 2\""
    planned = make_plan(builders.submission(tree), library=builders.library()).plan
    assert planned is not None
    return planned


@cache
def again() -> Plan:
    """The L deck at revision 2 with nothing else changed."""
    tree = builders.document("l-deck")
    tree["revision"] = 2
    planned = make_plan(builders.submission(tree), library=builders.library()).plan
    assert planned is not None
    return planned


@cache
def sheets(*, known: bool = True) -> tuple[Sheet, ...]:
    """Sheets of the longer deck, replacing the first issue."""
    return make_sheets(longer(), replaces=OLD, before=plan("l-deck") if known else None)


def changed(found: tuple[Sheet, ...]) -> set[str]:
    """Keys of the sheets on which anything has a bar."""
    return {sheet.key for sheet in found if any(map(_barred, sheet.blocks))}


def _barred(block: Block) -> bool:
    match block:
        case Table():
            return any(row.changed for row in block.rows)
        case Ticks():
            return any(tick.changed for tick in block.ticks)
        case Facts():
            return any(fact.changed for fact in block.facts)
        case Prose() | Figure():
            return block.changed
        case Tickets():
            return any(ticket.changed for ticket in block.tickets)
        case _:
            return False


def sheet(key: str, *, known: bool = True) -> Sheet:
    """One sheet of the replacement."""
    return next(s for s in sheets(known=known) if s.key == key)


def test_changed_cut_is_listed_with_what_it_was() -> None:
    """Two inches more on the leg are an inch more on each of its two rails."""
    (table,) = [
        block
        for block in sheet("changes").blocks
        if isinstance(block, Table) and block.columns[-1].head == "Was"
    ]

    listed = [row.cells for row in table.rows]

    assert ("Cut list", "W-A1: Cut", "55 1/2", "54 1/2") in listed
    assert ("Key plan", "A: As measured", "122 (10' 2\")", "120 (10' 0\")") in listed
    assert not any("B1-B2" in cells[1] for cells in listed)


def test_changed_row_has_a_bar_and_its_neighbour_has_none() -> None:
    """On the cut list the rails of leg A are marked, the others are not."""
    tables = [block for block in sheet("cut-list").blocks if isinstance(block, Table)]
    rails = {row.cells[0]: row.changed for row in tables[0].rows}

    assert rails["W-A1"]
    assert rails["A1-B1"]
    assert not rails["B1-B2"]
    assert not rails["E1-E2"]


def test_ticket_of_a_changed_rail_has_a_bar() -> None:
    """Both rails of leg A's bays, by what is cut; a ticket whose number alone moved has none."""
    bars = {
        ticket.piece.split(" ")[0]: ticket.changed
        for block in sheet("cut-tickets").blocks
        if isinstance(block, Tickets)
        for ticket in block.tickets
    }

    assert bars["W-A1"]
    assert bars["A1-B1"]
    assert not bars["B1-B2"]


def test_bar_stands_on_what_has_changed_and_nowhere_else() -> None:
    """Leg A's bay has bars, the bays of other legs, its stair and the cautions have none."""
    bars = changed(sheets())

    assert "bay-W-A1" in bars
    assert not {"bay-B1-B2", "bay-E1-E2", "stair-S1-L", "cautions", "homeowner"} & bars


def test_revision_alone_is_no_change() -> None:
    """A new revision with the same figures has no bar, and says that nothing named differs."""
    found = make_sheets(again(), replaces=OLD, before=plan("l-deck"))

    assert changed(found) == set()
    assert "No named figure" in words(next(s for s in found if s.key == "changes"))


def test_unknown_old_plan_is_said() -> None:
    """Without the old plan nothing is marked, and the sheet says to take all as new."""
    assert changed(sheets(known=False)) == set()
    assert "take every figure as new" in words(sheet("changes", known=False))


def test_same_plans_give_the_same_code() -> None:
    """With the old plan at hand or lost, replacing this or that: same figures, same code."""
    one, two = (
        make_pack(longer(), issued=day, replaces=OLD, before=plan("l-deck")) for day in "ab"
    )
    lost = make_pack(longer(), issued="a", replaces=OLD)
    first = make_pack(longer(), issued="a")

    assert one.code == two.code == lost.code == first.code
    assert one.code != make_pack(again(), issued="a", replaces=OLD).code


def test_new_and_missing_sheets_are_named() -> None:
    """A bay sheet that the old pack had not is new; one that it had alone is gone."""
    old = make_sheets(plan("porch"))
    come, gone = come_and_gone(sheets(), old)

    assert "bay-E1-E2" in {s.key for s in come}
    assert "bay-A2-W" in {s.key for s in gone}
    assert "changes" not in {s.key for s in (*come, *gone)}
    assert all(d.sheet != "Bay E1-E2" for d in differences(sheets(), old))
