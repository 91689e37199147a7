"""Exports say what the plan says, line for line."""

from __future__ import annotations

import csv
import io
from datetime import date

import pytest

from schemas.lengths import INCH, PER_MM
from schemas.plan import Plan
from services.exports import cut_list_csv, order_csv, read_load, takeoff_csv, total_orders
from services.pipeline import purchase
from tests.builders import company, library
from tests.planned import plan

PLANNED = ("l-deck", "porch", "corner-45", "wraparound", "two-stair-sides", "metric")
DAY, ISSUED = date(2026, 12, 3), date(2026, 12, 2)


def records(raw: bytes) -> list[dict[str, str]]:
    """A CSV file's records by their heads."""
    return list(csv.DictReader(io.StringIO(raw.decode(), newline="")))


def stored(*names: str) -> list[bytes]:
    """Plan documents as they lie in the store."""
    return [plan(name).model_dump_json().encode() for name in names]


@pytest.mark.parametrize("name", PLANNED)
def test_the_takeoff_file_has_every_line(name: str) -> None:
    """In truck order, pieces and packages as on the load-out."""
    taken = plan(name).takeoff

    made = records(takeoff_csv(plan(name)))

    assert [(r["item"], r["variant"], int(r["packages"])) for r in made] == [
        (line.item, line.variant or "", line.packages) for line in taken.lines
    ]
    assert sum(int(r["grams"]) for r in made) == taken.grams
    assert all(r["why"] and r["places"] for r in made)


def test_prices_are_only_there_when_asked_for() -> None:
    """The file that a yard may be handed has none."""
    deck = plan("l-deck")

    plain, priced = records(takeoff_csv(deck)), records(takeoff_csv(deck, prices=True))

    assert "cost" not in plain[0]
    cents = sum(round(float(r["cost"]) * 100) for r in priced)
    assert cents == deck.takeoff.cost.material_cents


@pytest.mark.parametrize("name", PLANNED)
def test_the_cut_file_has_every_piece_at_its_place(name: str) -> None:
    """Lengths are those of the plan, exactly, in the unit that stands beside them."""
    made, cuts = records(cut_list_csv(plan(name))), plan(name).cuts
    lengths = {piece.id: piece.length for piece in cuts.pieces}
    lengths |= {name: end - start for bar in cuts.plain for name, start, end in bar.pieces}
    in_unit = {"mm": PER_MM, "in": INCH}

    assert sorted(r["piece"] for r in made) == sorted(lengths)
    for row in made:
        assert float(row["length"]) * in_unit[row["unit"]] == lengths[row["piece"]]
        assert row["tape"].endswith(f" {row['unit']}")
        assert float(row["start"]) < float(row["end"])


def test_totals_are_the_sums_of_the_load_outs() -> None:
    """Packages, pieces and money of three jobs; each colour and height is a line of its own."""
    names = ("l-deck", "corner-45", "metric")
    order = total_orders(
        [read_load(raw) for raw in stored(*names)], library=library(), needed_by=DAY, issued=ISSUED
    )
    lines = [line for name in names for line in plan(name).takeoff.lines]

    assert sum(line.cents for line in order.lines) == sum(line.cents for line in lines)
    assert {(o.item, o.variant) for o in order.lines} == {(x.item, x.variant) for x in lines}
    for one in order.lines:
        same = [x for x in lines if (x.item, x.variant) == (one.item, one.variant)]
        assert one.packages == sum(x.packages for x in same) == sum(n for _, n in one.jobs)
        assert one.needed == sum(x.needed for x in same)
        assert one.each * one.packages == one.cents
    caps = {o.variant: o.packages for o in order.lines if o.item == "cove-cap"}
    assert set(caps) == {"chalk", "slate"}


def test_a_long_night_names_its_first_jobs_and_counts_the_rest() -> None:
    """A cell of a spreadsheet holds 32,767 signs; the sums are those of all jobs."""
    load = read_load(stored("porch")[0])
    names = [f"J-{number:0>38}" for number in range(1000)]
    loads = (load.model_copy(update={"job": load.job.model_copy(update={"job": n})}) for n in names)

    order = total_orders(loads, library=library(), needed_by=DAY, issued=ISSUED)

    for line in order.lines:
        one = next(x for x in load.takeoff.lines if x.item == line.item)
        assert line.packages == 1000 * one.packages
        assert line.for_jobs.endswith("; and 800 more jobs")
        assert len(line.for_jobs) < 32_767


def test_an_order_is_written_for_each_supplier_and_for_what_has_none() -> None:
    """One file of totals, one order each; nothing at all for no jobs."""
    book = tuple(
        item.model_copy(update={"supplier": None}) if item.key == "core-96" else item
        for item in company().price_book
    )
    books = library().model_copy(
        update={"company": company().model_copy(update={"price_book": book})}
    )

    made = purchase(stored("l-deck"), library=books, day=DAY, issued=ISSUED)

    assert sorted(made) == [
        "order-harbour-hardware.xml", "order-open.xml", "order-rail-depot.xml", "order-totals.csv",
    ]  # fmt: skip
    assert b"core-96" in made["order-open.xml"]
    assert b"core-96" not in made["order-harbour-hardware.xml"]
    assert purchase([], library=books, day=DAY, issued=ISSUED) == {}


def test_without_a_currency_the_totals_carry_no_prices() -> None:
    """A number without its money would be a guess."""
    loads = [read_load(raw) for raw in stored("porch")]
    without = library().model_copy(
        update={"company": company().model_copy(update={"currency": None})}
    )

    made = records(order_csv(total_orders(loads, library=without, needed_by=DAY, issued=ISSUED)))

    assert {(r["price"], r["amount"], r["currency"]) for r in made} == {("", "", "")}


def test_a_stored_plan_is_read_as_it_was() -> None:
    """Only the takeoff is read, and it is the same one."""
    deck: Plan = plan("l-deck")

    load = read_load(stored("l-deck")[0])

    assert (load.job.job, load.takeoff) == (deck.job.job, deck.takeoff)
