"""What a pack costs, stage by stage, and whether a worker's memory stays flat.

The demo's jobs with a plan are planned and set turn about, in this process. Every
figure is CPU time; the stages are timed by their outermost calls in the pipeline, so
their sum is the pipeline's own. Memory is the process's peak, read after the first
rounds (fonts, catalogues and solver loaded) and again after 300 packs.
"""

from __future__ import annotations

import resource
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from statistics import median
from time import process_time
from typing import Any

from schemas.submission import Submission
from services import (
    bays,
    compliance,
    cut_plan,
    intake,
    layout,
    pack,
    pages,
    pipeline,
    recheck,
    sequence,
    takeoff,
)
from tests.builders import JOBS, library, submission

JOBS_TIMED = [name for name in JOBS if name not in {"refused", "held"}]
ROUNDS, WARM_UP = 10, 3
MEMORY_PACKS = 300
GROWTH_MIB = 5.0
TIMED = {
    "make ready": (intake, "make_job"),
    "check the measure": (intake, "check_measure"),
    "layout": (layout, "lay_out"),
    "bays": (bays, "make_bays"),
    "findings": (compliance, "find"),
    "cut plan": (cut_plan, "plan_cuts"),
    "takeoff": (takeoff, "take_off"),
    "sequence": (sequence, "order_work"),
    "recheck": (recheck, "recheck"),
    "sheets": (pages, "pack_sheets"),
    "set on paper": (pack, "set_pack"),
}


def run() -> dict[str, object]:
    """Time the stages and watch the memory."""
    jobs = [submission(name) for name in JOBS_TIMED]
    spent: dict[str, list[float]] = defaultdict(list)
    for number in range(WARM_UP + ROUNDS):
        with _stages_timed() as stages:
            count = sum(_make(job) for job in jobs)
        if number >= WARM_UP:
            for name, seconds in stages.items():
                spent[name].append(1000 * seconds / len(jobs))
    per_pack = {name: round(median(values), 2) for name, values in spent.items()}
    rendering = per_pack["set on paper"]
    computing = round(sum(per_pack.values()) - rendering - per_pack["sheets"], 2)

    before = _peak_mib()
    for number in range(MEMORY_PACKS):
        _make(jobs[number % len(jobs)])
    growth = round(_peak_mib() - before, 2)

    figures = {
        "pages_a_pack": round(count / len(jobs), 1),
        "cpu_ms_a_pack": per_pack,
        "computing_ms": computing,
        "rendering_ms": rendering,
        "peak_mib": round(_peak_mib(), 1),
        "growth_mib_over_300_packs": growth,
    }
    targets = {"computing_over_rendering": 1.0, "growth_mib": GROWTH_MIB}
    met = {"computing_over_rendering": computing <= rendering, "growth_mib": growth <= GROWTH_MIB}
    return {"figures": figures, "targets": targets, "met": met}


def _make(job: Submission) -> int:
    plan = pipeline.make_plan(job, library=library()).plan
    assert plan is not None
    return pipeline.make_pack(plan, issued="bench").pages


@contextmanager
def _stages_timed() -> Iterator[dict[str, float]]:
    """Time each stage's outermost call while inside; what one stage asks of another is its own."""
    spent: dict[str, float] = defaultdict(float)
    originals = {name: getattr(module, call) for name, (module, call) in TIMED.items()}
    for name, (module, call) in TIMED.items():
        setattr(module, call, _timed(originals[name], name, spent))
    try:
        yield spent
    finally:
        for name, (module, call) in TIMED.items():
            setattr(module, call, originals[name])


def _timed(call: Callable[..., Any], name: str, spent: dict[str, float]) -> Callable[..., Any]:
    def timed(*args: object, **named: object) -> object:
        start = process_time()
        try:
            return call(*args, **named)
        finally:
            spent[name] += process_time() - start

    return timed


def _peak_mib() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
