"""The task queue's application: the same one embedded, in production and in the tests.

Every setting that is not the queue's own default has its reason beside it.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import Any, Final

from celery import Celery
from celery.signals import setup_logging

from worker.bootstrap import Works, build
from worker.logs import set_up
from worker.queues import NIGHT, PACKS, POST, QUEUES, TICK
from worker.retries import POST_EVERY, TICK_EVERY, VISIBLE_AGAIN
from worker.settings import Settings

NOWHERE: Final = "redis://broker.invalid/"
"""Before the embedded broker is up; nothing may be sent there."""

CONF: Final[dict[str, Any]] = {
    "accept_content": ["json"],  # no pickle: who can write the queue must not run code
    "task_serializer": "json",
    "result_serializer": "json",
    "task_ignore_result": True,  # the ledger is the truth
    "task_queues": QUEUES,
    "task_default_queue": NIGHT,
    "task_create_missing_queues": False,
    "task_acks_late": True,  # a crash before the end brings the message back
    "task_acks_on_failure": True,  # the ledger decides on tries, not the queue
    "task_acks_on_timeout": True,  # or an overrunning task starts for ever
    "task_retry_on_worker_lost": True,  # bounded, where reject alone would loop
    "task_reject_on_worker_lost": True,  # only if that retry cannot be sent
    "task_publish_retry": False,  # the sweep tries again, not the caller
    "worker_prefetch_multiplier": 1,  # reserve no more than there are processes
    "worker_max_tasks_per_child": 100,  # against slow leaks
    "worker_max_memory_per_child": 600_000,  # KiB
    "worker_soft_shutdown_timeout": 60,  # on SIGQUIT, or SIGTERM with REMAP_SIGTERM=SIGQUIT
    # True loses running tasks at a broker restart, and 6.0 makes it the default:
    "worker_cancel_long_running_tasks_on_connection_loss": False,
    "worker_eta_task_limit": 100,
    "worker_enable_remote_control": False,  # or who can write the queue can stop the workers
    "worker_send_task_events": False,
    "broker_connection_retry_on_startup": True,
    "broker_connection_max_retries": None,
    "broker_transport_options": {
        "queue_order_strategy": "priority",  # `packs` is emptied before `night`
        "visibility_timeout": VISIBLE_AGAIN,
        "unacked_restore_interval": 10,  # with the defaults the scan runs every 100 s only
        "unacked_restore_throttle": 1,
        "socket_timeout": 5,  # without it a dead connection blocks for ever
        "socket_connect_timeout": 3,
        "socket_keepalive": True,
        "health_check_interval": 25,
        "max_retries": 1,  # a publisher gives up within seconds
    },
    # The schedule knows no hours: which run is due in the company's zone is decided
    # from the ledger, so a second scheduler, a late one or a doubled hour changes nothing.
    "beat_schedule": {
        name: {
            "task": name,
            "schedule": every,
            "options": {"queue": PACKS, "expires": every, "ignore_result": True},
        }
        for name, every in ((TICK, TICK_EVERY), (POST, POST_EVERY))
    },
    "timezone": "UTC",
    "enable_utc": True,
}


class App(Celery):
    """The application and what its tasks work with, built once a process and after the fork."""

    def __init__(self, settings: Settings, build_works: Callable[[], Works]) -> None:
        """Listen at the broker that the settings name."""
        super().__init__(  # type: ignore[no-untyped-call]  # Celery carries no types
            "dawnpack",
            broker=settings.broker_url or NOWHERE,
            include=["worker.tasks", "worker.schedule.task", "worker.post.task"],
        )
        self.conf.update(CONF)
        self._build_works = build_works

    @cached_property
    def works(self) -> Works:
        """Ledger, store, library, pipeline."""
        return self._build_works()


def make_app(settings: Settings, build_works: Callable[[], Works] | None = None) -> App:
    """An application on the broker that the settings name.

    Args:
        settings: For the broker's URL and the works.
        build_works: Builds the works; none: as the settings say.
    """
    return App(settings, build_works or (lambda: build(settings)))


@setup_logging.connect
def _set_up_logging(**_: object) -> None:
    set_up(Settings.read())


app = make_app(Settings.read())
