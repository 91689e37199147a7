"""One step of a company's evening as a process of its own.

``submit [FAULT...]``, ``night OUT [DAY]``, ``keep`` (schedule and workers, until told to stop)
or ``serve PORT``. The computation is the stand-in; ledger, store, broker, queue and worker
processes are real.
"""

from __future__ import annotations

import signal
import sys
import threading
from datetime import date
from pathlib import Path

from tests.faults.house import APP, JOBS, WORKERS
from tests.shifted_clock import clock_asked_for
from tests.stand_in import DAY, StandIn, submission_of
from worker.api.serving import serve
from worker.bootstrap import Works, build
from worker.desk import submit
from worker.logs import set_up
from worker.night import run_night
from worker.schedule import keep_until
from worker.settings import Settings

ISSUED = "2026-12-02"


def main(step: str, *more: str) -> None:
    """Do the step."""
    settings = Settings.read()
    set_up(settings)
    works = build(settings, pipeline=StandIn(), clock=clock_asked_for())
    if step == "submit":
        _submit(works, more)
    elif step == "keep":
        _keep(works)
    elif step == "serve":
        serve(works, host="127.0.0.1", port=int(more[0]), size=0, app=APP)
    else:
        day = date.fromisoformat(more[1]) if more[1:] else DAY
        run_night(works, day=day, out=Path(more[0]), workers=WORKERS, issued=ISSUED, app=APP)


def _submit(works: Works, faults: tuple[str, ...]) -> None:
    more = [("H-more", "heron", faults)] if faults else []
    for number, crew, asked in (*JOBS, *more):
        raw = submission_of(number, *asked, crew=crew)
        submit(works, raw, came_as=number, issued=ISSUED)


def _keep(works: Works) -> None:
    stop = threading.Event()
    signal.signal(signal.SIGTERM, lambda *_: stop.set())
    keep_until(works, stop, size=WORKERS, app=APP)


if __name__ == "__main__":
    main(*sys.argv[1:])
