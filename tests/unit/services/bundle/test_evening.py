"""The evening return asks for all that the office needs, by the plan's own names."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.bundle import Stop
from schemas.cut_plan import Offcut
from schemas.lengths import INCH
from schemas.pages import Table, WriteIn
from services.bundle.evening import evening_return
from services.tape import text_with_unit
from tests.planned import plan

STOPS = tuple(
    Stop(plan=plan(name), code="7K2M-Q9DX", replaces="nothing") for name in ("l-deck", "metric")
)


LEFT = Offcut(start=60 * INCH, length=30 * INCH, first_hole=3 * INCH, holes=6)
SCRAP = Offcut(start=60 * INCH, length=26 * INCH, first_hole=30 * INCH, holes=0)


def with_offcuts(*offcuts: Offcut) -> Stop:
    """The first stop, its first bar leaving these and no other bar any."""
    whole = STOPS[0].plan
    first, *others = (bar.model_copy(update={"offcuts": ()}) for bar in whole.cuts.bars)
    bars = (first.model_copy(update={"offcuts": offcuts}), *others)
    plain = tuple(bar.model_copy(update={"racked": False}) for bar in whole.cuts.plain)
    cuts = whole.cuts.model_copy(update={"bars": bars, "plain": plain})
    return STOPS[0].model_copy(update={"plan": whole.model_copy(update={"cuts": cuts})})


def table(head: str, stops: Sequence[Stop] = STOPS) -> Table:
    """The table whose first column is headed so."""
    tables = [block for block in evening_return(stops) if isinstance(block, Table)]
    return next(one for one in tables if one.columns[0].head == head)


def test_hours_are_asked_for_by_work() -> None:
    """Every kind of work that was planned, set-up and travel too, with its planned hours."""
    works = [(stop, line) for stop in STOPS for line in stop.plan.takeoff.hours]

    rows = table("Work").rows

    assert [row.cells[0] for row in rows] == [line.task for _, line in works]
    assert [row.group for row in rows] == [f"{s.plan.job.job} rev 1" for s, _ in works]
    assert table("Work").columns[-1].box


def test_every_kit_is_counted_back_unopened_or_as_opened_stock() -> None:
    """Each with how many went out, colour and height; two boxes to fill."""
    kits = table("Kits and packages")
    said = {(row.group, row.cells[0]): row.cells[1] for row in kits.rows}

    assert [column.head for column in kits.columns if column.box] == [
        "Back unopened",
        "Opened, pieces left",
    ]
    for stop in STOPS:
        for line in stop.plan.takeoff.lines:
            if line.group == "rails":
                assert said[f"{stop.plan.job.job} rev 1", line.named] == str(line.packages)
    assert not any("guard" in name for _, name in said)


def test_every_offcut_worth_keeping_goes_to_the_rack_with_its_length_and_holes() -> None:
    """As the cut plan leaves them; one without a hole says so, each with a box for the rack."""
    rack = table("Offcut of", [with_offcuts(LEFT, SCRAP)])

    assert [row.cells[1:4] for row in rack.rows] == [
        ("30 in", "3 in", "6"),
        ("26 in", "no hole", "0"),
    ]
    assert all("chalk" in row.cells[0] for row in rack.rows)
    assert rack.columns[-1].box


def test_rests_of_sticks_go_to_the_rack_as_well() -> None:
    """Each with its stick, its length, and no hole."""
    kept = [
        (f"stick {bar.number}, ", text_with_unit(bar.left, stop.plan.job.step))
        for stop in STOPS
        for bar in stop.plan.cuts.plain
        if bar.racked
    ]

    rows = [row.cells for row in table("Offcut of").rows if row.cells[2] == "no hole"]

    assert kept
    assert [row[1] for row in rows] == [length for _, length in kept]
    assert all(row[0].startswith(name) for row, (name, _) in zip(rows, kept, strict=True))


def test_without_offcuts_it_says_so() -> None:
    """No empty table is left standing."""
    blocks = evening_return([with_offcuts()])

    assert not any(isinstance(b, Table) and b.columns[0].head == "Offcut of" for b in blocks)
    assert any("None is planned" in str(block) for block in blocks)


def test_what_is_left_and_what_was_changed_has_room() -> None:
    """Lines to write on."""
    (lines,) = [block for block in evening_return(STOPS) if isinstance(block, WriteIn)]

    assert {"Left over", "Changed from the drawings", "Missing on site"} <= set(lines.labels)
