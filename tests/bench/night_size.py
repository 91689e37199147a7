"""Whether what a job costs beside its computing stays flat from 10 to 10,000 jobs a night.

Ledger, queue, store, delivery and worker processes are real; the computing is a stand-in that
takes no time, so that what is left shows how it grows. Starting the processes is measured by
the smallest night and told apart. What a real pack costs does not depend on how many there are:
it is measured here in a loop and added, which is the cost per pack of a whole night. Set
DAWNPACK_TEST_NIGHT_MOST for a smaller largest night.
"""

from __future__ import annotations

import os
import time
from typing import Final

from schemas.submission import Submission
from services import pipeline
from tests.builders import library, submission
from tests.night_runs import KINDS, STAND_IN, Took, night, quick_job

MOST: Final = int(os.environ.get("DAWNPACK_TEST_NIGHT_MOST", "10000"))
SIZES: Final = tuple(size for size in (10, 100, 1_000, 10_000) if size <= MOST)
PACKS: Final = 20
BESIDE, WHOLE = 1.5, 1.1


def run() -> dict[str, object]:
    """Run the nights."""
    real_ms = _real_pack_ms()
    took = {
        size: night([quick_job(n) for n in range(size)], workers=2, app=STAND_IN) for size in SIZES
    }
    start = took[SIZES[0]].cpu
    beside = {size: _ms_a_job(took[size], size, start) for size in SIZES[1:]}
    whole = {size: ms + real_ms for size, ms in beside.items()}
    growth = beside[SIZES[-1]] / beside[SIZES[1]]
    figures = {
        "starting_cpu_s": round(start, 2),
        "beside_cpu_ms_a_job": {size: round(ms, 2) for size, ms in beside.items()},
        "real_pack_cpu_ms": round(real_ms, 1),
        "whole_cpu_ms_a_job": {size: round(ms, 1) for size, ms in whole.items()},
        "growth_beside": round(growth, 2),
        "growth_whole": round(whole[SIZES[-1]] / whole[SIZES[1]], 3),
        "wall_s": {size: round(took[size].wall, 1) for size in SIZES},
    }
    return {
        "figures": figures,
        "targets": {"growth_beside": BESIDE, "growth_whole": WHOLE},
        "met": {
            "growth_beside": growth <= BESIDE,
            "growth_whole": whole[SIZES[-1]] / whole[SIZES[1]] <= WHOLE,
        },
    }


def _ms_a_job(took: Took, size: int, start: float) -> float:
    return 1000 * (took.cpu - start) / (size - SIZES[0])


def _real_pack_ms() -> float:
    """CPU of planning and setting a pack, over the kinds of jobs that a real night has."""
    jobs = [submission(name) for name in KINDS]
    for job in jobs:
        _make(job)
    begun = time.process_time()
    for number in range(PACKS):
        _make(jobs[number % len(jobs)])
    return 1000 * (time.process_time() - begun) / PACKS


def _make(job: Submission) -> None:
    plan = pipeline.make_plan(job, library=library()).plan
    assert plan is not None
    pipeline.make_pack(plan, issued="bench")
