"""A night counted from its files alone: PDFs opened by another library, their text read."""

from __future__ import annotations

import json
import re
import shutil
from collections import Counter
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

import pypdfium2

from schemas.delivery import NightReport
from tests.builders import document
from tests.stand_in import DAY
from worker.bootstrap import build
from worker.desk import submit
from worker.library import DEMO
from worker.night import run_night
from worker.night.run import CUT_OFF
from worker.settings import Settings

KINDS = ("l-deck", "porch", "corner-45", "two-stair-sides")
HELD_EVERY = 25
"""One job in so many holds at a question."""
NUMBER = re.compile(r"\bN-\d{4}\b")


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """What a night left."""

    report: NightReport
    wrong: tuple[str, ...]
    """Where files and report do not say the same."""
    packs: int
    bundles: int
    pages: int
    """Of all bundles, as the other library counts them."""
    held: int


def night(root: Path, *, jobs: int, crews: int, workers: int, cut_off: float = CUT_OFF) -> Counted:
    """Run a night of real jobs on real workers, and count its files.

    Args:
        root: An empty folder.
        jobs: All due on one day, dealt out to the crews in turn.
        crews: Crews of the company.
        workers: Processes.
        cut_off: After so long, what is not made counts as missing. [s]
    """
    settings = Settings(
        data=root / "data", library=_library(root / "library", crews), log="json", log_level="ERROR"
    )
    works = build(settings)
    for number in range(jobs):
        raw = _job(number, crew=f"crew-{number % crews:02}")
        submit(works, raw, came_as=f"N-{number:04}.json", issued="2026-12-02")
    out = root / "out"
    report = run_night(works, day=DAY, out=out, workers=workers, issued="2026-12-02",
        cut_off=cut_off,
    )  # fmt: skip
    works.ledger.close()
    return _count(out, report, jobs=jobs, crews=crews)


def _count(out: Path, report: NightReport, *, jobs: int, crews: int) -> Counted:
    packs = sorted((out / "packs").iterdir())
    labels = sorted((out / "bundles").glob("*-labels-*.pdf"))
    bundles = sorted(set((out / "bundles").iterdir()) - set(labels))
    held = len([n for n in range(jobs) if _is_held(n)])
    wrong = [
        *_differ("jobs due", report.jobs_due, jobs),
        *_differ("excepted", report.excepted, held),
        *_differ("packs", report.on_day_sheets, len(packs)),
        *_differ("packs and held", len(packs) + held, jobs),
        *_differ("bundles", len(report.crews), len(bundles)),
        *_differ("crews", crews, len(bundles)),
        *_differ("complete", report.complete, True),  # noqa: FBT003  # as read
    ]
    sheets: Counter[str] = Counter()
    for crew in report.crews:
        if not crew.file:
            wrong.append(f"crew {crew.crew} has no bundle: {crew.error}")
            continue
        file = out / crew.file
        wrong += _differ(f"{crew.file} bytes", crew.sha256, sha256(file.read_bytes()).hexdigest())
        wrong += _differ(f"{crew.file} pages", crew.pages, _pages(file))
        named = _numbers_on(file)
        mine = {f"N-{n:04}" for n in range(jobs) if f"crew-{n % crews:02}" == crew.crew}
        wrong += _differ(f"{crew.file} jobs", sorted(named), sorted(mine))
        sheets.update(named)
    wrong += [f"{job} is on {n} crews' sheets" for job, n in sheets.items() if n != 1]
    for pack in (pack for crew in report.crews for pack in crew.packs):
        file = out / pack.file
        wrong += _differ(f"{pack.file} bytes", pack.sha256, sha256(file.read_bytes()).hexdigest())
        wrong += _differ(f"{pack.file} pages", pack.pages, _pages(file))
    delivered = {
        f"{crew.crew}-labels-{pack.job}-{pack.code}.pdf"
        for crew in report.crews
        for pack in crew.packs
    }
    wrong += [f"{file.name} is of no pack" for file in labels if file.name not in delivered]
    return Counted(
        report=report, wrong=tuple(wrong), packs=len(packs), bundles=len(bundles),
        pages=sum(_pages(path) for path in bundles), held=held,
    )  # fmt: skip


def _differ(what: str, said: object, counted: object) -> list[str]:
    return [] if said == counted else [f"{what}: the report says {said}, counted {counted}"]


def _pages(path: Path) -> int:
    with pypdfium2.PdfDocument(path) as pdf:
        return len(pdf)


def _numbers_on(path: Path) -> set[str]:
    """Job numbers that stand anywhere in a bundle."""
    found: set[str] = set()
    with pypdfium2.PdfDocument(path) as pdf:
        for page in pdf:
            text = page.get_textpage().get_text_bounded()
            found |= set(NUMBER.findall(text))
    return found


def _is_held(number: int) -> bool:
    return number % HELD_EVERY == HELD_EVERY - 1


def _job(number: int, *, crew: str) -> bytes:
    tree = document("held" if _is_held(number) else KINDS[number % len(KINDS)])
    tree |= {"job": f"N-{number:04}", "crew": crew, "install_date": DAY.isoformat()}
    tree["site"]["street"] = f"{number + 1} Reed Row"
    return json.dumps(tree).encode()


def _library(folder: Path, crews: int) -> Path:
    """The demo's documents with so many crews."""
    shutil.copytree(str(DEMO), folder)
    company = json.loads((folder / "company.json").read_bytes())
    first = company["crews"][0]
    company["crews"] = [{**first, "key": f"crew-{n:02}"} for n in range(crews)]
    (folder / "company.json").write_text(json.dumps(company))
    return folder
