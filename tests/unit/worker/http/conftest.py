"""The service on SQLite and on PostgreSQL, with the stand-in for the computation."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.over_http import Office, office_of
from tests.stand_in import StandIn
from worker.bootstrap import Works
from worker.clock import SystemClock
from worker.ledger.opening import open_ledger, upgrade_ledger
from worker.library import load_library
from worker.settings import Settings
from worker.stores.memory import MemoryStore


@pytest.fixture
def works(bare_url: str, tmp_path: Path) -> Iterator[Works]:
    """The works on a ledger that several threads may use at once."""
    upgrade_ledger(bare_url)
    ledger = open_ledger(bare_url)
    yield Works(
        settings=Settings(data=tmp_path, broker_url=f"redis+socket://{tmp_path}/none.sock"),
        clock=SystemClock(),
        ledger=ledger,
        store=MemoryStore(),
        pipeline=StandIn(),
        library=load_library(),
        stamp="0" * 64,
    )
    ledger.close()


@pytest.fixture
def office(works: Works) -> Iterator[Office]:
    """A client of the service."""
    with office_of(works) as client:
        yield client
