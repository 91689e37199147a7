"""Nights of many jobs, run and measured: for the benchmarks."""

from __future__ import annotations

import json
import os
import resource
import shutil
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tests.builders import document
from tests.stand_in import DAY, StandIn, submission_of
from worker.bootstrap import build
from worker.ledger.accepting import accept
from worker.library import DEMO
from worker.night import run_night
from worker.processes import APP
from worker.settings import Settings

KINDS: Final = ("l-deck", "porch", "corner-45", "two-stair-sides")
JOBS_A_CREW: Final = 4
STAND_IN: Final = "tests.stand_in_app"
ISSUED: Final = "2026-12-02"


@dataclass(frozen=True, slots=True, kw_only=True)
class Took:
    """What a night took."""

    cpu: float
    """Of all its processes, their start included. [s]"""
    wall: float
    """[s]"""


def night(raws: Sequence[bytes], *, workers: int, app: str = APP) -> Took:
    """A night of these submissions, which are in the ledger when the clock starts."""
    root = Path(tempfile.mkdtemp(prefix="night-", dir=os.environ.get("DAWNPACK_TEST_NIGHT_IN")))
    library = library_in(root / "library", crews=-(-len(raws) // JOBS_A_CREW))
    works = build(
        Settings(data=root / "data", library=library, log="json", log_level="ERROR"),
        pipeline=StandIn() if app == STAND_IN else None,
    )
    with works.ledger.writing() as tx:
        for raw in raws:
            accept(tx, works.pipeline.read_submission(raw), raw=raw, issued=ISSUED)
    before, start = _cpu(), time.monotonic()
    report = run_night(works, day=DAY, out=root / "out", workers=workers, issued=ISSUED, app=app)
    took = Took(cpu=_cpu() - before, wall=time.monotonic() - start)
    works.ledger.close()
    shutil.rmtree(root)
    assert report.complete, report.faults
    assert report.on_day_sheets == len(raws)
    return took


def _cpu() -> float:
    """CPU seconds so far of this process and of those it has waited for."""
    who = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    used = [resource.getrusage(each) for each in who]
    return sum(each.ru_utime + each.ru_stime for each in used)


def library_in(folder: Path, *, crews: int) -> Path:
    """The demo's documents with as many crews as a night of that size has."""
    shutil.copytree(str(DEMO), folder)
    company = json.loads((folder / "company.json").read_bytes())
    first = company["crews"][0]
    company["crews"] = [{**first, "key": crew_of(JOBS_A_CREW * n)} for n in range(crews)]
    (folder / "company.json").write_text(json.dumps(company))
    return folder


def crew_of(number: int) -> str:
    """The crew of a job, by its number."""
    return f"crew-{number // JOBS_A_CREW}"


def real_job(number: int) -> bytes:
    """One of the demo's jobs under a number of its own."""
    tree = document(KINDS[number % len(KINDS)])
    tree |= {"job": f"N-{number}", "crew": crew_of(number), "install_date": DAY.isoformat()}
    return json.dumps(tree).encode()


def quick_job(number: int) -> bytes:
    """A job for the stand-in."""
    return submission_of(f"N-{number}", crew=crew_of(number))
