"""A night through real worker processes and a real broker."""

from __future__ import annotations

import os
import signal
import threading
import time
from collections.abc import Callable
from pathlib import Path

from redis import Redis

from schemas.delivery import NightReport
from schemas.plan import Plan
from schemas.site import Answer
from tests.integration.conftest import APP
from tests.stand_in import DAY, StandIn, submission_of
from worker.bell import QueueBell
from worker.bootstrap import Works
from worker.celery_app import make_app
from worker.desk import submit
from worker.ledger.deciding import answer
from worker.ledger.reading import happened
from worker.ledger.records import every_job
from worker.ledger.sweeping import Ring
from worker.ledger.tables import jobs
from worker.library import load_library
from worker.night import Progress, run_night
from worker.queues import MAKE_PACK


def night(works: Works, out: Path, **options: object) -> NightReport:
    """Run the night with two worker processes."""
    return run_night(
        works, day=DAY, out=out, workers=2, issued="2026-12-02", app=APP,
        **options,  # type: ignore[arg-type]
    )  # fmt: skip


def bring(works: Works, *jobs: tuple[str, ...], crew: str = "heron") -> None:
    """Take in jobs: a number and its faults each."""
    for number, *faults in jobs:
        submit(works, submission_of(number, *faults, crew=crew), came_as=number)


def codes(report: NightReport) -> dict[str, str]:
    """Content code of every pack and bundle."""
    packs = {pack.job: pack.code for crew in report.crews for pack in crew.packs}
    return packs | {crew.crew: crew.code for crew in report.crews}


def surely(stand_in: StandIn, raw: bytes) -> Plan:
    """The plan of a submission that asks nothing."""
    outcome = stand_in.make_plan(stand_in.read_submission(raw), library=load_library())
    assert outcome.plan is not None
    return outcome.plan


def redis_at(url: str) -> Redis:
    """A client of the broker."""
    return Redis.from_url(url.replace("redis+socket://", "unix://"))


def while_working(works: Works, act: Callable[[int], object]) -> threading.Thread:
    """Do something to the worker process as soon as it holds a job."""

    def watch() -> None:
        while True:
            with works.ledger.writing() as tx:
                held = tx.sql.execute(jobs.select().where(jobs.c.holder != "")).first()
            if held is not None:
                act(int(held.holder.rpartition(":")[2]))
                return
            time.sleep(0.02)

    thread = threading.Thread(target=watch)
    thread.start()
    return thread


def kill(process: int) -> None:
    """As the kernel does when memory runs out."""
    os.kill(process, signal.SIGKILL)


def test_every_crew_finds_its_bundle_and_every_job_is_accounted_for(
    works: Works, tmp_path: Path
) -> None:
    """One job held, one that never can be made: both named, nobody else delayed."""
    bring(works, ("H-1",), ("H-2", "ask"), ("H-3", "broken"))
    bring(works, ("F-1",), ("F-2",), crew="finch")
    told: list[Progress] = []

    report = night(works, tmp_path / "out", tell=told.append)

    assert report.complete, report.faults
    assert (report.jobs_due, report.on_day_sheets, report.excepted) == (5, 3, 2)
    assert {crew.crew: [p.job for p in crew.packs] for crew in report.crews} == {
        "finch": ["F-1", "F-2"],
        "heron": ["H-1"],
    }
    assert {(e.job, e.state) for e in report.exceptions} == {("H-2", "held"), ("H-3", "failed")}
    assert b"without H-2: held: A2: which leg" in (tmp_path / "out/bundles/heron.pdf").read_bytes()
    assert told[-1] == Progress(jobs=5, jobs_done=5, bundles=2, bundles_done=2)


def test_a_night_run_again_makes_only_what_has_changed(works: Works, tmp_path: Path) -> None:
    """An answer and a new revision between two runs; the third run finds nothing to do."""
    out = tmp_path / "out"
    bring(works, ("H-1",), ("H-2", "ask"))
    bring(works, ("F-1",), crew="finch")
    first = night(works, out)
    submit(works, submission_of("H-1", "slow 0", revision=2), came_as="H-1 r2")
    with works.ledger.writing() as tx:
        answer(tx, "H-2", Answer(question="which-post", option="leg-a", by="A. Duty", why="-"))

    second = night(works, out)
    stamps = {path: path.stat().st_mtime_ns for path in out.glob("*/*")}
    third = night(works, out)

    assert (first.packs_made, second.packs_made, third.packs_made) == (2, 2, 0)
    assert second.complete
    assert [(c.job, c.code) for c in second.called_back] == [("H-1", codes(first)["H-1"])]
    assert codes(second)["finch"] == codes(first)["finch"]
    assert codes(second)["heron"] != codes(first)["heron"]
    assert codes(third) == codes(second)
    assert stamps == {path: path.stat().st_mtime_ns for path in out.glob("*/*")}
    assert sorted(path.name for path in out.glob("packs/*")) == sorted(
        f"{job}-r{revision}-{codes(second)[job]}.pdf"
        for job, revision in (("F-1", 1), ("H-1", 2), ("H-2", 1))
    )


def test_a_worker_killed_in_the_middle_changes_nothing_on_paper(
    works: Works, tmp_path: Path
) -> None:
    """A second worker finishes the night; codes and files are those of a calm one."""
    numbers = [f"H-{n}" for n in range(6)]
    calm = StandIn()
    expected = {
        number: calm.make_pack(
            surely(calm, submission_of(number, "slow 0.2")), issued="-", replaces="-"
        ).code
        for number in numbers
    }
    bring(works, *((number, "slow 0.2") for number in numbers))
    killer = while_working(works, kill)

    report = night(works, tmp_path / "out")

    killer.join()
    assert report.complete, report.faults
    assert {job: code for job, code in codes(report).items() if job != "heron"} == expected
    assert len(list(works.settings.logs.glob("*.log"))) == 2


def test_a_worker_that_no_longer_listens_is_replaced(works: Works, tmp_path: Path) -> None:
    """It lives, it works on nothing, and messages wait: stopped here, as if it were deaf."""
    bring(works, *((f"H-{n}", "slow 0.2") for n in range(6)))
    deafen = while_working(works, lambda process: os.kill(process, signal.SIGSTOP))

    report = night(works, tmp_path / "out")

    deafen.join()
    assert report.complete, report.faults
    assert report.on_day_sheets == 6
    assert len(list(works.settings.logs.glob("*.log"))) == 2


def test_a_job_that_kills_its_workers_is_set_aside_and_the_others_are_made(
    works: Works, tmp_path: Path
) -> None:
    """Three times, then no more; one that kills only once is made."""
    bring(works, ("H-1",), ("H-2", "kill"), ("H-3", f"kill-once {tmp_path / 'once'}"), ("H-4",))

    report = night(works, tmp_path / "out")

    assert report.complete, report.faults
    assert [p.job for crew in report.crews for p in crew.packs] == ["H-1", "H-3", "H-4"]
    assert [(e.job, e.reason) for e in report.exceptions] == [
        ("H-2", "failed: could not be made: 3 workers were lost over it")
    ]


def test_a_broker_that_forgets_everything_costs_no_job(works: Works, tmp_path: Path) -> None:
    """The ledger rings again."""
    bring(works, *((f"H-{n}", "slow 0.3") for n in range(8)))
    url = works.settings.broker_url
    forget = while_working(works, lambda _: redis_at(url).flushall())

    report = night(works, tmp_path / "out")

    forget.join()
    assert report.complete, report.faults
    assert report.on_day_sheets == 8


def test_messages_that_come_again_change_nothing(works: Works, tmp_path: Path) -> None:
    """Each job is packed once, however often its bell rings."""
    bring(works, *((f"H-{n}", "slow 0.1") for n in range(4)))
    queue = QueueBell(make_app(works.settings))

    def ring_all(_: int) -> None:
        for _ in range(3):
            for row_id in range(1, 5):
                queue.ring(Ring(task=MAKE_PACK, row_id=row_id, queue="night"))

    doubled = while_working(works, ring_all)

    report = night(works, tmp_path / "out")

    doubled.join()
    assert report.complete, report.faults
    with works.ledger.writing() as tx:
        for job in every_job(tx):
            states = [event.now for event in happened(tx, "job", job.id)]
            assert states.count("packed") == 1
            assert states[-1] == "delivered"
