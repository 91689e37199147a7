"""What a submission costs at the HTTP door, against a bare route with the same validation.

Both services run on a real server of this process and take the same documents from one
client, turn about. The bare one reads and validates; ours also plans the job, writes it to
a ledger on disk (one flushed transaction each) and answers with its state. The planning is
timed apart, in the same run, because it is bought on purpose: a question is known at once.
The extremes are the largest documents that are read at all: what they cost bounds what
anybody can make a door do.
"""

from __future__ import annotations

import json
import resource
import tempfile
from contextlib import ExitStack
from pathlib import Path
from statistics import median
from time import process_time
from typing import Any, Final

import httpx
from fastapi import FastAPI, Request, Response
from starlette.concurrency import run_in_threadpool

from schemas.errors import BadInput
from services import pipeline
from services.intake.reading import LARGEST
from tests.builders import document
from tests.over_http import office_of, running
from worker.bootstrap import build
from worker.logs import set_up
from worker.settings import Settings

KINDS: Final = ("l-deck", "porch", "corner-45", "two-stair-sides")
ROUNDS: Final = 25
OVER_BARE: Final = 3.0
SLOWEST_S: Final = 2.0
GROWTH_MIB: Final = 32.0


def run() -> dict[str, object]:
    """Send submissions to both."""
    set_up(Settings(log_level="ERROR"))
    ours, bare, planning = [], [], []
    with ExitStack() as stack:
        folder = stack.enter_context(tempfile.TemporaryDirectory())
        settings = Settings(data=Path(folder), requests_a_minute=1_000_000, log_level="ERROR")
        works = build(settings)
        office = stack.enter_context(office_of(works))
        url = stack.enter_context(running(bare_service()))
        client = stack.enter_context(httpx.Client(base_url=url))
        for number in range(ROUNDS * len(KINDS)):
            raw = _raw(number)
            ours.append(_timed(lambda raw=raw: _ok(office.send(raw))))
            bare.append(_timed(lambda raw=raw: _ok(client.post("/", content=raw))))
            planning.append(_timed(lambda raw=raw: _plan(works.library, raw)))
        works.ledger.close()
    door = median(ours) - median(planning)
    slowest, growth = _extremes()
    figures: dict[str, Any] = {
        "submissions_a_second": round(1 / median(ours), 1),
        "bare_a_second": round(1 / median(bare), 1),
        "cpu_ms_a_submission": round(1000 * median(ours), 2),
        "of_it_planning_ms": round(1000 * median(planning), 2),
        "bare_ms": round(1000 * median(bare), 2),
        "door_over_bare": round(door / median(bare), 2),
        "slowest_extreme_s": round(slowest, 2),
        "growth_over_extremes_mib": round(growth, 1),
    }
    targets = {
        "door_over_bare": OVER_BARE,
        "slowest_extreme_s": SLOWEST_S,
        "growth_over_extremes_mib": GROWTH_MIB,
    }
    met = {name: figures[name] <= limit for name, limit in targets.items()}
    return {"figures": figures, "targets": targets, "met": met}


def bare_service() -> FastAPI:
    """A route that validates and does nothing else."""
    app = FastAPI(docs_url=None, redoc_url=None)

    @app.post("/")
    async def take(request: Request) -> Response:
        submission = await run_in_threadpool(pipeline.read_submission, await request.body())
        return Response(f'{{"job": "{submission.job}"}}', 202, media_type="application/json")

    return app


def _extremes() -> tuple[float, float]:
    """The dearest of the largest documents, and what reading them all leaves in memory."""
    fill = LARGEST - 200
    extremes = (
        b"[" * fill,
        b'{"a": [' + b",".join([b"{}"] * (fill // 3)) + b"]}",
        b"{" + b",".join(b'"%06d":1' % n for n in range(fill // 11)) + b"}",
        b'{"lines": [' + b",".join([b'{"legs":[{}]}'] * (fill // 14)) + b"]}",
        json.dumps({**document("l-deck"), "promises": ["x" * 200] * (fill // 210)}).encode(),
    )
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    slowest = max(_timed(lambda raw=raw: _refused(raw)) for raw in extremes)
    return slowest, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024 - before


def _refused(raw: bytes) -> None:
    try:
        pipeline.read_submission(raw)
    except BadInput:
        return
    msg = "an extreme was read"
    raise AssertionError(msg)


def _plan(library: object, raw: bytes) -> None:
    pipeline.make_plan(pipeline.read_submission(raw), library=library)  # type: ignore[arg-type]


def _timed(act: Any) -> float:  # noqa: ANN401  # any call
    """CPU seconds of this process, the servers' threads among it."""
    start = process_time()
    act()
    return process_time() - start


def _ok(answer: httpx.Response) -> None:
    assert answer.status_code == 202, answer.text


def _raw(number: int) -> bytes:
    return json.dumps({**document(KINDS[number % len(KINDS)]), "job": f"N-{number}"}).encode()
