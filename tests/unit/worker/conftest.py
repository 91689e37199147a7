"""Servers and stand-ins for the worker's tests: a ledger of each kind, works on it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.stand_in import StandIn
from worker.bootstrap import Works
from worker.clock import SetClock
from worker.ledger.opening import Ledger, open_ledger, upgrade_ledger
from worker.library import load_library
from worker.logs import set_up
from worker.settings import Settings
from worker.stores.memory import MemoryStore


@pytest.fixture(scope="session", autouse=True)
def logs() -> None:
    """Log as in production: without the values of variables."""
    set_up(Settings(log="json"))


@pytest.fixture(params=["sqlite file", "postgresql"])
def bare_url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The URL of a database without tables, once for each kind that lasts."""
    if request.param == "postgresql":
        url: str = request.getfixturevalue("bare_postgres")
        return url
    return f"sqlite:///{tmp_path / 'bare.sqlite'}"


@pytest.fixture(params=["sqlite in memory", "sqlite file", "postgresql"])
def ledger_url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """An empty ledger's URL, once for each kind of database."""
    if request.param == "sqlite in memory":
        return "sqlite://"
    if request.param == "sqlite file":
        return f"sqlite:///{tmp_path / 'ledger.sqlite'}"
    url: str = request.getfixturevalue("bare_postgres")
    upgrade_ledger(url)
    return url


@pytest.fixture
def clock() -> SetClock:
    """A clock that stands."""
    return SetClock()


@pytest.fixture
def ledger(ledger_url: str, clock: SetClock) -> Iterator[Ledger]:
    """A ledger on a clock that stands."""
    opened = open_ledger(ledger_url, clock)
    yield opened
    opened.close()


@pytest.fixture
def works(ledger: Ledger, clock: SetClock, tmp_path: Path) -> Works:
    """The works with every outside thing stood in for, on each kind of ledger."""
    return Works(
        settings=Settings(data=tmp_path),
        clock=clock,
        ledger=ledger,
        store=MemoryStore(),
        pipeline=StandIn(),
        library=load_library(),
        stamp="0" * 64,
    )
