"""The two tasks: a message carries a row's number, and may come twice or late.

The second run of a finished row changes nothing. When the last pack of a crew's day is done,
the doorbell of its bundle rings at once.
"""

from __future__ import annotations

import os
from contextlib import AbstractContextManager
from typing import Any, Final

import structlog
from celery import Task, shared_task

from worker import making
from worker.bell import QueueBell, ring_for
from worker.bootstrap import Works
from worker.ledger.gathering import gather_for
from worker.ledger.sweeping import bundle_ring
from worker.queues import MAKE_BUNDLE, MAKE_PACK
from worker.retries import HARD_LIMIT, SOFT_LIMIT

LIMITS: Final[dict[str, Any]] = {
    "bind": True,
    "max_retries": 3,  # of a worker lost; the ledger's own count goes before
    "default_retry_delay": 5,
    "soft_time_limit": SOFT_LIMIT,
    "time_limit": HARD_LIMIT,
}


@shared_task(name=MAKE_PACK, **LIMITS)
def make_pack(task: Task, job_id: int) -> None:
    """Make the pack of a row of `jobs`."""
    works: Works = task.app.works
    with _bound(task, job_id):
        making.make_pack(works, job_id, holder=making.holder_of(os.getppid()))
        with works.ledger.writing() as tx:
            ready = gather_for(tx, job_id, stamp=works.stamp)
        ring_for(works, QueueBell(task.app), [bundle_ring(row_id) for row_id in ready])


@shared_task(name=MAKE_BUNDLE, **LIMITS)
def make_bundle(task: Task, bundle_id: int) -> None:
    """Make the bundle of a row of `bundles`."""
    with _bound(task, bundle_id):
        making.make_bundle(task.app.works, bundle_id, holder=making.holder_of(os.getppid()))


def _bound(task: Task, row_id: int) -> AbstractContextManager[None]:
    """Every line logged from here on names the task and its row."""
    return structlog.contextvars.bound_contextvars(task=task.name, row=row_id)
