"""What a worker, a reader of submissions and a crew's bundle take of memory, and how it grows.

Each is a process of its own, so that one does not hide another. The worker makes real packs by
the code that its task runs, on a ledger and a store, without ever being replaced (in service it
is, after 100 tasks); its resident set is read after the first packs and again at the end. The
reader is given a document of the most bytes and nearly the most values there may be, and one of
50 MiB. Bundles of more
and more jobs show what each takes.
"""

from __future__ import annotations

import json
import multiprocessing
import os
import resource
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Final

from schemas.bundle import Stop
from schemas.errors import BadInput
from services import pipeline
from services.intake.reading import LARGEST, MANY
from tests.builders import document, library, submission
from tests.night_runs import ISSUED, library_in, real_job
from tests.planned import plan
from tests.stand_in import DAY
from worker.bootstrap import build
from worker.ledger.accepting import accept
from worker.making import make_pack
from worker.settings import Settings

PACKS: Final = int(os.environ.get("DAWNPACK_TEST_MEMORY_PACKS", "520"))
WARM_UP: Final = 60
"""Every kind of job has been made many times: fonts, catalogues, solver and caches are there."""
BUNDLES: Final = (4, 8, 16)
WORKER_GROWTH, READING, BUNDLE_JOB = 8.0, 64.0, 12.0
"""Most that each may take. [MiB]"""


def run() -> dict[str, object]:
    """Measure each in a process of its own."""
    after_warm_up, at_end = _apart(_work)
    reading, refusing = _apart(_read)
    bundles = _apart(_bundle)
    growth = round(at_end - after_warm_up, 1)
    a_job = round((bundles[-1] - bundles[0]) / (BUNDLES[-1] - BUNDLES[0]), 1)
    figures = {
        "packs": PACKS,
        "worker_mib": round(at_end, 1),
        "worker_growth_mib": growth,
        "largest_document_mib": round(reading, 1),
        "too_large_mib": round(refusing, 1),
        "bundle_mib": dict(zip(BUNDLES, (round(each, 1) for each in bundles), strict=True)),
        "bundle_mib_a_job": a_job,
    }
    targets = {"worker_growth": WORKER_GROWTH, "reading": READING, "bundle_a_job": BUNDLE_JOB}
    met = {
        "worker_growth": growth <= WORKER_GROWTH,
        "reading": max(reading, refusing) <= READING,
        "bundle_a_job": a_job <= BUNDLE_JOB,
    }
    return {"figures": figures, "targets": targets, "met": met}


def _apart(measure: Callable[[], tuple[float, ...]]) -> tuple[float, ...]:
    context = multiprocessing.get_context("spawn")
    with context.Pool(1) as pool:
        return pool.apply(measure)


def _work() -> tuple[float, ...]:
    """Resident set after the warm-up, and after all packs, in MiB."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        books = library_in(root / "library", crews=-(-PACKS // 4))
        works = build(Settings(data=root / "data", library=books, log="json", log_level="ERROR"))
        with works.ledger.writing() as tx:
            for number in range(PACKS):
                raw = real_job(number)
                accept(tx, pipeline.read_submission(raw), raw=raw, issued=ISSUED)
        first = 0.0
        for number in range(1, PACKS + 1):
            make_pack(works, number, holder="bench:1")
            if number == WARM_UP:
                first = _resident()
        works.ledger.close()
        return first, _resident()


def _read() -> tuple[float, ...]:
    """Growth of the peak over the largest document read, and one too large, in MiB."""
    submission("l-deck")
    before = _peak()
    _refused(_padded(LARGEST))
    reading = _peak() - before
    bomb = b" " * (50 * LARGEST)
    before = _peak()
    _refused(bomb)
    return reading, _peak() - before


def _padded(size: int) -> bytes:
    """As many legs as a document may have values, and the rest of its size as space."""
    tree = document("l-deck")
    leg = tree["lines"][0]["legs"][0]
    tree["lines"][0]["legs"] = [leg] * ((MANY - 500) // 10)
    return json.dumps(tree).encode().ljust(size)


def _refused(raw: bytes) -> None:
    try:
        pipeline.read_submission(raw)
    except BadInput:
        return
    msg = "it was read"
    raise AssertionError(msg)


def _bundle() -> tuple[float, ...]:
    """Peak while a bundle of so many jobs is made, for each number, in MiB."""
    stop = Stop(plan=plan("l-deck"), code="0123456789", replaces="nothing")
    peaks = []
    for number in BUNDLES:
        pipeline.make_bundle(
            crew="heron", day=DAY, stops=[stop] * number, missing=(), library=library(),
            issued=ISSUED,
        )  # fmt: skip
        peaks.append(_peak())
    return tuple(peaks)


def _peak() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def _resident() -> float:
    pages = int(Path("/proc/self/statm").read_text("ascii").split()[1])
    return pages * resource.getpagesize() / 1024**2
