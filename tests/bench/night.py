"""What queue and ledger cost beside a night's computing, and what a second worker brings.

All real: the demo's jobs under many numbers, four a crew. The computing alone is a loop in one
process over the first jobs: plans, packs, crews' bundles, order totals and the check of bookings,
all that a night computes. The night does the same through ledger, queue, store and worker
processes, whose start counts. CPU is that of all its processes; wall time is used only for the
ratio of one worker to two, which means something on two idle cores. Set
DAWNPACK_TEST_NIGHT_JOBS for another size.
"""

from __future__ import annotations

import os
import shutil
import tempfile
import time
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Final

from schemas.bundle import Stop
from schemas.job import Library
from schemas.wording import WHOLE
from services import pipeline
from tests.night_runs import ISSUED, JOBS_A_CREW, crew_of, library_in, night, real_job
from tests.stand_in import DAY
from worker.library import load_library

JOBS: Final = int(os.environ.get("DAWNPACK_TEST_NIGHT_JOBS", "400"))
LOOPED: Final = min(JOBS, 120)
OVERHEAD, SPEED_UP = 0.10, 1.8


def run() -> dict[str, object]:
    """Run the loop and the nights."""
    raws = [real_job(n) for n in range(JOBS)]
    loop = _loop(raws[:LOOPED]) / LOOPED
    one, two = night(raws, workers=1), night(raws, workers=2)
    overhead = one.cpu / JOBS / loop - 1
    figures = {
        "jobs": JOBS,
        "computing_cpu_ms_a_job": round(1000 * loop, 1),
        "night_cpu_ms_a_job": round(1000 * one.cpu / JOBS, 1),
        "overhead": round(overhead, 3),
        "jobs_a_minute": {"1": round(60 * JOBS / one.wall), "2": round(60 * JOBS / two.wall)},
        "two_workers_over_one": round(one.wall / two.wall, 2),
    }
    targets = {"overhead": OVERHEAD, "two_workers_over_one": SPEED_UP}
    met = {
        "overhead": overhead < OVERHEAD,
        "two_workers_over_one": one.wall / two.wall >= SPEED_UP,
    }
    return {"figures": figures, "targets": targets, "met": met}


def _loop(raws: Sequence[bytes]) -> float:
    """CPU seconds of the computing alone."""
    root = Path(tempfile.mkdtemp(prefix="loop-"))
    library = load_library(library_in(root / "library", crews=-(-len(raws) // JOBS_A_CREW)))
    shutil.rmtree(root)
    _compute(raws[:JOBS_A_CREW], library)  # fonts and solver are loaded
    start = time.process_time()
    _compute(raws, library)
    return time.process_time() - start


def _compute(raws: Sequence[bytes], library: Library) -> None:
    stored: list[bytes] = []
    for first in range(0, len(raws), JOBS_A_CREW):
        stops = []
        for raw in raws[first : first + JOBS_A_CREW]:
            plan = pipeline.make_plan(pipeline.read_submission(raw), library=library).plan
            assert plan is not None
            stored.append(plan.model_dump_json(context=WHOLE).encode())
            pack = pipeline.make_pack(plan, issued=ISSUED, replaces="nothing")
            stops.append(Stop(plan=plan, code=pack.code, replaces="nothing"))
        pipeline.make_bundle(
            crew=crew_of(first), day=DAY, stops=stops, missing=(), library=library, issued=ISSUED
        )
    pipeline.check_night(stored, library=library)
    pipeline.purchase(stored, library=library, day=DAY, issued=date.fromisoformat(ISSUED))
