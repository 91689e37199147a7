"""The demo: an invented company's night, through the very same desk, queue and workers.

In: the eight jobs that come with the program. Out: a folder with the bundles, packs, plans,
the night report and the problem list of the job that is refused. The day is fixed, so two
runs give the same packs, byte for byte.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from importlib.resources import files
from pathlib import Path
from typing import Final

from schemas.delivery import NightReport
from schemas.errors import BadInput
from schemas.site import Question
from worker.bootstrap import Works, build
from worker.desk import submit
from worker.ledger.records import PROBLEMS, job_by_id
from worker.night import Progress, run_night
from worker.night.report import MORNING, REPORT
from worker.settings import Settings
from worker.stores.folder import write_whole

JOBS: Final = files("worker") / "demo_data" / "jobs"

WORK_DATE: Final = date(2026, 12, 3)
"""The day of all demo jobs."""

ISSUED: Final = "2026-12-02"
"""The evening before."""

DATA: Final = "data"
REFUSED: Final = "refused"
MADE_HERE: Final = (DATA, REFUSED, "bundles", "packs", "plans", "orders", REPORT, MORNING)
"""All that a demo leaves in its folder, and all that the next one takes away."""

LEASE: Final = 15.0
"""Shorter than in an installation: somebody is watching. [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Demo:
    """What a demo came to."""

    taken_in: tuple[str, ...]
    """One line a job: what became of it at the desk."""
    held: dict[str, tuple[Question, ...]]
    """What the held jobs ask."""
    report: NightReport
    open_first: tuple[str, ...]
    """Files to look at first, under the folder."""


def may_use(out: Path) -> bool:
    """Whether a folder is free for a demo: not there, empty, or an earlier demo's."""
    return not out.exists() or (
        out.is_dir() and all(path.name in MADE_HERE for path in out.iterdir())
    )


def run_demo(
    out: Path, *, workers: int = 2, tell: Callable[[Progress], None] = lambda _: None
) -> Demo:
    """Run the demo's night into a folder that `may_use` allows.

    Args:
        out: The folder; what an earlier demo left in it is taken away.
        workers: Worker processes.
        tell: Told how far the night has come.

    Raises:
        NotNow: No broker can be started here, or the disk cannot be written.
    """
    _clear(out)
    works = build(Settings(data=out / DATA, lease=LEASE, workers=workers))
    held: dict[str, tuple[Question, ...]] = {}
    taken_in = tuple(
        _take_in(works, file.name, file.read_bytes(), out=out, held=held)
        for file in sorted(JOBS.iterdir(), key=lambda file: file.name)
    )
    report = run_night(works, day=WORK_DATE, out=out, workers=workers, issued=ISSUED, tell=tell)
    bundles = [crew.file for crew in report.crews if crew.file]
    packs = [pack.file for crew in report.crews for pack in crew.packs]
    works.ledger.close()
    return Demo(
        taken_in=taken_in,
        held=held,
        report=report,
        open_first=(*bundles[:1], *packs[:1], MORNING, REPORT),
    )


def _clear(out: Path) -> None:
    for name in MADE_HERE:
        if (out / name).is_dir():
            shutil.rmtree(out / name)
        else:
            (out / name).unlink(missing_ok=True)


def _take_in(
    works: Works, name: str, raw: bytes, *, out: Path, held: dict[str, tuple[Question, ...]]
) -> str:
    try:
        receipt = submit(works, raw, came_as=name, issued=ISSUED)
    except BadInput as no:
        problems = PROBLEMS.dump_json(no.problems, indent=2)
        write_whole(out / REFUSED / f"{Path(name).stem}.problems.json", problems)
        return f"{name}: refused, {len(no.problems)} problems"
    with works.ledger.writing() as tx:
        row = job_by_id(tx, receipt.job_id)
    if row.state == "held":
        held[row.job] = row.stops
    return f"{name}: {row.job} is {row.state}"
