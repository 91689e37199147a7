"""Whether what the work needs can be used: ledger, store, disk, broker."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from schemas.errors import NotNow
from worker.bell import Bell, QueueBell
from worker.bootstrap import Works
from worker.broker import EmbeddedBroker
from worker.celery_app import make_app
from worker.ledger.listing import counted
from worker.ledger.locks import last_held
from worker.ledger.migrating import check
from worker.ledger.opening import Tx
from worker.ledger.runs import set_aside

FLOOR: Final = 256 * 1024 * 1024
"""Least room on the disk of the data folder; below it nothing new is taken in. [bytes]"""

SILENT: Final = 300.0
"""So long without a look at the nights means that nobody looks. [s]"""

EVER: Final = 10 * 365 * 86_400.0
"""Longer than any ledger is old: never. [s]"""

NEEDED: Final = frozenset({"ledger", "store", "disk", "broker"})
"""What a worker needs itself; the schedule runs elsewhere."""

VITAL: Final = frozenset({"ledger", "store", "disk"})
"""Without these nothing can be taken in; without the broker it can."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One thing the work needs."""

    what: str
    well: bool
    says: str


def look(works: Works, bell: Bell | None = None) -> list[Part]:
    """Use each part once and say how it went.

    Args:
        works: The works.
        bell: The broker's; none: one is made as the settings say.
    """
    return [
        _try("ledger", lambda: _ledger(works)),
        _try("store", lambda: _store(works)),
        _try("disk", lambda: _disk(works)),
        _try("broker", lambda: _waiting(bell) if bell else _broker(works)),
        _try("schedule", lambda: _schedule(works)),
        _try("nights", lambda: _nights(works)),
    ]


def is_ready(parts: list[Part]) -> bool:
    """Whether jobs can be taken in."""
    return all(part.well for part in parts if part.what in VITAL)


def can_work(parts: list[Part]) -> bool:
    """Whether a worker here can work."""
    return all(part.well for part in parts if part.what in NEEDED)


def tick_lock(works: Works) -> str:
    """The name of the lock that one look at the nights holds."""
    return f"tick {works.library.company.key}"


def since_last_look(works: Works) -> float:
    """Seconds since anybody looked at the nights."""
    with works.ledger.writing() as tx:
        return looked_ago(tx, works)


def looked_ago(tx: Tx, works: Works) -> float:
    """The same, in a transaction."""
    return max(0.0, (tx.now_ms - last_held(tx, tick_lock(works))) / 1000)


def nights_aside(works: Works) -> str:
    """Which nights are set aside and what broke them, in words; empty if there is none."""
    with works.ledger.reading() as tx:
        found = set_aside(tx, works.library.company.key)
    return "; ".join(f"{run.work_date} is set aside: {run.error}" for run in found)


def _nights(works: Works) -> str:
    if broken := nights_aside(works):
        msg = f"{broken}: mend it, then dawnpack night --for DAY"
        raise NotNow(msg)
    return "none is set aside"


def _schedule(works: Works) -> str:
    ago = since_last_look(works)
    if ago > SILENT:
        since = f"for {ago:.0f} s" if ago < EVER else "yet"
        msg = f"nobody has looked at the nights {since}: dawnpack schedule"
        raise NotNow(msg)
    return f"last look {ago:.0f} s ago"


def _try(what: str, use: Callable[[], str]) -> Part:
    try:
        return Part(what=what, well=True, says=use())
    except NotNow as no:
        return Part(what=what, well=False, says=str(no))


def _ledger(works: Works) -> str:
    with works.ledger.writing() as tx:
        check(tx.sql)
        return f"{sum(counted(tx).values())} jobs"


def _store(works: Works) -> str:
    name = works.store.put(b"health")
    works.store.get(name)
    return "writes and reads"


def _disk(works: Works) -> str:
    works.settings.data.mkdir(parents=True, exist_ok=True)
    free = shutil.disk_usage(works.settings.data).free
    if free < FLOOR:
        msg = f"{free >> 20} MiB are free, {FLOOR >> 20} are needed"
        raise NotNow(msg)
    return f"{free >> 20} MiB free"


def _waiting(bell: Bell) -> str:
    return f"{bell.waiting()} messages wait"


def _broker(works: Works) -> str:
    if works.settings.broker_url:
        with make_app(works.settings) as queue:
            return _waiting(QueueBell(queue))
    with EmbeddedBroker(works.settings.data):
        return "embedded, starts"
