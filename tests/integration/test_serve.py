"""`dawnpack serve`: one command is a whole installation, and stops cleanly."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import httpx
import pytest

from tests.over_http import key_for
from tests.stand_in import DAY, submission_of
from worker.bootstrap import build
from worker.ledger.opening import upgrade_ledger
from worker.settings import Settings

SERVE = """
from tests.stand_in_app import SETTINGS, build_works
from worker.api.serving import serve
from worker.logs import set_up
import sys
set_up(SETTINGS)
serve(build_works(), host="127.0.0.1", port=int(sys.argv[1]), size=2, app="tests.stand_in_app")
"""


def free_port() -> int:
    """A port that nobody listens at now."""
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture(params=["sqlite", "postgresql"])
def settings(request: pytest.FixtureRequest, tmp_path: Path) -> Settings:
    """An installation with a broker of its own, on each kind of ledger."""
    url = ""
    if request.param == "postgresql":
        url = request.getfixturevalue("bare_postgres")
        upgrade_ledger(url)
    return Settings(data=tmp_path / "data", ledger_url=url, lease=3, log="json")


@contextmanager
def serving(settings: Settings) -> Iterator[tuple[subprocess.Popen[bytes], httpx.Client]]:
    """The service as a process of its own, and a client with a key."""
    works = build(settings)
    key = key_for(works, "office")
    works.ledger.close()
    port = free_port()
    environ = {**os.environ, **settings.environ(), "PYTHONPATH": os.pathsep.join(sys.path)}
    process = subprocess.Popen([sys.executable, "-c", SERVE, str(port)], env=environ)
    client = httpx.Client(
        base_url=f"http://127.0.0.1:{port}",
        headers={"Authorization": f"Bearer {key}"},
        timeout=20,
        trust_env=False,
    )
    with client:
        yield process, client
    if process.poll() is None:
        process.kill()
        process.wait()


def until(client: httpx.Client, path: str, **wanted: Any) -> dict[str, Any]:  # noqa: ANN401  # JSON
    """What an address shows once it shows what is wanted."""
    end = time.monotonic() + 60
    shown: dict[str, Any] = {}
    while time.monotonic() < end:
        try:
            shown = client.get(path).json()
        except httpx.TransportError:
            shown = {}
        if wanted.items() <= shown.items():
            return shown
        time.sleep(0.2)
    raise AssertionError(shown)


def test_an_office_submits_and_has_its_bundles_over_http_alone(settings: Settings) -> None:
    """Submit, ask for the night, read the report, fetch the bundle; then stop it."""
    with serving(settings) as (process, client):
        until(client, "/readyz", ready=True)
        for number in range(3):
            taken_in = client.post(
                "/v1/jobs?when=now",
                content=submission_of(f"J-{number}"),
                headers={"Content-Type": "application/json"},
            )
            assert taken_in.status_code == 202
        until(client, "/v1/jobs/J-0", state="packed")
        asked = client.post(f"/v1/nights/{DAY}/runs")
        night = until(client, asked.headers["Location"], state="closed")
        report = client.get(night["links"]["report"]).json()
        bundle = client.get(night["crews"][0]["links"]["bundle"])

        process.send_signal(signal.SIGTERM)
        ended = process.wait(timeout=90)

    assert (report["complete"], report["on_day_sheets"]) == (True, 3)
    assert all(f"J-{number}".encode() in bundle.content for number in range(3))
    assert ended == 0
