"""One run of a night: open, ring, wait, mend, deliver, report."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final

from schemas.delivery import NightReport
from schemas.errors import NotNow
from worker.bell import Bell, QueueBell, sweep
from worker.bootstrap import Works
from worker.celery_app import make_app
from worker.desk import today
from worker.fail_points import passing
from worker.ledger.gathering import gather
from worker.ledger.moves import UNFINISHED
from worker.ledger.nights import NightRow, close_night, due_jobs, make_again, open_night
from worker.ledger.opening import Tx
from worker.ledger.rack import ON_RACK, deal, holder_of_job, pieces
from worker.ledger.reading import bundles_of, counts
from worker.ledger.records import work_on
from worker.logs import logger
from worker.making import holder_of, kinds_of, made_from
from worker.night.alone import alone, night_lock, whose
from worker.night.delivery import deliver_to
from worker.night.mending import send_back_damaged
from worker.night.report import report_on
from worker.night.shop import cut_ahead
from worker.night.telling import tell
from worker.processes import APP, Team, broker_of

GLANCE: Final = 0.25
"""Between two looks at the ledger. [s]"""

CUT_OFF: Final = 6 * 3600.0
"""After so long, what is not finished counts as missing. [s]"""

BUNDLES_LAST: Final = 300.0
"""From the cut-off until the bundles too are given up. [s]"""

MENDINGS: Final = 3
"""How often damaged files are made again before the night ends without them."""

log = logger(__name__)


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far a night has come."""

    jobs: int
    jobs_done: int
    bundles: int
    bundles_done: int


def run_night(
    works: Works,
    *,
    day: date,
    out: Path,
    workers: int,
    issued: str | None = None,
    cut_off: float = CUT_OFF,
    app: str = APP,
    tell: Callable[[Progress], None] = lambda _: None,
) -> NightReport:
    """Run the night for a work date.

    Args:
        works: The works.
        day: The day the crews work, in the company's zone.
        out: Delivery folder.
        workers: Worker processes to start here; 0: they run elsewhere.
        issued: Day printed as that of issue; none: today in the company's zone.
        cut_off: How long to wait for packs. [s]
        app: Module of the worker processes' application.
        tell: Told how far it has come.

    Raises:
        NotNow: Broker, ledger or store cannot be used, or somebody else runs this night now.
    """
    with ExitStack() as stack:
        lock = stack.enter_context(
            alone(works, night_lock(works, day), holder=holder_of(os.getpid()))
        )
        if lock is None:
            msg = f"the night for {day} is being run by {whose(works, night_lock(works, day))}"
            raise NotNow(msg)
        url, tend_broker = stack.enter_context(broker_of(works.settings))
        queue = make_app(works.settings.model_copy(update={"broker_url": url}))
        stack.callback(queue.close)
        night = start_night(works, day=day, issued=issued or today(works))
        team = stack.enter_context(Team(works=works, broker_url=url, size=workers, app=app))
        bell = QueueBell(queue)
        watch = Watch(works, night, bell, (tend_broker, lambda: team.tend(bell)), tell)
        for _ in range(MENDINGS):
            watch.until_done(cut_off)
            if not send_back_damaged(works, night):
                break
        return end_night(works, night, out)


def start_night(works: Works, *, day: date, issued: str) -> NightRow:
    """Open the night and send back every pack that would come out differently now."""
    with works.ledger.writing() as tx:
        night = open_night(tx, company=works.library.company.key, day=day, issued=issued)
        for job in due_jobs(tx, night):
            if job.made_from and job.made_from != made_from(works, work_on(tx, job.id)):
                make_again(tx, job.id, cause="library, program or answers have changed")
        _deal_offcuts(works, tx, night)
        gather(tx, night, stamp=works.stamp, again=True)
        now_ms = tx.now_ms
    _tidy(works, now_ms)
    return night


def _tidy(works: Works, now_ms: int) -> None:
    """Old half files of killed workers; a store that cannot be tidied stops no night."""
    try:
        if taken := works.store.tidy(now_ms=now_ms):
            log.info("half files taken away", number=taken)
    except NotNow as no:
        log.warning("store not tidied", why=str(no))


def _deal_offcuts(works: Works, tx: Tx, night: NightRow) -> None:
    """Deal the rack out among the jobs still to be planned, in their order, not the workers'."""
    if works.library.company.cut_for != "job" or not pieces(tx, state=ON_RACK):
        return
    plans = []
    for job in due_jobs(tx, night):
        if job.state in UNFINISHED:
            work = work_on(tx, job.id)
            kinds = kinds_of(works.pipeline.read_submission(work.raw))
            plans.append((holder_of_job(job.id), made_from(works, work), kinds))
    deal(tx, plans)


def end_night(works: Works, night: NightRow, out: Path) -> NightReport:
    """Deliver what there is, report on it, and close the night."""
    cut_ahead(works, night)
    unlabelled = deliver_to(works, night, out)
    report = report_on(works, night, out, unlabelled=unlabelled)
    passing("reported")
    kept = works.store.put(report.model_dump_json(indent=2).encode())
    with works.ledger.writing() as tx:
        close_night(tx, night, report=kept)
        tell(tx, works.library.company, night, report)
    return report


@dataclass(frozen=True, slots=True)
class Watch:
    """Looks after a night until every bundle is made, or there is no more time."""

    works: Works
    night: NightRow
    bell: Bell
    tend: tuple[Callable[[], None], ...]
    tell: Callable[[Progress], None]

    def until_done(self, cut_off: float) -> None:
        """Look, ring and tend, again and again."""
        start = time.monotonic()
        while (now := time.monotonic() - start) < cut_off + BUNDLES_LAST:
            done = self._look(too_late=now > cut_off)
            if done:
                return
            for tend in self.tend:
                tend()
            sweep(self.works, self.bell)
            time.sleep(GLANCE)
        log.error("night gives up", night=str(self.night.work_date))

    def _look(self, *, too_late: bool) -> bool:
        with self.works.ledger.writing() as tx:
            gather(tx, self.night, stamp=self.works.stamp, too_late=too_late)
            jobs = counts(tx, self.night)
            states = [row.state for row in bundles_of(tx, self.night)]
        open_bundles = sum(state in {"waiting", "ready"} for state in states)
        self.tell(
            Progress(
                jobs=sum(jobs.values()),
                jobs_done=sum(n for state, n in jobs.items() if state not in UNFINISHED),
                bundles=len(states),
                bundles_done=len(states) - open_bundles,
            )
        )
        return open_bundles == 0
