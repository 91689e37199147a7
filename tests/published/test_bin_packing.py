"""Bin packing instances of a public collection, solved to their known optimum.

Source:
    E. Falkenauer, A hybrid grouping genetic algorithm for bin packing, Journal of Heuristics 2
    (1996), in J. E. Beasley's OR-Library (binpack1, binpack2, binpack5). Optima: by construction
    for the triplets (a third of the items), else the bounds table of BPPLib.jl (2021).
    Misprint: the headers of u120_08 and u250_12 in older copies are one bin too high.
"""

from __future__ import annotations

import csv
from collections import Counter
from pathlib import Path

import pytest

from services.cut_plan.lower_bound import SCALE, Rows, most_held, prove
from services.cut_plan.optimum import optimum
from services.cut_plan.plain import Lot, plain_lattice

FOLDER = Path(__file__).parents[1] / "data" / "binpacking"


def rows() -> dict[str, dict[str, str]]:
    """The table of optima, by instance."""
    with (FOLDER / "optima.csv").open(newline="") as table:
        return {row["instance"]: row for row in csv.DictReader(table)}


def read(name: str) -> tuple[int, list[int]]:
    """Capacity and sizes of an instance."""
    count, capacity, *sizes = map(int, (FOLDER / f"{name}.txt").read_text().split())
    assert len(sizes) == count
    return capacity, sizes


@pytest.mark.parametrize("name", sorted(rows()))
def test_least_number_of_bins_is_the_published_one(name: str) -> None:
    """As many bins as the literature proved, proven again by whole numbers, each bin checked."""
    capacity, sizes = read(name)
    wanted = Counter(sizes)
    lattice = plain_lattice(
        wanted=dict(sorted(wanted.items(), reverse=True)), stock=[Lot(capacity, 1)], kerf=0
    )
    of_kind = sorted(wanted, reverse=True)

    solved = optimum(lattice, tail=lambda _: 0, seconds=60)

    bins = [[of_kind[kind] for kind in bar.order] for bar in solved.bars]
    again = prove(lattice, solved.worth.each, most_held(Rows(lattice), solved.worth.each),
                  scale=SCALE)  # fmt: skip
    assert Counter(size for one in bins for size in one) == wanted
    assert max(map(sum, bins)) <= capacity
    assert len(bins) == solved.cents == solved.bound == int(rows()[name]["optimal_bins"])
    assert again is not None
    assert again.cents == len(bins)


def test_header_of_the_old_copies_is_one_bin_too_high_twice() -> None:
    """The trap is in the data: two headers are over the optimum, so they are not trusted."""
    over = {
        name: int(row["best_known_in_orlib_header"]) - int(row["optimal_bins"])
        for name, row in rows().items()
    }

    assert {name for name, more in over.items() if more} == {"u120_08", "u250_12"}
    assert set(over.values()) == {0, 1}
