"""Whether what the work needs can be used: ledger, store, broker."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from schemas.errors import NotNow
from worker.bell import QueueBell
from worker.bootstrap import Works
from worker.broker import EmbeddedBroker
from worker.celery_app import make_app
from worker.ledger.records import every_job


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One thing the work needs."""

    what: str
    well: bool
    says: str


def look(works: Works) -> list[Part]:
    """Use each part once and say how it went."""
    return [
        _try("ledger", lambda: _ledger(works)),
        _try("store", lambda: _store(works)),
        _try("broker", lambda: _broker(works)),
    ]


def _try(what: str, use: Callable[[], str]) -> Part:
    try:
        return Part(what=what, well=True, says=use())
    except NotNow as no:
        return Part(what=what, well=False, says=str(no))


def _ledger(works: Works) -> str:
    with works.ledger.writing() as tx:
        return f"{len(every_job(tx))} jobs"


def _store(works: Works) -> str:
    name = works.store.put(b"health")
    works.store.get(name)
    return "writes and reads"


def _broker(works: Works) -> str:
    if works.settings.broker_url:
        return f"{QueueBell(make_app(works.settings)).waiting()} messages wait"
    with EmbeddedBroker(works.settings.data):
        return "embedded, starts"
