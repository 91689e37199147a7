"""One truck's load for several jobs: one unit, one sum, one limit."""

from __future__ import annotations

from datetime import date

import pytest

from schemas.bundle import Stop
from schemas.company import CAB, Company
from schemas.pages import Sheet, Table
from services.bundle.day_sheet import day_sheets
from tests import builders
from tests.planned import plan
from tests.unit.services.pages.sheet_text import words

POUND = 453.59237
INCHES, METRIC = (
    Stop(plan=plan(name), code="7K2M-Q9DX", replaces="nothing") for name in ("l-deck", "metric")
)


def load_out(*stops: Stop, company: Company | None = None, truck_kg: float = 900) -> Sheet:
    """The load-out of a crew's day."""
    yard = company or builders.company()
    crew = yard.crews[0].model_copy(update={"truck_kg": truck_kg})
    sheets = day_sheets(company=yard, crew=crew, day=date(2026, 12, 3), stops=stops, missing=())
    return next(sheet for sheet in sheets if sheet.key == "day-load-out")


def weights(sheet: Sheet) -> list[str]:
    """The weight of every line."""
    (table,) = [block for block in sheet.blocks if isinstance(block, Table)]
    return [row.cells[3] for row in table.rows]


@pytest.mark.parametrize("stops", [(INCHES, METRIC), (METRIC, INCHES), (METRIC,)])
def test_weights_stand_in_the_company_s_unit_whatever_the_jobs_are_in(
    stops: tuple[Stop, ...],
) -> None:
    """A job in millimetres on a truck of a yard in inches is in pounds, like the rest."""
    sheet = load_out(*stops)

    assert {cell.split()[-1] for cell in weights(sheet)} == {"lb"}
    assert " kg" not in words(sheet)


def test_a_metric_yard_s_loads_stand_in_kilograms() -> None:
    """Those of its jobs in inches too."""
    yard = builders.company().model_copy(update={"tape": "1 mm"})

    sheet = load_out(INCHES, METRIC, company=yard)

    assert {cell.split()[-1] for cell in weights(sheet)} == {"kg"}
    assert " lb" not in words(sheet)


def test_all_stops_weigh_on_one_truck() -> None:
    """Each fits alone; together they are over, by how much is said, and it is a hold point."""
    one, other = INCHES.plan.takeoff.grams, METRIC.plan.takeoff.grams
    truck = (one + other) / 1000 - 10

    assert "OVER" not in words(load_out(INCHES, truck_kg=truck))
    assert "OVER" not in words(load_out(METRIC, truck_kg=truck))

    both = words(load_out(INCHES, METRIC, truck_kg=truck))

    assert "OVER: call" in both
    assert f"The loads are {10_000 / POUND:.0f} lb over what the truck may carry" in both
    assert f"{(one + other) / POUND:.0f} lb" in both


def test_every_package_of_every_stop_is_on_it_in_truck_order() -> None:
    """The last stop's first, of each stop the heavy stock first; adhesive of all in the cab."""
    (table,) = [b for b in load_out(INCHES, METRIC).blocks if isinstance(b, Table)]
    first, last = (
        [line for line in stop.plan.takeoff.lines if line.load < CAB] for stop in (INCHES, METRIC)
    )
    cab = [
        f"{line.named}, stop {number}"
        for number, stop in enumerate((INCHES, METRIC), 1)
        for line in stop.plan.takeoff.lines
        if line.load >= CAB
    ]

    assert [row.cells[0] for row in table.rows] == [
        *(line.named for lines in (last, first) for line in sorted(lines, key=lambda x: x.load)),
        *cab,
    ]
    assert [row.group[:6] for row in table.rows] == (
        ["Stop 2"] * len(last) + ["Stop 1"] * len(first) + ["In the"] * len(cab)
    )


def test_no_cap_goes_in_under_a_core_or_a_rail() -> None:
    """What breaks stands below what is heavy on the list: it goes in after it."""
    (table,) = [b for b in load_out(INCHES).blocks if isinstance(b, Table)]
    names = [row.cells[0] for row in table.rows]
    at = {
        what: [i for i, name in enumerate(names) if what in name]
        for what in ("post core", "rail kit", "post cap", "adhesive")
    }

    assert all(at.values())
    assert max(at["post core"] + at["rail kit"]) < min(at["post cap"])
    assert min(at["adhesive"]) > max(at["post cap"])
