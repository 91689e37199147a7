"""The post's task: one round, to receivers and to printers, on whichever worker is free."""

from __future__ import annotations

import os

from celery import Task, shared_task

from worker.making import holder_of
from worker.post.round import go_round
from worker.printers.round import go_round as print_round
from worker.queues import POST
from worker.retries import TICK_LIMIT


@shared_task(name=POST, bind=True, soft_time_limit=TICK_LIMIT, time_limit=TICK_LIMIT + 60)
def carry(task: Task) -> None:
    """Go round; what could not be told is told another time."""
    holder = holder_of(os.getppid())
    go_round(task.app.works, holder=holder)
    print_round(task.app.works, holder=holder)
