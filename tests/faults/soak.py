"""Evenings on end under random faults: ``python -m tests.faults.soak --minutes 60 --seed 1``.

One company lives through one work day after another, as fast as its nights end. While the
night of a day runs, struck at random, an office sends the jobs of the next: new ones, the same
again, revisions, withdrawals, answers. The office writes down each answer it got. After every
night the auditor reads all there is, and whatever the office was told must be so.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from random import Random
from typing import Any, Final

from schemas.errors import Conflict
from schemas.site import Answer
from tests.faults.cases import IN_THE_NIGHT
from tests.faults.house import LIMIT, NIGHT_LOCK, House
from tests.stand_in import DAY, submission_of
from worker.audit import audit
from worker.bootstrap import Works
from worker.desk import submit
from worker.fail_points import COUNTED_IN, POINTS, STRIKE
from worker.ledger import deciding
from worker.ledger.records import job_by_number
from worker.logs import set_up
from worker.settings import Settings

CREWS: Final = ("heron", "finch", "tern")
JOBS_A_DAY: Final = 12
FAULTS: Final = (*IN_THE_NIGHT, "night killed", "struck at a point")
ISSUED: Final = "2026-12-02"


@dataclass(slots=True, kw_only=True)
class Office:
    """What the office sends, and the answers it wrote down."""

    works: Works
    told: Path

    def evening(self, day: date, chance: Random) -> None:
        """Send the jobs of a day, some twice, some revised, some taken back."""
        for number in range(JOBS_A_DAY):
            job, crew = f"J{day:%m%d}-{number}", chance.choice(CREWS)
            faults = chance.choice([(), (), (), ("slow 0.1",), ("ask",), ("broken",)])
            faults = ("gate", *faults)
            self._send(job, 1, crew, day, faults)
            if chance.random() < 0.2:
                self._send(job, 1, crew, day, faults)
            if chance.random() < 0.25:
                self._send(job, 2, chance.choice(CREWS), day, faults)
            if "ask" in faults and chance.random() < 0.7:
                self._answer(job)
            if chance.random() < 0.1:
                self._withdraw(job)

    def _send(self, job: str, revision: int, crew: str, day: date, faults: tuple[str, ...]) -> None:
        raw = submission_of(job, *faults, revision=revision, crew=crew, day=day)
        receipt = submit(self.works, raw, came_as=job, issued=ISSUED)
        self._write(op="sent", job=job, revision=receipt.revision, crew=crew)

    def _answer(self, job: str) -> None:
        said = Answer(question="which-post", option="leg-a", by="A. Duty", why="photo")
        try:
            with self.works.ledger.writing() as tx:
                deciding.answer(tx, job, said)
        except Conflict:  # its revision was withdrawn or already planned otherwise
            return
        self._write(op="answered", job=job)

    def _withdraw(self, job: str) -> None:
        with self.works.ledger.writing() as tx:
            deciding.withdraw(tx, job, by="A. Duty", why="customer called")
        self._write(op="withdrawn", job=job)

    def _write(self, **said: object) -> None:
        with self.told.open("a", encoding="utf-8") as file:
            file.write(json.dumps(said) + "\n")


def broken_promises(works: Works, told: Path) -> list[str]:
    """Answers the office got that the ledger does not bear out."""
    wrong = []
    highest: dict[str, int] = {}
    off: set[str] = set()
    for line in told.read_text("utf-8").splitlines():
        said: dict[str, Any] = json.loads(line)
        if said["op"] == "sent":
            highest[said["job"]] = max(highest.get(said["job"], 0), said["revision"])
        elif said["op"] == "withdrawn":
            off.add(said["job"])
    with works.ledger.writing() as tx:
        for job, revision in highest.items():
            row = job_by_number(tx, job)
            if row.revision != revision:
                wrong.append(f"{job}: revision {revision} was accepted, {row.revision} is there")
            if job in off and row.state != "withdrawn":
                wrong.append(f"{job}: was withdrawn and is {row.state}")
    return wrong


def soak(root: Path, *, seed: int, until: Callable[[int, float], bool], tell: Any) -> list[str]:  # noqa: ANN401  # any sink of lines
    """Live through days until told to stop; all that went wrong.

    Args:
        root: Folder of the company.
        seed: Of every choice.
        until: Told the days lived and the seconds taken; true ends it.
        tell: Called with a line a day.
    """
    chance, house, wrong = Random(seed), House(root=root), list[str]()
    root.mkdir(parents=True, exist_ok=True)
    works = house.works()
    office = Office(works=works, told=root / "told.jsonl")
    start, days, day = time.monotonic(), 0, DAY
    office.evening(day, chance)
    while not until(days, time.monotonic() - start):
        fault = chance.choice(FAULTS)
        _night(house, day, fault, chance, office)
        out = root / f"{day}"
        found = [f"{each.where} {each.says}" for each in audit(works, day=day, out=out)]
        found += broken_promises(works, office.told)
        tell(f"{day}  {fault:28} {'held' if not found else '; '.join(found)}")
        wrong += [f"{day} {fault}: {each}" for each in found]
        day, days = day + timedelta(days=1), days + 1
    works.ledger.close()
    return wrong


def _night(house: House, day: date, fault: str, chance: Random, office: Office) -> None:
    """A night of a day, struck; the office meanwhile sends the next day's jobs."""
    counted = house.root / f"counted-{day}"
    counted.mkdir()
    environ = {}
    if fault == "struck at a point":
        point = chance.choice(POINTS[2:])
        environ = {STRIKE: f"{point}:{chance.randint(1, 4)}:SIGKILL", COUNTED_IN: str(counted)}
    if fault != "struck at a point":
        house.gate.shut()
        environ = house.gate.environ
    process = house.start("night", str(house.root / f"{day}"), f"{day}", environ=environ)
    if fault != "struck at a point":
        house.gate.until_waiting(1, alive=lambda: process.poll() is None)
    if fault in IN_THE_NIGHT:
        IN_THE_NIGHT[fault](house)
    if fault == "night killed":
        os.kill(process.pid, signal.SIGKILL)
    house.gate.open()
    office.evening(day + timedelta(days=1), chance)
    for _ in range(4):
        if process.wait(LIMIT) == 0:
            return
        time.sleep(NIGHT_LOCK)
        process = house.start("night", str(house.root / f"{day}"), f"{day}")
    msg = f"the night of {day} does not end; see {house.root / 'said.log'}"
    raise AssertionError(msg)


def main() -> int:
    """Soak for so many minutes; 0 when everything held."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults.soak", description=__doc__)
    parser.add_argument("--minutes", type=float, default=60)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    set_up(Settings(log_level="ERROR"))
    root = Path(tempfile.mkdtemp(prefix="soak-"))

    def tell(line: str) -> None:
        sys.stdout.write(line + "\n")
        sys.stdout.flush()

    wrong = soak(
        root, seed=asked.seed, until=lambda _, seconds: seconds > 60 * asked.minutes, tell=tell
    )
    tell(f"{len(wrong)} things went wrong, seed {asked.seed}" + (f", see {root}" if wrong else ""))
    if not wrong:
        shutil.rmtree(root)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
