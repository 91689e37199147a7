"""An installation on a set clock: its minutes pass when told to, its workers work at once."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from schemas.delivery import NightReport
from tests.stand_in import submission_of
from worker.bell import KeptBell, sweep
from worker.bootstrap import Works
from worker.clock import SetClock
from worker.desk import submit
from worker.ledger.gathering import gather
from worker.ledger.tables import night_runs
from worker.making import make_bundle, make_pack
from worker.night.run import end_night, start_night
from worker.queues import MAKE_PACK
from worker.schedule import tick

ZONE = ZoneInfo("America/New_York")
THURSDAY = date(2026, 12, 3)


class Yard:
    """An installation whose minutes pass when told to, with workers that work at once."""

    def __init__(self, works: Works, clock: SetClock) -> None:
        """Nothing is due yet."""
        self.works, self.clock, self.bell = works, clock, KeptBell()

    def at(self, text: str) -> None:
        """Set the yard's own clock."""
        self.clock.at_ms = int(datetime.fromisoformat(text).replace(tzinfo=ZONE).timestamp() * 1000)

    def bring(
        self, job: str, *faults: str, day: date = THURSDAY, revision: int = 1, crew: str = "heron"
    ) -> None:
        """Take a job in."""
        raw = submission_of(job, *faults, day=day, revision=revision, crew=crew)
        submit(self.works, raw, came_as=job)

    def night(self, out: Path, *, day: date = THURSDAY) -> NightReport:
        """A night by hand, its workers at work at once."""
        night = start_night(self.works, day=day, issued="2026-12-02")
        while True:
            with self.works.ledger.writing() as tx:
                gather(tx, night, stamp=self.works.stamp)
            if not sweep(self.works, self.bell):
                return end_night(self.works, night, out)
            self.work()
            self.clock.move(60)

    def work(self) -> None:
        """What workers do when their bell has rung."""
        for ring in self.bell.rings:
            make = make_pack if ring.task == MAKE_PACK else make_bundle
            make(self.works, ring.row_id, holder="host:2")
        self.bell.rings.clear()

    def look(self) -> None:
        """One look of the scheduler, and what workers do after it."""
        tick(self.works, self.bell, holder="host:1")
        self.work()

    def pass_by(self, hours: float, *, step: timedelta = timedelta(minutes=20)) -> None:
        """Let time pass with a look at every step."""
        for _ in range(int(hours * 3600 / step.total_seconds())):
            self.clock.move(step.total_seconds())
            self.look()

    def runs(self) -> list[tuple[str, str, str]]:
        """Work day, kind and state of every run."""
        with self.works.ledger.writing() as tx:
            rows = tx.sql.execute(night_runs.select().order_by(night_runs.c.id)).all()
        return [(str(row.work_date), row.kind, row.state) for row in rows]

    def report(self, day: date) -> NightReport:
        """The report in a night's folder."""
        folder = self.works.settings.nights / day.isoformat()
        return NightReport.model_validate_json((folder / "night-report.json").read_bytes())
