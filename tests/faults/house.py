"""A small company in a folder, its evening as processes, and the look at it afterwards."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Final
from zoneinfo import ZoneInfo

from redis import Redis
from sqlalchemy import select

from schemas.delivery import NightReport
from tests.gate import Gate, waited
from tests.servers import Postgres, RedisServer
from tests.shifted_clock import SHIFTED, ShiftedClock
from tests.stand_in import DAY, StandIn
from worker.audit import FOLDERS, audit
from worker.bootstrap import Works, build
from worker.broker import socket_in
from worker.ledger.opening import Tx
from worker.ledger.reading import happened
from worker.ledger.tables import jobs
from worker.night.report import REPORT
from worker.settings import Settings
from worker.stores.folder import HALF_WRITTEN

ZONE: Final = ZoneInfo("America/New_York")
EVENING: Final = datetime(2026, 12, 2, 20, 0, tzinfo=ZONE)
"""Of the day that the jobs are issued, after the hard cut-off."""

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

LIMIT: Final = 240.0
"""No step may take longer. [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Servers:
    """Ledger and broker of the system's own; by default both are the house's."""

    postgres: Postgres | None = None
    ledger_url: str = ""
    redis: RedisServer | None = None


@dataclass(slots=True, kw_only=True)
class House:
    """A company's data folder and its delivery folder."""

    root: Path
    servers: Servers = field(default_factory=Servers)
    """What it runs on beside its own folder."""
    delivers_to: Path | None = None
    """None: beside the data."""
    library: Path | None = None
    """None: the demo's."""
    runs: int = 0
    spoilt: bool = False
    """Its store was spoilt: packs may have been made again."""

    @property
    def out(self) -> Path:
        """Where bundles are delivered."""
        return self.delivers_to or self.root / "out"

    @property
    def clock(self) -> ShiftedClock:
        """By which all its processes go."""
        return ShiftedClock(self.root / "clock")

    @property
    def gate(self) -> Gate:
        """Where its workers wait for a fault."""
        return Gate(self.root / "gate")

    @property
    def settings(self) -> Settings:
        """An installation of its own, on the servers it was given."""
        return Settings(
            data=self.root / "data",
            lease=LEASE,
            log="json",
            library=self.library,
            ledger_url=self.servers.ledger_url,
            broker_url=self.servers.redis.url if self.servers.redis else "",
        )

    def works(self) -> Works:
        """The works, for a look from outside."""
        return build(self.settings, pipeline=StandIn(), clock=self.clock)

    @property
    def broker_home(self) -> Path:
        """Folder of the broker's own files."""
        redis = self.servers.redis
        return redis.home if redis else self.settings.data.resolve() / "broker"

    def broker(self) -> Redis:
        """A client of the broker."""
        return Redis(unix_socket_path=str(socket_in(self.broker_home.resolve())))

    def broker_killed(self) -> None:
        """The system starts its own broker again; the embedded one is the night's to start."""
        if self.servers.redis:
            self.servers.redis.killed()

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
                    SHIFTED: str(self.clock.file),
                    **(environ or {}),
                    "PYTHONPATH": os.pathsep.join(sys.path),
                },
                stdout=said,
                stderr=said,
            )

    def submit(self, *more: str, environ: Mapping[str, str] | None = None) -> None:
        """Take every job in; what a fault interrupts is sent again, as an office would.

        Args:
            more: Faults of one job more, `H-more`.
            environ: Added for the first try.
        """
        struck = dict(environ or {})
        for _ in range(RUNS):
            if self.start("submit", *more, environ=struck).wait(LIMIT) == 0:
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
        return found + list(self.report().faults)

    def report(self) -> NightReport:
        """What the night says of itself."""
        return NightReport.model_validate_json((self.out / REPORT).read_bytes())


def packed(works: Works) -> dict[str, int]:
    """How often each job's pack was committed."""
    with works.ledger.writing() as tx:
        return {
            row.job: [event.now for event in happened(tx, "job", row.id)].count("packed")
            for row in tx.sql.execute(jobs.select()).all()
        }


def begun(house: House, job: str) -> int:
    """How often a job was begun."""
    works = house.works()
    with works.ledger.writing() as tx:
        attempt = tx.sql.scalar(select(jobs.c.attempt).where(jobs.c.job == job))
    works.ledger.close()
    return int(attempt or 0)


def claims(house: House) -> int:
    """How often a job was begun, over all jobs."""
    works = house.works()
    with works.ledger.writing() as tx:
        begun = sum(int(row.attempt) for row in tx.sql.execute(jobs.select()).all())
    works.ledger.close()
    return begun
