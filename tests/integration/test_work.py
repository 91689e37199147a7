"""`dawnpack work`: workers that stand ready, with a broker of their own or another's."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from tests.integration.test_embedded_broker import ends
from tests.integration.test_embedded_broker import process_of as server_of
from tests.stand_in import DAY, StandIn, submission_of
from worker.bootstrap import Works, build
from worker.broker import EmbeddedBroker
from worker.desk import submit
from worker.ledger.records import every_job, job_by_number
from worker.ledger.tables import jobs
from worker.night import run_night
from worker.queues import PACKS
from worker.settings import Settings

STAND_IN_TEAM = """
import signal, threading
from tests.stand_in_app import SETTINGS, build_works
from worker.logs import set_up
from worker.processes import work_on_until
set_up(SETTINGS)
stop = threading.Event()
signal.signal(signal.SIGTERM, lambda *_: stop.set())
work_on_until(build_works(), stop, size=1, app="tests.stand_in_app")
"""


def start(works: Works) -> subprocess.Popen[bytes]:
    """Workers that stand ready, as a process of their own."""
    environ = {**os.environ, **works.settings.environ(), "PYTHONPATH": os.pathsep.join(sys.path)}
    return subprocess.Popen([sys.executable, "-c", STAND_IN_TEAM], env=environ)


def soon(holds: Callable[[], bool], *, within: float = 30.0) -> bool:
    """Whether something comes true."""
    end = time.monotonic() + within
    while time.monotonic() < end:
        if holds():
            return True
        time.sleep(0.05)
    return False


def state(works: Works) -> str:
    """Where the first job stands."""
    with works.ledger.writing() as tx:
        return job_by_number(tx, "J-1").state


def holder(works: Works) -> int:
    """The worker process that holds the first job."""
    with works.ledger.writing() as tx:
        held = tx.sql.execute(jobs.select().where(jobs.c.job == "J-1")).one()
    return int(held.holder.rpartition(":")[2])


def test_what_is_asked_for_now_is_made_now_and_workers_stop_when_told(works: Works) -> None:
    """What is running is finished first; nobody is left behind."""
    submit(works, submission_of("J-1", "slow 3"), came_as="J-1", wanted=PACKS)
    submit(works, submission_of("J-2"), came_as="J-2")
    team = start(works)

    assert soon(lambda: state(works) == "planned")
    worker = holder(works)
    team.send_signal(signal.SIGTERM)
    assert team.wait(timeout=60) == 0

    assert ends(worker)
    with works.ledger.writing() as tx:
        assert {job.job: job.state for job in every_job(tx)} == {
            "J-1": "packed",
            "J-2": "received",
        }


def test_workers_of_a_killed_owner_end_with_it(works: Works) -> None:
    """And their job is made by the next ones."""
    submit(works, submission_of("J-1", "slow 3"), came_as="J-1", wanted=PACKS)
    first = start(works)

    assert soon(lambda: state(works) == "planned")
    worker = holder(works)
    first.kill()
    first.wait()

    assert ends(worker)
    second = start(works)
    assert soon(lambda: state(works) == "packed")
    second.terminate()
    assert second.wait(timeout=60) == 0


def test_a_night_whose_own_broker_is_killed_goes_on_with_another(tmp_path: Path) -> None:
    """The embedded broker is tended while the night lasts."""
    settings = Settings(data=tmp_path / "data", lease=3, log="json")
    works = build(settings, pipeline=StandIn())
    for number in range(6):
        submit(works, submission_of(f"H-{number}", "slow 0.4"), came_as=str(number))
    killed: list[int] = []

    def kill_once(_: object) -> None:
        with works.ledger.writing() as tx:
            at_work = any(job.state == "planned" for job in every_job(tx))
        if at_work and not killed:
            with EmbeddedBroker(settings.data) as found:
                killed.append(server_of(found.url))
            os.kill(killed[0], signal.SIGKILL)

    report = run_night(
        works, day=DAY, out=tmp_path / "out", workers=2, app="tests.stand_in_app", tell=kill_once
    )

    assert killed
    assert report.complete, report.faults
    assert report.on_day_sheets == 6
