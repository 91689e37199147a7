"""Real servers and real worker processes for the integration tests."""

from __future__ import annotations

import os
from collections.abc import Iterator
from io import StringIO
from pathlib import Path

import pytest

from tests.stand_in import StandIn
from worker.bootstrap import Works, build
from worker.broker import EmbeddedBroker
from worker.logs import set_up
from worker.settings import Settings

APP = "tests.stand_in_app"

LEASE = 3.0
"""Short, so that a lost worker's job is free soon. [s]"""

OUTSIDE = os.environ.get("DAWNPACK_TEST_BROKER_URL", "")
"""A Redis-protocol server of the system, to run the same tests against; it is emptied."""


@pytest.fixture(autouse=True)
def logs() -> None:
    """Log as in production, each test anew: pytest shows what was logged when one fails.

    A server's thread may log its last line when the test is over; it goes nowhere.
    """
    set_up(Settings(log="json"), to=StringIO())


@pytest.fixture(scope="session", params=["outside" if OUTSIDE else "embedded"])
def broker_url(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[str]:
    """A running broker: the embedded one, or the system's where one is named."""
    if request.param == "outside":
        yield OUTSIDE
        return
    with EmbeddedBroker(tmp_path_factory.mktemp("broker")) as broker:
        yield broker.url


@pytest.fixture
def settings(broker_url: str, tmp_path: Path) -> Settings:
    """An installation of its own, on the running broker."""
    return Settings(data=tmp_path / "data", broker_url=broker_url, lease=LEASE, log="json")


@pytest.fixture
def works(settings: Settings) -> Works:
    """The works with the stand-in for the computation."""
    return build(settings, pipeline=StandIn())
