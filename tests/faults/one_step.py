"""One step of a company's evening as a process of its own: ``submit`` or ``night OUT [DAY]``.

The computation is the stand-in; ledger, store, broker, queue and worker processes are real.
"""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

from tests.faults.house import APP, JOBS, WORKERS
from tests.stand_in import DAY, StandIn, submission_of
from worker.bootstrap import build
from worker.desk import submit
from worker.logs import set_up
from worker.night import run_night
from worker.settings import Settings

ISSUED = "2026-12-02"


def main(step: str, *more: str) -> None:
    """Do the step."""
    settings = Settings.read()
    set_up(settings)
    works = build(settings, pipeline=StandIn())
    if step == "submit":
        for number, crew, faults in JOBS:
            raw = submission_of(number, *faults, crew=crew)
            submit(works, raw, came_as=number, issued=ISSUED)
        return
    day = date.fromisoformat(more[1]) if more[1:] else DAY
    run_night(works, day=day, out=Path(more[0]), workers=WORKERS, issued=ISSUED, app=APP)


if __name__ == "__main__":
    main(*sys.argv[1:])
