"""The night's shop cutting: made after the packs, kept while nothing changes, told truthfully."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from schemas.cut_plan import RackPiece
from services import pipeline
from tests.stand_in import DAY
from tests.unit.worker.test_nights import bring, run
from worker.bootstrap import Works
from worker.clock import SetClock
from worker.demo import JOBS
from worker.desk import submit
from worker.ledger import rack
from worker.ledger.deciding import withdraw
from worker.ledger.standing import standing_of

PORCH = json.loads((JOBS / "2-porch-between-walls.json").read_bytes())


@pytest.fixture
def shop(works: Works) -> Works:
    """Works of a company that cuts the whole night ahead, with the real computation."""
    company = works.library.company.model_copy(update={"cut_for": "night"})
    library = works.library.model_copy(update={"company": company})
    return replace(works, library=library, pipeline=pipeline)


def porch(works: Works, number: str, *, crew: str = "heron", revision: int = 1) -> None:
    """Take the demo's porch in under a number."""
    tree = PORCH | {
        "job": number, "crew": crew, "revision": revision, "install_date": DAY.isoformat(),
    }  # fmt: skip
    submit(works, json.dumps(tree).encode(), came_as=number)


@pytest.mark.parametrize("ledger_url", ["sqlite in memory", "postgresql"], indirect=True)
def test_the_night_leaves_a_shop_cut_list_and_its_plan(
    shop: Works, clock: SetClock, tmp_path: Path
) -> None:
    """Both crews' porches on one list; a second run keeps it byte for byte."""
    porch(shop, "P-1")
    porch(shop, "P-2", crew="wren")

    first = run(shop, clock, tmp_path)
    stamp = (tmp_path / "shop" / "night.pdf").stat().st_mtime_ns
    second = run(shop, clock, tmp_path)

    assert first.complete, first.faults
    assert [one.file for one in first.shop] == ["shop/night.pdf"]
    assert second.shop == first.shop
    assert (tmp_path / "shop" / "night.pdf").stat().st_mtime_ns == stamp
    plan = pipeline.read_shop((tmp_path / "shop" / "night.json").read_bytes())
    assert [job.job for job in plan.jobs] == ["P-1", "P-2"]


@pytest.mark.parametrize("ledger_url", ["sqlite in memory"], indirect=True)
def test_a_job_taken_off_is_cut_no_more(shop: Works, clock: SetClock, tmp_path: Path) -> None:
    """The list is made anew without it, and goes when nothing is left to cut."""
    porch(shop, "P-1")
    porch(shop, "P-2")
    before = run(shop, clock, tmp_path)
    with shop.ledger.writing() as tx:
        withdraw(tx, "P-2", by="A. Duty", why="rain")
        early = standing_of(tx, before.shop[0].code)
    assert (early.verdict, early.current) == ("superseded", "")
    assert early.changes == ("P-2 revision 1 is withdrawn: do not cut it",)

    one = run(shop, clock, tmp_path)
    with shop.ledger.writing() as tx:
        stands = [standing_of(tx, report.shop[0].code).verdict for report in (before, one)]
    assert stands == ["superseded", "current"]
    with shop.ledger.writing() as tx:
        withdraw(tx, "P-1", by="A. Duty", why="rain")
    none = run(shop, clock, tmp_path)

    assert before.shop[0].code != one.shop[0].code
    with shop.ledger.writing() as tx:
        old, newer = (standing_of(tx, report.shop[0].code) for report in (before, one))
    assert (old.verdict, newer.verdict) == ("withdrawn", "withdrawn")
    assert none.shop == ()
    assert not (tmp_path / "shop" / "night.pdf").exists()


@pytest.mark.parametrize("ledger_url", ["sqlite in memory"], indirect=True)
def test_each_crews_day_is_cut_for_itself(shop: Works, clock: SetClock, tmp_path: Path) -> None:
    """When the company file says so."""
    company = shop.library.company.model_copy(update={"cut_for": "crew-day"})
    works = replace(shop, library=shop.library.model_copy(update={"company": company}))
    porch(works, "P-1")
    porch(works, "P-2", crew="wren")

    report = run(works, clock, tmp_path)

    assert [one.pool for one in report.shop] == ["heron", "wren"]


@pytest.mark.parametrize("ledger_url", ["sqlite in memory"], indirect=True)
def test_the_shop_cuts_from_the_rack_first_and_is_told_the_same_again(
    shop: Works, clock: SetClock, tmp_path: Path
) -> None:
    """A kit's length hangs there: it is taken, stays taken, and is free when the job goes."""
    porch(shop, "P-1")
    kit = run(shop, clock, tmp_path).shop[0]
    bar = pipeline.read_shop((tmp_path / "shop" / "night.json").read_bytes()).cuts.bars[0]
    piece = bar.stock.model_copy(
        update={"id": "R1", "kit": None, "cents": 0, "boxed_cents": 0, "supply": 1}
    )
    with shop.ledger.writing() as tx:
        rack.put(tx, [RackPiece(stock=piece, home=None)], cause="test")
    porch(shop, "P-1", revision=2)

    first, again = run(shop, clock, tmp_path), run(shop, clock, tmp_path)
    with shop.ledger.writing() as tx:
        held = [(one.state, one.holder) for one in rack.pieces(tx)]
        withdraw(tx, "P-1", by="A. Duty", why="rain")
    run(shop, clock, tmp_path)

    assert kit.code != first.shop[0].code == again.shop[0].code
    assert held == [("set aside", "shop 1 night")]
    with shop.ledger.writing() as tx:
        assert [one.state for one in rack.pieces(tx)] == ["on rack"]


@pytest.mark.parametrize("ledger_url", ["sqlite in memory", "postgresql"], indirect=True)
def test_offcuts_of_a_cutting_are_free_with_the_last_job_it_is_for(
    shop: Works, clock: SetClock, tmp_path: Path
) -> None:
    """At once, not at the next night; while one job is left the shop may be cutting its list."""
    porch(shop, "P-1")
    porch(shop, "P-2", crew="wren")
    run(shop, clock, tmp_path)
    bar = pipeline.read_shop((tmp_path / "shop" / "night.json").read_bytes()).cuts.bars[0]
    piece = bar.stock.model_copy(
        update={"id": "R1", "kit": None, "cents": 0, "boxed_cents": 0, "supply": 1}
    )
    with shop.ledger.writing() as tx:
        rack.put(tx, [RackPiece(stock=piece, home=None)], cause="test")
    porch(shop, "P-1", revision=2)
    run(shop, clock, tmp_path)

    states = []
    for job in ("P-1", "P-2"):
        with shop.ledger.writing() as tx:
            states.append([one.state for one in rack.pieces(tx)])
            withdraw(tx, job, by="A. Duty", why="rain")
    with shop.ledger.writing() as tx:
        states.append([one.state for one in rack.pieces(tx)])

    assert states == [["set aside"], ["set aside"], ["on rack"]]


@pytest.mark.parametrize("ledger_url", ["sqlite in memory"], indirect=True)
def test_a_cutting_that_fails_is_a_fault_and_stops_nothing_else(
    works: Works, clock: SetClock, tmp_path: Path
) -> None:
    """The packs are delivered; the report says what the shop has no list for."""
    company = works.library.company.model_copy(update={"cut_for": "night"})
    library = works.library.model_copy(update={"company": company})
    works = replace(works, library=library)
    bring(works, "H-1", "shop breaks")

    report = run(works, clock, tmp_path)

    assert [p.job for p in report.crews[0].packs] == ["H-1"]
    assert report.faults == ("no shop cutting for night, cut on site: night breaks with 0 offcuts",)
