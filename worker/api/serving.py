"""The service running: the HTTP server, and beside it what makes packs when nobody else does.

With no broker in the settings this process has its own, with workers and the schedule, in a
thread; with one, workers and schedule run elsewhere and this process only answers.
"""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Final

import uvicorn

from schemas.errors import NotNow
from worker.api.app import make_service
from worker.bell import QueueBell
from worker.bootstrap import Works
from worker.celery_app import make_app
from worker.logs import logger
from worker.processes import APP, broker_of
from worker.schedule import keep_until

AGAIN: Final = 5.0
"""Before workers that could not be kept are tried again. [s]"""

GRACE: Final = 30
"""Requests under way may take so long when the service is told to stop. [s]"""

IDLE: Final = 15
"""A connection that sends nothing is closed after so long. [s]"""

AT_ONCE: Final = 200
"""Connections at a time; more are answered 503 at once."""

log = logger(__name__)


def serve(works: Works, *, host: str, port: int, size: int, app: str = APP) -> None:
    """Answer until told to stop; requests under way are finished first.

    Args:
        works: The works.
        host: Address to listen at.
        port: Port to listen at; 0: any that is free.
        size: Packs made at the same time here; 0: workers and schedule run elsewhere.
        app: Module of the worker processes' application.
    """
    with bell_of(works) as bell:
        service = make_service(works, bell=lambda: bell, nudge=lambda: nudge(bell))
        config = uvicorn.Config(
            service, host=host, port=port, log_config=None, access_log=False, server_header=False,
            limit_concurrency=AT_ONCE, timeout_keep_alive=IDLE, timeout_graceful_shutdown=GRACE,
        )  # fmt: skip
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, _told)
        with Company(works=works, size=size, app=app):
            uvicorn.Server(config).run()


def _told(*_: object) -> None:
    """The server has stopped for this signal, and raises it again for what stands around it."""


@contextmanager
def bell_of(works: Works) -> Iterator[QueueBell]:
    """The bell of the broker in the settings, or of one of our own, which runs meanwhile."""
    with broker_of(works.settings) as (url, _):
        queue = make_app(works.settings.model_copy(update={"broker_url": url}))
        with queue:
            yield QueueBell(queue)


def nudge(bell: QueueBell) -> None:
    """Have the nights looked at soon; without it the schedule does within a minute."""
    try:
        bell.ask_for_look()
    except NotNow as no:
        log.warning("not nudged", why=str(no))


@dataclass(slots=True, kw_only=True)
class Company:
    """Workers and the schedule, kept in a thread."""

    works: Works
    size: int
    app: str = APP
    _stop: threading.Event = field(default_factory=threading.Event)
    _thread: threading.Thread | None = None

    def __enter__(self) -> None:
        """Start them."""
        if self.size:
            self._thread = threading.Thread(target=self._keep, name="keep")
            self._thread.start()

    def __exit__(self, *_: object) -> None:
        """Stop them; what they make is finished first."""
        self._stop.set()
        if self._thread is not None:
            self._thread.join()

    def _keep(self) -> None:
        while not self._stop.is_set():
            try:
                keep_until(self.works, self._stop, size=self.size, app=self.app)
            except NotNow as no:
                log.error("workers not kept", why=str(no))  # noqa: TRY400  # no bug: tried again
                self._stop.wait(AGAIN)
