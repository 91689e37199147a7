"""Servers and stand-ins for the worker's tests: a ledger of each kind, works on it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from io import StringIO
from pathlib import Path

import pytest
from moto.server import ThreadedMotoServer

from tests.bucket import client_of
from tests.stand_in import StandIn
from worker.bootstrap import Works
from worker.clock import SetClock
from worker.ledger.opening import Ledger, open_ledger, upgrade_ledger
from worker.library import load_library
from worker.logs import set_up
from worker.settings import Settings
from worker.stores.bucket import BucketStore, connected
from worker.stores.memory import MemoryStore


@pytest.fixture(autouse=True)
def logs() -> None:
    """Log as in production, each test anew: pytest shows what was logged when one fails.

    A server's thread may log its last line when the test is over; it goes nowhere.
    """
    set_up(Settings(log="json"), to=StringIO())


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


@pytest.fixture(scope="session")
def bucket_server() -> Iterator[str]:
    """The address of a server that speaks the S3 protocol."""
    server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    server.start()
    host, port = server.get_host_and_port()
    yield f"http://{host}:{port}"
    server.stop()


@pytest.fixture
def bucket_keys(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """The client's keys in a file, as in production, and nothing else of its environment."""
    for name in [name for name in os.environ if name.startswith("AWS_")]:
        monkeypatch.delenv(name)
    keys = tmp_path / "store_keys"
    keys.write_text("[default]\naws_access_key_id = office\naws_secret_access_key = invented\n")
    monkeypatch.setenv("AWS_SHARED_CREDENTIALS_FILE", str(keys))
    monkeypatch.setenv("AWS_CONFIG_FILE", str(tmp_path / "none"))
    monkeypatch.setenv("AWS_EC2_METADATA_DISABLED", "true")
    connected.cache_clear()
    yield keys
    connected.cache_clear()


@pytest.fixture
def bucket(bucket_server: str, bucket_keys: Path) -> BucketStore:
    """A store of its own in a bucket."""
    client_of(bucket_server).create_bucket(Bucket="packs")
    return BucketStore(f"s3://packs/{bucket_keys.parent.name}", bucket_server, patience=2)


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
