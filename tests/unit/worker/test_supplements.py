"""Late changes: a bundle that may be printed is never replaced without a sheet that says so."""

from __future__ import annotations

from pathlib import Path

import pytest

from services.delivery import times_of
from tests.stand_in import DAY, submission_of
from worker.bell import KeptBell, sweep
from worker.bootstrap import Works
from worker.clock import SetClock
from worker.desk import submit
from worker.ledger.deciding import withdraw
from worker.ledger.gathering import gather
from worker.making import make_bundle, make_pack
from worker.night.run import end_night, start_night
from worker.queues import MAKE_PACK

SHEET = "supplements/heron.pdf"


@pytest.fixture
def printing(works: Works, clock: SetClock) -> Works:
    """The works at an hour at which bundles may be printed."""
    last_run = times_of(works.library.company, DAY).last_run
    clock.at_ms = int(last_run.timestamp() * 1000)
    return works


def bring(works: Works, *jobs: tuple[str, int]) -> None:
    """Take jobs in, each at a revision."""
    for job, revision in jobs:
        submit(works, submission_of(job, revision=revision), came_as=job)


def run(works: Works, out: Path) -> dict[str, str]:
    """Run the night to its end; the codes of the day's packs by job."""
    night = start_night(works, day=DAY, issued="2026-12-02")
    bell = KeptBell()
    for _ in range(2):
        sweep(works, bell)
        while bell.rings:
            ring = bell.rings.pop()
            make = make_pack if ring.task == MAKE_PACK else make_bundle
            make(works, ring.row_id, holder="host:1")
        with works.ledger.writing() as tx:
            gather(tx, night, stamp=works.stamp)
    report = end_night(works, night, out)
    return {pack.job: pack.code for crew in report.crews for pack in crew.packs}


def lines(out: Path) -> list[str]:
    """What the supplement tells, but its head."""
    return (out / SHEET).read_text().splitlines()[1:]


def test_nothing_is_told_while_nothing_can_be_printed(works: Works, tmp_path: Path) -> None:
    """Before the hour of the last run a bundle is simply replaced."""
    bring(works, ("J-1", 1))
    run(works, tmp_path)
    bring(works, ("J-1", 2))
    run(works, tmp_path)

    assert not (tmp_path / SHEET).exists()


def test_a_late_change_is_told_job_by_job(printing: Works, tmp_path: Path) -> None:
    """What to destroy, what to work from, what is new and what is off; the rest is not named."""
    bring(printing, ("J-1", 1), ("J-2", 1), ("J-3", 1))
    old = run(printing, tmp_path)
    bring(printing, ("J-2", 2), ("J-4", 1))
    with printing.ledger.writing() as tx:
        withdraw(tx, "J-3", by="A. Duty", why="called")

    new = run(printing, tmp_path)

    assert lines(tmp_path) == [
        f"J-2: {old['J-2']} -> {new['J-2']}",
        f"J-3: {old['J-3']} -> - withdrawn: destroy pack {old['J-3']}",
        f"J-4: - -> {new['J-4']}",
    ]


def test_the_last_supplement_stands_for_all_before_it(printing: Works, tmp_path: Path) -> None:
    """It is told from the bundle that was printed."""
    bring(printing, ("J-1", 1), ("J-2", 1))
    old = run(printing, tmp_path)
    bring(printing, ("J-1", 2))
    run(printing, tmp_path)
    bring(printing, ("J-2", 2))

    new = run(printing, tmp_path)

    assert lines(tmp_path) == [f"{job}: {old[job]} -> {new[job]}" for job in ("J-1", "J-2")]


def test_without_a_change_a_later_run_tells_nothing(printing: Works, tmp_path: Path) -> None:
    """Nor does the same run, ended twice."""
    bring(printing, ("J-1", 1))
    run(printing, tmp_path)
    run(printing, tmp_path)

    assert not (tmp_path / SHEET).exists()


def test_a_job_that_became_held_is_not_to_be_started(printing: Works, tmp_path: Path) -> None:
    """Its old pack is to be destroyed, and the crew is told why there is no new one."""
    bring(printing, ("J-1", 1), ("J-2", 1))
    old = run(printing, tmp_path)
    submit(printing, submission_of("J-1", "ask", revision=2), came_as="J-1")

    run(printing, tmp_path)

    [told] = lines(tmp_path)
    assert told.startswith(f"J-1: {old['J-1']} -> - held: A2: which leg was misread?")
