"""The doorbell: messages that say which row is due, and nothing else.

A message that cannot be sent, or is lost, costs time only: the ledger knows what is due and
the next sweep rings again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol

from celery import Celery
from kombu.exceptions import OperationalError
from redis.exceptions import RedisError

from schemas.errors import NotNow
from worker.bootstrap import Works
from worker.ledger.sweeping import Ring, rung, to_ring
from worker.logs import logger
from worker.queues import IN_ORDER, PACKS, TICK

log = logger(__name__)


class Bell(Protocol):
    """Rings for workers."""

    def ring(self, ring: Ring) -> None:
        """Send a message.

        Raises:
            NotNow: The broker does not take it.
        """

    def waiting(self) -> int:
        """Messages that no worker has taken yet.

        Raises:
            NotNow: The broker does not answer.
        """


@dataclass(frozen=True, slots=True)
class QueueBell:
    """Rings through the task queue."""

    app: Celery

    def ring(self, ring: Ring) -> None:
        """Send a message.

        Raises:
            NotNow: The broker does not take it.
        """
        self._send(ring.task, [ring.row_id], ring.queue)

    def ask_for_look(self) -> None:
        """Have the nights looked at now, not only at the scheduler's next minute.

        Raises:
            NotNow: The broker does not take it.
        """
        self._send(TICK, [], PACKS)

    def waiting(self) -> int:
        """Messages that no worker has taken yet.

        Raises:
            NotNow: The broker does not answer.
        """
        try:
            with self.app.pool.acquire(block=True) as connection:
                client = connection.default_channel.client
                return sum(int(client.llen(name)) for name in IN_ORDER)
        except (OperationalError, RedisError, OSError) as no:
            msg = f"the broker does not answer: {no}"
            raise NotNow(msg) from no

    def _send(self, task: str, arguments: list[int], queue: str) -> None:
        try:
            self.app.send_task(task, args=arguments, queue=queue, retry=False)
        except (OperationalError, RedisError, OSError) as no:
            msg = f"the broker takes no message: {no}"
            raise NotNow(msg) from no


@dataclass(frozen=True, slots=True)
class KeptBell:
    """Keeps its messages: the stand-in."""

    rings: list[Ring] = field(default_factory=list)

    def ring(self, ring: Ring) -> None:
        """Keep a message."""
        self.rings.append(ring)

    def waiting(self) -> int:
        """Messages kept."""
        return len(self.rings)


def sweep(works: Works, bell: Bell) -> int:
    """Ring for all that is due and nobody is working on; the number of messages sent."""
    try:
        idle = bell.waiting() == 0
    except NotNow as no:
        log.warning("not swept", why=str(no))
        return 0
    with works.ledger.reading() as tx:
        rings = to_ring(tx, idle=idle, lease=works.settings.lease)
    return ring_for(works, bell, rings)


def ring_for(works: Works, bell: Bell, rings: Sequence[Ring]) -> int:
    """Send messages and write down which were sent; the number of them."""
    sent: list[Ring] = []
    try:
        for ring in rings:
            bell.ring(ring)
            sent.append(ring)
    except NotNow as no:
        log.warning("not rung", why=str(no))
    if sent:
        with works.ledger.writing() as tx:
            rung(tx, sent)
    return len(sent)
