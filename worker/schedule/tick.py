"""One look at the nights: what is due is started, what is done is delivered and reported."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Final

import structlog

from schemas.errors import NotNow
from services.delivery import phase_at, runs_due, times_of
from services.delivery.due import LOOK_BACK
from worker import clock
from worker.bell import Bell, sweep
from worker.bootstrap import Works
from worker.desk import today
from worker.health import tick_lock
from worker.ledger import runs
from worker.ledger.gathering import gather, one_line
from worker.ledger.nights import NightRow, night_for
from worker.ledger.reading import bundles_of
from worker.ledger.runs import RunRow
from worker.logs import logger
from worker.night.alone import alone, night_lock
from worker.night.mending import send_back_damaged
from worker.night.run import BUNDLES_LAST, end_night, start_night
from worker.night.telling import tell_missed, tell_stale

LATE_GRACE: Final = 3600
"""A run that starts late waits for its packs so long at least. [s]"""

log = logger(__name__)


def tick(works: Works, bell: Bell, *, holder: str) -> None:
    """Look once.

    Args:
        works: The works.
        bell: Rings for workers.
        holder: Who looks.
    """
    with alone(works, tick_lock(works), holder=holder) as lock:
        if lock is None:
            return
        for run in write_down_due(works):
            with structlog.contextvars.bound_contextvars(night=str(run.work_date)):
                _try_step(works, bell, run, holder)
        try:
            _look_after(works)
        finally:
            sweep(works, bell)


def _try_step(works: Works, bell: Bell, run: RunRow, holder: str) -> None:
    """Take a night a step on; one that breaks stops none of the others."""
    try:
        _step(works, bell, run, holder)
    except NotNow as no:
        log.warning("run delayed", kind=run.kind, why=str(no))
    except Exception as no:  # whatever it is, the other crews want their paper
        error = one_line(f"{type(no).__name__}: {no}")
        with works.ledger.writing() as tx:
            state = runs.strike(tx, run, error=error)
        log.exception("run broke", kind=run.kind, strikes=run.strikes + 1, state=state)


def _look_after(works: Works) -> None:
    """Between its last run and midnight, say what is no longer as the crews' paper has it."""
    company = works.library.company
    with works.ledger.writing() as tx:
        day = clock.day_of(tx.now_ms, company.zone)
        night = night_for(tx, company=company.key, day=day)
        now = datetime.fromtimestamp(tx.now_ms / 1000, tz=UTC)
        last = phase_at(times_of(company, day), now) == "last-run"
        if night is not None and night.state == "closed" and last:
            tell_stale(tx, company, night)


def write_down_due(works: Works) -> list[RunRow]:
    """Put what is due into the ledger; all runs to be started or gone on with."""
    company = works.library.company
    with works.ledger.writing() as tx:
        now = datetime.fromtimestamp(tx.now_ms / 1000, tz=UTC)
        since = clock.day_of(tx.now_ms, company.zone) - timedelta(days=LOOK_BACK)
        due = runs_due(company, now=now, days_with_jobs=runs.days_with_jobs(tx, since=since))
        new = runs.write_down(tx, company.key, due)
        later = {run.work_date: run.kind for run in new if run.kind != "evening"}
        for run in runs.open_runs(tx, company.key):
            if run.kind != later.get(run.work_date, run.kind):
                runs.to(tx, run, "overtaken", cause=f"{later[run.work_date]} run is due")
        for run in new:
            if run.kind == "missed":
                tell_missed(tx, company, str(run.work_date))
            say = log.error if run.kind == "missed" else log.info
            say("run due", day=str(run.work_date), kind=run.kind)
        return runs.open_runs(tx, company.key)


def _step(works: Works, bell: Bell, run: RunRow, holder: str) -> None:
    """Start a run or go on with it, unless somebody else runs that night now."""
    with alone(works, night_lock(works, run.work_date), holder=holder) as lock:
        if lock is None:
            return
        night = _running(works, run)
        if night is None:
            _start(works, run)
            sweep(works, bell)
        elif night.state == "closed":
            _write(works, run, "done", cause=f"run {night.runs} has ended")
        elif _finished(works, night, run):
            end_night(works, night, works.settings.nights / run.work_date.isoformat())
            _write(works, run, "done", cause=f"run {night.runs} delivered")


def _running(works: Works, run: RunRow) -> NightRow | None:
    """The night as this run, or one after it, has it; none if it must be started (again)."""
    if run.state == "due":
        return None
    with works.ledger.writing() as tx:
        night = night_for(tx, company=run.company, day=run.work_date)
    lost = night is not None and night.state == "open" and night.runs != run.run
    return None if lost else night


def _start(works: Works, run: RunRow) -> None:
    night = start_night(works, day=run.work_date, issued=today(works))
    with works.ledger.writing() as tx:
        cause = f"started as run {night.runs}"
        runs.to(tx, run, "running", cause=cause, run=night.runs, started_ms=tx.now_ms)


def _finished(works: Works, night: NightRow, run: RunRow) -> bool:
    """Whether every bundle is made and whole, or there is no more time."""
    with works.ledger.writing() as tx:
        last = max(run.until_ms, night.opened_ms + LATE_GRACE * 1000)
        gather(tx, night, stamp=works.stamp, too_late=tx.now_ms >= last)
        waits = any(row.state in {"waiting", "ready"} for row in bundles_of(tx, night))
        given_up = tx.now_ms >= last + BUNDLES_LAST * 1000
    if waits and not given_up:
        return False
    return not send_back_damaged(works, night) or given_up


def _write(works: Works, run: RunRow, state: str, *, cause: str) -> None:
    with works.ledger.writing() as tx:
        runs.to(tx, run, state, cause=cause, ended_ms=tx.now_ms)
