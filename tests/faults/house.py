"""A small company in a folder, its evening as processes, and the look at it afterwards."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Final

from schemas.delivery import NightReport
from tests.gate import Gate, waited
from tests.stand_in import DAY, StandIn
from worker.audit import FOLDERS, audit
from worker.bootstrap import Works, build
from worker.ledger.opening import Tx
from worker.ledger.reading import happened
from worker.ledger.tables import jobs
from worker.night.report import REPORT
from worker.settings import Settings
from worker.stores.folder import HALF_WRITTEN

APP: Final = "tests.stand_in_app"

LEASE: Final = 3.0
"""Short, so that a lost worker's job is free soon. [s]"""

NIGHT_LOCK: Final = 3 * LEASE
"""The lock of a night that was killed ends after two leases. [s]"""

RUNS: Final = 4
"""A night that a fault has ended is run again so often at most."""

WORKERS: Final = 2
"""Processes that make packs at the same time."""

SLOW: Final = "slow 0.15"
JOBS: Final = (
    ("H-0", "heron", (SLOW,)),
    ("F-0", "finch", (SLOW,)),
    *((f"H-{n}", "heron", (SLOW, "gate")) for n in range(1, 5)),
    *((f"F-{n}", "finch", (SLOW, "gate")) for n in range(1, 5)),
    ("H-ask", "heron", ("ask",)),
    ("F-broken", "finch", ("broken",)),
)

LIMIT: Final = 120.0
"""No step may take longer. [s]"""


@dataclass(slots=True, kw_only=True)
class House:
    """A company's data folder and its delivery folder."""

    root: Path
    environ: dict[str, str] = field(default_factory=dict)
    """What the fault adds to the environment of the first run."""
    runs: int = 0
    spoilt: bool = False
    """Its store was spoilt: packs may have been made again."""

    @property
    def out(self) -> Path:
        """Where bundles are delivered."""
        return self.root / "out"

    @property
    def gate(self) -> Gate:
        """Where its workers wait for a fault."""
        return Gate(self.root / "gate")

    @property
    def settings(self) -> Settings:
        """An installation of its own, its broker embedded."""
        return Settings(data=self.root / "data", lease=LEASE, log="json")

    def works(self) -> Works:
        """The works, for a look from outside."""
        return build(self.settings, pipeline=StandIn())

    def start(
        self, *step: str, environ: Mapping[str, str] | None = None
    ) -> subprocess.Popen[bytes]:
        """Start a step; its words go to a file beside the data."""
        self.root.mkdir(parents=True, exist_ok=True)
        with (self.root / "said.log").open("ab") as said:
            return subprocess.Popen(
                [sys.executable, "-m", "tests.faults.one_step", *step],
                env={
                    **os.environ,
                    **self.settings.environ(),
                    **(environ or {}),
                    "PYTHONPATH": os.pathsep.join(sys.path),
                },
                stdout=said,
                stderr=said,
            )

    def submit(self, *, environ: Mapping[str, str] | None = None) -> None:
        """Take every job in; what a fault interrupts is sent again, as an office would."""
        struck = dict(environ or {})
        for _ in range(RUNS):
            if self.start("submit", environ=struck).wait(LIMIT) == 0:
                return
            struck = {}
        msg = f"the jobs cannot be taken in; see {self.root / 'said.log'}"
        raise AssertionError(msg)

    def night(
        self,
        *,
        environ: Mapping[str, str] | None = None,
        strike: Callable[[House], object] | None = None,
    ) -> None:
        """Run the night, strike it while its workers wait, and run it again until it ends."""
        struck = dict(environ or {})
        for _ in range(RUNS):
            self.runs += 1
            if strike is None:
                process = self.start("night", str(self.out), environ=struck)
            else:
                process = self.stopped_night(environ=struck)
                strike(self)
                self.gate.open()
            if process.wait(LIMIT) == 0:
                return
            struck, strike = {}, None
            time.sleep(NIGHT_LOCK)
        msg = f"the night does not end; see {self.root / 'said.log'}"
        raise AssertionError(msg)

    def stopped_night(self, *, environ: Mapping[str, str] | None = None) -> subprocess.Popen[bytes]:
        """Start a night that has made its first packs and whose workers now wait at the gate."""
        self.gate.shut()
        environ = {**(environ or {}), **self.gate.environ}
        process = self.start("night", str(self.out), environ=environ)
        self.gate.until_waiting(WORKERS, alive=lambda: process.poll() is None)
        return process

    def until(self, true: Callable[[Tx], object], says: str) -> None:
        """Wait until something is so in the ledger."""
        works = self.works()

        def looked() -> object:
            with works.ledger.writing() as tx:
                return true(tx)

        try:
            waited(looked, says)
        finally:
            works.ledger.close()

    def files(self) -> dict[str, str]:
        """What stands delivered: name and SHA-256."""
        return {
            path.relative_to(self.out).as_posix(): sha256(path.read_bytes()).hexdigest()
            for folder in FOLDERS
            for path in sorted((self.out / folder).glob("*"))
        }

    def half_files(self) -> list[Path]:
        """What stands half written, in the store or where it is delivered."""
        places = (self.settings.packs, self.out)
        return [path for place in places for path in place.rglob(f"{HALF_WRITTEN}*")]

    def faults(self) -> list[str]:
        """What the auditor finds, and what the report itself admits."""
        works = self.works()
        found = [f"{fault.where} {fault.says}" for fault in audit(works, day=DAY, out=self.out)]
        again = {} if self.spoilt else packed(works)
        found += [f"job {job} was packed {n} times" for job, n in again.items() if n > 1]
        works.ledger.close()
        report = NightReport.model_validate_json((self.out / REPORT).read_bytes())
        return found + list(report.faults)


def packed(works: Works) -> dict[str, int]:
    """How often each job's pack was committed."""
    with works.ledger.writing() as tx:
        return {
            row.job: [event.now for event in happened(tx, "job", row.id)].count("packed")
            for row in tx.sql.execute(jobs.select()).all()
        }


def claims(works: Works) -> int:
    """How often a job was begun, over all jobs."""
    with works.ledger.writing() as tx:
        return sum(int(row.attempt) for row in tx.sql.execute(jobs.select()).all())
