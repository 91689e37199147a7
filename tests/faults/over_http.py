"""Faults at the HTTP door: the service dies over a submission, and the office sends it again."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from random import Random

import httpx

from tests.faults.cases import Case
from tests.faults.house import EVENING, JOBS, LIMIT, House
from tests.gate import waited
from tests.over_http import key_for
from tests.stand_in import submission_of
from worker.fail_points import COUNTED_IN, STRIKE


def every_case() -> list[Case]:
    """All of them."""
    return [
        *(
            Case(
                name=f"api-killed-{point}",
                done=f"SIGKILL to the HTTP service that passes '{point}'; sent again",
                run=_killed_at(point),
            )
            for point in ("accepting", "accepted")
        ),
        Case(
            name="api-broker-frozen",
            done="submissions over HTTP while the broker is stopped",
            run=_broker_frozen,
        ),
    ]


@contextmanager
def _serving(
    house: House, environ: dict[str, str] | None = None
) -> Iterator[tuple[subprocess.Popen[bytes], httpx.Client]]:
    if not house.clock.file.exists():
        house.root.mkdir(parents=True, exist_ok=True)
        house.clock.put(EVENING.timestamp() - time.time())  # the day that is printed as of issue
    works = house.works()
    key = key_for(works, "office")
    works.ledger.close()
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    process = house.start("serve", str(port), environ=environ)
    client = httpx.Client(
        base_url=f"http://127.0.0.1:{port}",
        headers={"Authorization": f"Bearer {key}", "Content-Type": "application/json"},
        timeout=30,
        trust_env=False,
    )
    try:
        with client:
            waited(lambda: process.poll() is not None or _ready(client), "the service is not ready")
            yield process, client
    finally:
        process.terminate()
        process.wait(LIMIT)


def _ready(client: httpx.Client) -> bool:
    try:
        return client.get("/livez").status_code == 200
    except httpx.TransportError:
        return False


def _send_all(client: httpx.Client) -> None:
    """Each job with a key that is the same at every try, as an office's system has it."""
    for number, crew, faults in JOBS:
        taken = client.post(
            "/v1/jobs",
            content=submission_of(number, *faults, crew=crew),
            headers={"Idempotency-Key": f'"{number}"'},
        )
        assert taken.status_code in {200, 202}, taken.text


def _killed_at(point: str) -> Callable[[House, Random], None]:
    def run(house: House, chance: Random) -> None:
        counted = house.root / "counted"
        counted.mkdir(parents=True, exist_ok=True)
        strike = {STRIKE: f"{point}:{chance.randint(1, 9)}:SIGKILL", COUNTED_IN: str(counted)}
        with _serving(house, strike) as (process, client):
            try:
                _send_all(client)
            except httpx.TransportError:
                process.wait(LIMIT)
        assert process.returncode < 0, "the service was not killed"
        with _serving(house) as (_, client):
            _send_all(client)
        house.night()

    return run


def _broker_frozen(house: House, _: Random) -> None:
    """Taking in needs no broker: every answer comes while it stands still."""
    with _serving(house) as (_process, client):
        info = house.broker().info("server")
        assert isinstance(info, dict)
        os.kill(int(info["process_id"]), signal.SIGSTOP)
        try:
            _send_all(client)
        finally:
            os.kill(int(info["process_id"]), signal.SIGCONT)
    house.night()
