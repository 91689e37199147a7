"""Printers for the tests: one in this process, and the real one of a system that has it.

The one in this process reads requests and writes answers with pyipp, an IPP library of others,
so that it shares no code with the client. The real one is `ippeveprinter` of the CUPS project.
"""

from __future__ import annotations

import os
import shutil
import signal
import socket
import struct
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from typing import Any

from pyipp.enums import IppTag
from pyipp.parser import parse
from pyipp.serializer import construct_attribute

REAL = os.environ.get("DAWNPACK_TEST_IPPEVEPRINTER", "")
"""Path of the CUPS project's `ippeveprinter`, where there is one."""

CAN: dict[str, tuple[IppTag, list[str] | list[int]]] = {
    "document-format-supported": (IppTag.MIME_TYPE, ["application/pdf"]),
    "media-supported": (IppTag.KEYWORD, ["na_letter_8.5x11in", "iso_a4_210x297mm"]),
    "sides-supported": (IppTag.KEYWORD, ["one-sided", "two-sided-long-edge"]),
    "finishings-supported": (IppTag.ENUM, [3, 4, 20]),
    "print-scaling-supported": (IppTag.KEYWORD, ["auto", "fit", "none"]),
}
"""What an office printer can do."""


@dataclass
class Sheet:
    """One job as the printer has it."""

    number: int
    name: str
    attributes: dict[str, Any]
    pdf: bytes
    state: int = 9
    sheets: int = 3


def _set() -> threading.Event:
    event = threading.Event()
    event.set()
    return event


@dataclass
class PaperTray:
    """A printer that does as told and keeps what it prints."""

    mood: str = "well"
    """well, busy, off-line, takes-and-hangs-up, hangs-up, aborts, aborts-midway, canceled,
    forgets, slow"""
    can: dict[str, tuple[IppTag, Any]] = field(default_factory=lambda: dict(CAN))
    printed: list[Sheet] = field(default_factory=list)
    port: int = 0
    hold: threading.Event = field(default_factory=_set)
    """Cleared: what it takes it answers only later."""

    @property
    def uri(self) -> str:
        """Its address."""
        return f"ipp://127.0.0.1:{self.port}/ipp/print"

    def answer(self, raw: bytes) -> bytes | None:
        """A reply, or none for hanging up."""
        asked = parse(raw, contains_data=True)
        operation = asked["status-code"]
        about = asked["operation-attributes"]
        about = about[0] if isinstance(about, list) else about
        if operation == 0x000B:
            return _reply(0, IppTag.PRINTER, [_attributes(self.can)])
        if operation == 0x0002:
            return self._print(asked, about)
        if operation == 0x0009:
            found = [job for job in self.printed if job.number == about["job-id"]]
            if self.mood == "forgets" or not found:
                return _reply(0x0406)
            return _reply(0, IppTag.JOB, [_job(found[0])])
        if self.mood == "forgets":
            return _reply(0x0501)
        done = about["which-jobs"] == "completed"
        listed = [job for job in self.printed if (job.state >= 7) == done]
        return _reply(0, IppTag.JOB, [_job(job) for job in listed])

    def _print(self, asked: dict[str, Any], about: dict[str, Any]) -> bytes | None:
        if self.mood == "busy":
            return _reply(0x0507)
        if self.mood == "off-line":
            return _reply(0x0506)
        if self.mood == "refuses":
            return _reply(0x040B)
        if self.mood == "hangs-up":
            return None
        ends = {"aborts": (8, 0), "aborts-midway": (8, 2), "canceled": (7, 0), "slow": (5, 0)}
        state, sheets = ends.get(self.mood, (9, 3))
        job = Sheet(
            number=len(self.printed) + 1,
            name=about["job-name"],
            attributes=asked["jobs"][0],
            pdf=asked["data"],
            state=state,
            sheets=sheets,
        )
        self.printed.append(job)
        self.hold.wait()
        if self.mood in {"takes-and-hangs-up", "forgets"}:
            return None
        return _reply(0, IppTag.JOB, [_job(job)])


def _attributes(values: dict[str, tuple[IppTag, Any]]) -> bytes:
    return b"".join(construct_attribute(name, value, tag) for name, (tag, value) in values.items())


def _job(job: Sheet) -> bytes:
    return _attributes(
        {
            "job-id": (IppTag.INTEGER, job.number),
            "job-name": (IppTag.NAME, job.name),
            "job-state": (IppTag.ENUM, job.state),
            "job-impressions-completed": (IppTag.INTEGER, job.sheets),
        }
    )


def _reply(status: int, tag: IppTag | None = None, groups: list[bytes] | None = None) -> bytes:
    head = struct.pack(">bbhi", 2, 0, status, 1) + bytes([IppTag.OPERATION.value])
    head += construct_attribute("attributes-charset", "utf-8", IppTag.CHARSET)
    head += construct_attribute("attributes-natural-language", "en", IppTag.LANGUAGE)
    body = b"".join(bytes([tag.value]) + group for group in groups or () if tag)
    return head + body + bytes([IppTag.END.value])


@contextmanager
def paper_tray() -> Iterator[PaperTray]:
    """A printer in this process, on a port of its own."""
    tray = PaperTray()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:  # as the library has it
            raw = self.rfile.read(int(self.headers["Content-Length"]))
            assert self.headers["Content-Type"] == "application/ipp"
            reply = tray.answer(raw)
            if reply is None:
                self.close_connection = True
                return
            self.send_response(200)
            self.send_header("Content-Type", "application/ipp")
            self.send_header("Content-Length", str(len(reply)))
            with suppress(BrokenPipeError, ConnectionResetError):  # who asked may be gone
                self.end_headers()
                self.wfile.write(reply)

        def log_message(self, *_: object) -> None:
            pass

    server = HTTPServer(("127.0.0.1", 0), Handler)
    tray.port = server.server_port
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
    thread.start()
    yield tray
    server.shutdown()
    thread.join()
    server.server_close()


KEEPS = """#!/bin/sh
cp "$1" "{spool}/$IPP_JOB_ID.pdf"
env | grep ^IPP_ > "{spool}/$IPP_JOB_ID.env"
"""
"""What the real printer runs for each job: it keeps the file and all attributes."""


@dataclass
class RealPrinter:
    """The CUPS project's printer, running."""

    uri: str
    spool: Path

    @property
    def printed(self) -> list[Sheet]:
        """All it printed, with its job attributes as it read them."""
        return [self._sheet(path) for path in sorted(self.spool.glob("*.pdf"))]

    def _sheet(self, path: Path) -> Sheet:
        lines = path.with_suffix(".env").read_text().splitlines()
        said = dict(line.removeprefix("IPP_").split("=", 1) for line in lines if "=" in line)
        named = {name.lower().replace("_", "-"): value for name, value in said.items()}
        return Sheet(
            number=int(path.stem),
            name=named["job-name"],
            attributes=named,
            pdf=path.read_bytes(),
        )


@contextmanager
def real_printer(folder: Path) -> Iterator[RealPrinter]:
    """Run `ippeveprinter` on a bus of its own, which it wants even when nothing is announced."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    spool, bus = folder / "spool", folder / "bus"
    spool.mkdir()
    keeps = folder / "keeps.sh"
    keeps.write_text(KEEPS.format(spool=spool))
    keeps.chmod(0o755)
    daemon = subprocess.Popen(
        [shutil.which("dbus-daemon") or "dbus-daemon", "--session", "--nofork",
         f"--address=unix:path={bus}"]
    )  # fmt: skip
    _until(bus.exists)
    address = {**os.environ, "DBUS_SYSTEM_BUS_ADDRESS": f"unix:path={bus}"}
    command = [
        REAL, "-2", "-p", str(port), "-n", "localhost", "-r", "off", "-d", str(folder),
        "-f", "application/pdf", "-c", str(keeps), "Test printer",
    ]  # fmt: skip
    printer = subprocess.Popen(
        command, env=address, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    _until(lambda: _listens(port))
    yield RealPrinter(uri=f"ipp://localhost:{port}/ipp/print", spool=spool)
    for process in (printer, daemon):
        process.send_signal(signal.SIGTERM)
        process.wait()


def _listens(port: int) -> bool:
    try:
        socket.create_connection(("localhost", port), 1).close()
    except OSError:
        return False
    return True


def _until(true: Any) -> None:  # noqa: ANN401  # anything that answers
    end = time.monotonic() + 20
    while not true():
        assert time.monotonic() < end, "the printer does not start"
        time.sleep(0.02)
