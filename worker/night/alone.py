"""Doing a thing alone: a lock in the ledger, renewed as long as the work lasts."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from typing import Final

from schemas.errors import NotNow
from worker.bootstrap import Works
from worker.ledger.locks import Lock, give_back, holder_of_lock, renew, take
from worker.logs import logger
from worker.making import RENEWALS

LEASES: Final = 2.0
"""Whoever is silent for so many leases of a job has lost the lock to the next one."""

log = logger(__name__)


def night_lock(works: Works, day: date) -> str:
    """The name of a night's lock."""
    return f"night {works.library.company.key} {day}"


@contextmanager
def alone(works: Works, name: str, *, holder: str) -> Iterator[Lock | None]:
    """Hold a lock while the work lasts; none if somebody else holds it."""
    lease = LEASES * works.settings.lease
    with works.ledger.writing() as tx:
        lock = take(tx, name, holder=holder, lease=lease)
    if lock is None:
        yield None
        return
    done = threading.Event()
    beat = threading.Thread(target=_keep, args=(works, lock, lease, done), daemon=True)
    beat.start()
    try:
        yield lock
    finally:
        done.set()
        beat.join()
        with works.ledger.writing() as tx:
            give_back(tx, lock)


def whose(works: Works, name: str) -> str:
    """Who holds a lock now; empty for nobody."""
    with works.ledger.writing() as tx:
        return holder_of_lock(tx, name)


def _keep(works: Works, lock: Lock, lease: float, done: threading.Event) -> None:
    while not done.wait(lease / RENEWALS):
        try:
            with works.ledger.writing() as tx:
                renew(tx, lock, lease=lease)
        except NotNow as no:
            log.warning("lock not renewed", lock=lock.name, why=str(no))
