"""The schedule with a real broker, a real scheduler process and real workers."""

from __future__ import annotations

import os
import signal
import threading
import time
from collections.abc import Callable

from schemas.delivery import NightReport
from tests.integration.conftest import APP
from tests.stand_in import submission_of
from worker import clock
from worker.bootstrap import Works
from worker.desk import submit
from worker.schedule import keep_until
from worker.schedule.keep import Beat

PATIENCE = 60.0


def until(true: Callable[[], bool]) -> bool:
    """Whether it becomes true in time."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        if true():
            return True
        time.sleep(0.1)
    return False


def test_todays_night_is_made_without_anybody_asking(works: Works) -> None:
    """A run of it is due at every hour of the day: workers, scheduler and looks do the rest."""
    today = clock.day_of(works.clock.now_ms(), works.library.company.zone)
    submit(works, submission_of("H-1", day=today), came_as="H-1")
    report = works.settings.nights / today.isoformat() / "night-report.json"
    stop = threading.Event()
    keeper = threading.Thread(target=keep_until, args=(works, stop), kwargs={"size": 2, "app": APP})
    keeper.start()

    written = until(report.is_file)

    stop.set()
    keeper.join()
    assert written
    made = NightReport.model_validate_json(report.read_bytes())
    assert made.complete, made.faults
    assert [p.job for crew in made.crews for p in crew.packs] == ["H-1"]


def test_a_scheduler_that_dies_is_replaced(works: Works) -> None:
    """By the one who keeps it; and it ends with its keeper."""
    with Beat(works=works, broker_url=works.settings.broker_url, app=APP) as beat:
        first = beat._process  # noqa: SLF001  # the process is what dies
        assert first is not None
        os.kill(first.pid, signal.SIGKILL)
        first.wait()

        beat.tend()

        second = beat._process  # noqa: SLF001  # and is replaced
        assert second is not None
        assert second.pid != first.pid
        assert second.poll() is None
    assert second.poll() is not None
