"""Worker processes started from here: the same application as anywhere, on a leash.

One that dies or goes deaf is replaced, and what it had claimed is free at once.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from typing import Final, Self

from schemas.errors import NotNow
from worker import leash
from worker.bell import Bell, QueueBell, sweep
from worker.bootstrap import Works
from worker.broker import EmbeddedBroker
from worker.celery_app import make_app
from worker.ledger.claims import free, is_busy
from worker.logs import logger
from worker.making import holder_of
from worker.queues import IN_ORDER
from worker.settings import Settings

PATIENCE: Final = 45.0
"""For a worker to end: a busy one may take half a minute to hand over its last result. [s]"""

REPLACEMENTS: Final = 20
"""So many dead workers are replaced in one run; after that something is wrong with the machine."""

SWEEP_EVERY: Final = 5.0
"""Between two sweeps of the ledger while workers stand ready. [s]"""

STARTING: Final = 10.0
"""A worker may be quiet for a lease, and for so long more while it starts. [s]"""

APP: Final = "worker.celery_app"

log = logger(__name__)


@dataclass(slots=True, kw_only=True)
class Team:
    """A worker with so many processes, replaced when it dies."""

    works: Works
    broker_url: str
    size: int
    """Packs made at the same time; 0: workers run elsewhere."""
    app: str = APP
    _worker: subprocess.Popen[bytes] | None = None
    _started: int = field(default=0)
    _quiet_since: float = field(default=0.0)
    """Since when messages have waited while it worked on nothing. [s, monotonic]"""

    def __enter__(self) -> Self:
        """Start it."""
        if self.size:
            self._start()
        return self

    def __exit__(self, *_: object) -> None:
        """End it; what it is doing is finished first."""
        if self._worker is not None:
            leash.stop(self._worker, patience=PATIENCE)

    def tend(self, bell: Bell) -> None:
        """Replace it if it has died or gone deaf, and free what it had claimed.

        A worker that lost its broker may live on and never listen again; no look at the
        process shows it, only that messages wait and it works on nothing.

        Raises:
            NotNow: It has been replaced too often.
        """
        if self._worker is None:
            return
        if self._worker.poll() is None:
            if self._hears(bell):
                return
            self._worker.kill()
            self._worker.wait()
        code = self._worker.returncode
        log.warning("worker replaced", process=self._worker.pid, code=code)
        with self.works.ledger.writing() as tx:
            free(tx, holder=holder_of(self._worker.pid))
        if self._started > REPLACEMENTS:
            msg = f"workers keep dying; see {self.works.settings.logs}"
            raise NotNow(msg)
        self._start()

    def _hears(self, bell: Bell) -> bool:
        now = time.monotonic()
        assert self._worker is not None
        with self.works.ledger.reading() as tx:
            busy = is_busy(tx, holder=holder_of(self._worker.pid))
        if busy or not _messages(bell):
            self._quiet_since = now
        return now - self._quiet_since < self.works.settings.lease + STARTING

    def _start(self) -> None:
        self._started += 1
        self._quiet_since = time.monotonic()
        settings = self.works.settings.model_copy(update={"broker_url": self.broker_url})
        name = f"dawnpack-{os.getpid()}-{self._started}"
        command = [
            sys.executable, "-m", "celery", "-A", self.app, "worker",
            "--concurrency", str(self.size), "--queues", ",".join(IN_ORDER),
            "--hostname", f"{name}@%h", "--loglevel", settings.log_level,
            "--without-gossip", "--without-mingle", "--without-heartbeat",
        ]  # fmt: skip
        self._worker = leash.start(
            command,
            end_with=signal.SIGKILL,
            log=settings.logs / f"{name}.log",
            environ=settings.environ(),
        )


def work_on_until(works: Works, stop: threading.Event, *, size: int, app: str = APP) -> None:
    """Run workers and sweep for them, until told to stop.

    Args:
        works: The works.
        stop: Set to end; what is running is finished first.
        size: Packs made at the same time.
        app: Module of the worker process's application.

    Raises:
        NotNow: No broker can be had, or workers keep dying.
    """
    with ExitStack() as stack:
        url, tend_broker = stack.enter_context(broker_of(works.settings))
        queue = make_app(works.settings.model_copy(update={"broker_url": url}))
        stack.callback(queue.close)
        team = stack.enter_context(Team(works=works, broker_url=url, size=size, app=app))
        bell = QueueBell(queue)
        sweep(works, bell)
        while not stop.wait(SWEEP_EVERY):
            tend_broker()
            team.tend(bell)
            sweep(works, bell)


@contextmanager
def broker_of(settings: Settings) -> Iterator[tuple[str, Callable[[], None]]]:
    """The broker's URL and what keeps it running: the one in the settings, or one of our own."""
    if settings.broker_url:
        yield settings.broker_url, lambda: None
        return
    with EmbeddedBroker(settings.data) as broker:
        yield broker.url, broker.tend


def _messages(bell: Bell) -> bool:
    """Whether messages wait; a broker that does not answer keeps nobody waiting."""
    try:
        return bell.waiting() > 0
    except NotNow:
        return False
