"""The scheduler's task: one look, on whichever worker is free."""

from __future__ import annotations

import os

from celery import Task, shared_task

from worker.bell import QueueBell
from worker.making import holder_of
from worker.queues import TICK
from worker.retries import TICK_LIMIT
from worker.schedule.tick import tick


@shared_task(name=TICK, bind=True, soft_time_limit=TICK_LIMIT, time_limit=TICK_LIMIT + 60)
def look(task: Task) -> None:
    """Look at the nights; one that fails is followed by the next, a minute later."""
    tick(task.app.works, QueueBell(task.app), holder=holder_of(os.getppid()))
