"""The embedded broker: one a data folder, private, and nobody left behind."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from contextlib import ExitStack, suppress
from pathlib import Path

import pytest
from redis import Redis
from redis.backoff import NoBackoff
from redis.exceptions import ConnectionError as NoConnection
from redis.retry import Retry

from worker.broker import EmbeddedBroker

OWNER = """
import pathlib, sys, time
from worker.broker import EmbeddedBroker
with EmbeddedBroker(pathlib.Path(sys.argv[1])) as broker:
    print(broker.url, flush=True)
    time.sleep(60)
"""


def client(url: str) -> Redis:
    """A client of the server at that address."""
    return Redis(
        unix_socket_path=url.removeprefix("redis+socket://"),
        decode_responses=True,
        retry=Retry(NoBackoff(), 0),
    )


def process_of(url: str) -> int:
    """The server's process number."""
    with client(url) as server:
        info = server.info("server")
    assert isinstance(info, dict)
    return int(info["process_id"])


def ends(process: int, *, within: float = 30.0) -> bool:
    """Whether a process ends; it may be gone between one look and the next."""
    end = time.monotonic() + within
    while time.monotonic() < end:
        try:
            state = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0]
        except OSError:
            return True
        if state == "Z":
            return True
        time.sleep(0.02)
    return False


def test_it_keeps_messages_on_disk_and_drops_none_for_room(tmp_path: Path) -> None:
    """Append-only file, flushed every second; when memory is full, publishing fails instead."""
    with EmbeddedBroker(tmp_path) as broker:
        server = client(broker.url)
        wanted = {"appendonly": "yes", "appendfsync": "everysec", "maxmemory-policy": "noeviction"}

        assert {name: server.config_get(name)[name] for name in wanted} == wanted
        assert server.config_get("port") == {"port": "0"}


def test_only_this_user_may_reach_it(tmp_path: Path) -> None:
    """Who can write the queue can start work."""
    with EmbeddedBroker(tmp_path) as broker:
        socket = Path(broker.url.removeprefix("redis+socket://"))

        assert socket.parent.stat().st_mode & 0o077 == 0
        assert socket.stat().st_mode & 0o077 == 0


def test_it_stops_with_its_owner_and_remembers(tmp_path: Path) -> None:
    """What was in the queue is there at the next start."""
    with EmbeddedBroker(tmp_path) as broker:
        client(broker.url).rpush("night", "a message")
        process = process_of(broker.url)

    assert ends(process)
    assert not Path(broker.url.removeprefix("redis+socket://")).parent.exists()
    with EmbeddedBroker(tmp_path) as again:
        assert client(again.url).lrange("night", 0, -1) == ["a message"]


def test_a_second_command_on_the_same_folder_uses_the_same_server(tmp_path: Path) -> None:
    """Never two servers on one folder; the one who came second does not stop it."""
    with EmbeddedBroker(tmp_path) as first:
        with EmbeddedBroker(tmp_path) as second:
            assert process_of(second.url) == process_of(first.url)

        assert client(first.url).ping()


def test_a_dead_server_is_started_again(tmp_path: Path) -> None:
    """The night tends it, again and again."""
    with EmbeddedBroker(tmp_path) as broker:
        process = process_of(broker.url)
        os.kill(process, signal.SIGKILL)
        end = time.monotonic() + 20
        alive = process
        while alive == process and time.monotonic() < end:
            broker.tend()
            with suppress(NoConnection):
                alive = process_of(broker.url)

        assert alive != process


def test_a_user_of_anothers_server_serves_itself_when_the_owner_has_gone(tmp_path: Path) -> None:
    """At the next tending."""
    with ExitStack() as owner:
        owner.enter_context(EmbeddedBroker(tmp_path))
        with EmbeddedBroker(tmp_path) as second:
            owner.close()

            second.tend()

            assert client(second.url).ping()


def test_a_damaged_file_is_thrown_away(tmp_path: Path) -> None:
    """It is only a doorbell; the ledger rings again."""
    with EmbeddedBroker(tmp_path) as broker:
        client(broker.url).rpush("night", "a message")
    for kept in (tmp_path / "broker/appendonlydir").glob("*.aof"):
        kept.write_bytes(b"rubbish" * 100)

    with EmbeddedBroker(tmp_path) as again:
        assert client(again.url).llen("night") == 0


@pytest.mark.parametrize("end", [signal.SIGKILL, signal.SIGTERM])
def test_no_server_is_left_behind_by_an_owner_that_was_killed(
    tmp_path: Path, end: signal.Signals
) -> None:
    """Whatever ends the owner, the server goes with it."""
    owner = subprocess.Popen(
        [sys.executable, "-c", OWNER, str(tmp_path)],
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )
    assert owner.stdout is not None
    url = owner.stdout.readline().strip()
    process = process_of(url)

    owner.send_signal(end)
    owner.wait()
    owner.stdout.close()

    assert ends(process)
    with pytest.raises(NoConnection):
        client(url).ping()
