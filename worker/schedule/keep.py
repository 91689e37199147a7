"""Keeping the schedule going: the queue's own scheduler on a leash, replaced when it stops."""

from __future__ import annotations

import signal
import subprocess
import sys
import threading
import time
from contextlib import ExitStack
from dataclasses import dataclass, field
from typing import Self

from worker import leash
from worker.bell import QueueBell, sweep
from worker.bootstrap import Works
from worker.celery_app import make_app
from worker.health import SILENT, since_last_look
from worker.logs import logger
from worker.processes import APP, PATIENCE, SWEEP_EVERY, Team, broker_of

log = logger(__name__)


@dataclass(slots=True, kw_only=True)
class Beat:
    """The process that asks for a look once a minute."""

    works: Works
    broker_url: str
    app: str = APP
    _process: subprocess.Popen[bytes] | None = None
    _since: float = field(default=0.0)

    def __enter__(self) -> Self:
        """Start it."""
        self._start()
        return self

    def __exit__(self, *_: object) -> None:
        """End it."""
        if self._process is not None:
            leash.stop(self._process, patience=PATIENCE)

    def tend(self) -> None:
        """Replace it if it has died, or if nobody has looked for long."""
        assert self._process is not None
        ran = time.monotonic() - self._since
        if self._process.poll() is None and (ran < SILENT or since_last_look(self.works) < SILENT):
            return
        log.warning("scheduler replaced", process=self._process.pid, code=self._process.poll())
        leash.stop(self._process, patience=PATIENCE)
        self._start()

    def _start(self) -> None:
        self._since = time.monotonic()
        settings = self.works.settings.model_copy(update={"broker_url": self.broker_url})
        home = settings.data / "schedule"
        home.mkdir(parents=True, exist_ok=True)
        command = [
            sys.executable, "-m", "celery", "-A", self.app, "beat",
            "--schedule", str(home.resolve() / "beat"), "--pidfile", "",
            "--loglevel", settings.log_level,
        ]  # fmt: skip
        self._process = leash.start(
            command,
            end_with=signal.SIGTERM,
            log=settings.logs / "schedule.log",
            environ=settings.environ(),
        )


def keep_until(works: Works, stop: threading.Event, *, size: int, app: str = APP) -> None:
    """Have the nights looked at every minute, until told to stop.

    Args:
        works: The works.
        stop: Set to end; what is running is finished first.
        size: Packs made at the same time here; 0: workers run elsewhere.
        app: Module of the processes' application.

    Raises:
        NotNow: No broker can be had, or workers keep dying.
    """
    with ExitStack() as stack:
        url, tend_broker = stack.enter_context(broker_of(works.settings))
        queue = make_app(works.settings.model_copy(update={"broker_url": url}))
        stack.callback(queue.close)
        team = stack.enter_context(Team(works=works, broker_url=url, size=size, app=app))
        beat = stack.enter_context(Beat(works=works, broker_url=url, app=app))
        bell = QueueBell(queue)
        bell.ask_for_look()
        while not stop.wait(SWEEP_EVERY):
            tend_broker()
            team.tend(bell)
            beat.tend()
            sweep(works, bell)
