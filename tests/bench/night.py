"""What a night costs beside its computation, and how it grows with workers and jobs.

Three looks, all in one run. Computation: the demo's jobs under many numbers, planned and printed
in a loop in this process, against the same through ledger, queue and worker processes. Workers:
the same night with one and with two. Size: nights of 10 to 10,000 jobs with the stand-in for the
computation, so that what is left is ledger, queue, store and delivery. CPU is that of all
processes of the night; wall time is used for the ratio of one worker to two only.
"""

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
from worker.library import DEMO, load_library
from worker.night import run_night
from worker.processes import APP
from worker.settings import Settings

KINDS: Final = ("l-deck", "porch", "corner-45", "two-stair-sides")
REAL: Final = int(os.environ.get("DAWNPACK_TEST_NIGHT_JOBS", "200"))
SIZES: Final = (10, 100, 1_000, 10_000)
JOBS_A_CREW: Final = 4
STAND_IN: Final = "tests.stand_in_app"
ISSUED: Final = "2026-12-02"
OVERHEAD, SPEED_UP, FLAT = 0.10, 1.8, 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Took:
    """What a night took."""

    cpu: float
    wall: float


def run() -> dict[str, object]:
    """Run the nights."""
    raws = [_real(n) for n in range(REAL)]
    loop = _loop(raws)
    one = _night(raws, workers=1, app=APP)
    two = _night(raws, workers=2, app=APP)
    by_size = {
        size: _night([_quick(n) for n in range(size)], workers=2, app=STAND_IN) for size in SIZES
    }
    per_pack = {size: round(1000 * took.cpu / size, 2) for size, took in by_size.items()}
    overhead = round(one.cpu / loop - 1, 3)
    speed_up = round(one.wall / two.wall, 2)
    flat = round(per_pack[10_000] / per_pack[1_000], 2)
    figures = {
        "jobs": REAL,
        "loop_cpu_ms_a_pack": round(1000 * loop / REAL, 1),
        "night_cpu_ms_a_pack": round(1000 * one.cpu / REAL, 1),
        "overhead": overhead,
        "jobs_a_minute": {"1": round(60 * REAL / one.wall), "2": round(60 * REAL / two.wall)},
        "two_workers_over_one": speed_up,
        "queue_and_ledger_cpu_ms_a_job": per_pack,
        "growth_1000_to_10000": flat,
    }
    targets = {"overhead": OVERHEAD, "two_workers_over_one": SPEED_UP, "growth": FLAT}
    met = {
        "overhead": overhead < OVERHEAD,
        "two_workers_over_one": speed_up >= SPEED_UP,
        "growth": flat <= FLAT,
    }
    return {"figures": figures, "targets": targets, "met": met}


def _loop(raws: Sequence[bytes]) -> float:
    """CPU seconds of the computation alone."""
    from services import pipeline  # noqa: PLC0415  # loaded like a worker does, before the clock starts

    root = Path(tempfile.mkdtemp(prefix="loop-"))
    library = load_library(_library(root / "library", crews=-(-len(raws) // JOBS_A_CREW)))
    shutil.rmtree(root)
    _make(pipeline, raws[0], library)
    start = time.process_time()
    for raw in raws:
        _make(pipeline, raw, library)
    return time.process_time() - start


def _make(pipeline: object, raw: bytes, library: object) -> None:
    submission = pipeline.read_submission(raw)  # type: ignore[attr-defined]
    plan = pipeline.make_plan(submission, library=library).plan  # type: ignore[attr-defined]
    plan.model_dump_json()
    pipeline.make_pack(plan, issued=ISSUED, replaces="nothing")  # type: ignore[attr-defined]


def _night(raws: Sequence[bytes], *, workers: int, app: str) -> Took:
    """A night of these submissions, which are in the ledger when the clock starts."""
    root = Path(tempfile.mkdtemp(prefix="night-"))
    library = _library(root / "library", crews=-(-len(raws) // JOBS_A_CREW))
    works = build(
        Settings(data=root / "data", library=library, log="json", log_level="ERROR"),
        pipeline=StandIn() if app == STAND_IN else None,
    )
    for raw in raws:
        submission = works.pipeline.read_submission(raw)
        with works.ledger.writing() as tx:
            accept(tx, submission, raw=raw, issued=ISSUED)
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


def _library(folder: Path, *, crews: int) -> Path:
    """The demo's documents with as many crews as a night of that size has."""
    shutil.copytree(str(DEMO), folder)
    company = json.loads((folder / "company.json").read_bytes())
    first = company["crews"][0]
    company["crews"] = [{**first, "key": _crew(JOBS_A_CREW * n)} for n in range(crews)]
    (folder / "company.json").write_text(json.dumps(company))
    return folder


def _crew(number: int) -> str:
    return f"crew-{number // JOBS_A_CREW}"


def _real(number: int) -> bytes:
    tree = document(KINDS[number % len(KINDS)])
    tree |= {"job": f"N-{number}", "crew": _crew(number), "install_date": DAY.isoformat()}
    return json.dumps(tree).encode()


def _quick(number: int) -> bytes:
    return submission_of(f"N-{number}", crew=_crew(number))
