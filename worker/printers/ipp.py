"""One printer, asked over IPP: what it can do, a job, and how the job goes on.

Source:
    RFC 8011: 4.2.1 Print-Job, 4.2.5 Get-Printer-Attributes, 4.2.6 Get-Jobs, 4.3.4
    Get-Job-Attributes, 5.3.7 job-state, appendix B status codes.
"""

from __future__ import annotations

import ssl
from dataclasses import dataclass
from http.client import HTTPConnection, HTTPException, HTTPSConnection
from typing import Final
from urllib.parse import urlsplit

from schemas.errors import NotNow
from services.delivery.ticket import Agreed, Supported
from worker.printers import encoding
from worker.printers.encoding import Group, NotIpp, Reply

PRINT_JOB, GET_JOB, GET_JOBS, GET_PRINTER = 0x0002, 0x0009, 0x000A, 0x000B
PORT: Final = 631
PATIENCE: Final = 20.0
"""For a printer. [s]"""
ME: Final = "dawnpack"

CANCELED, ABORTED, COMPLETED = 7, 8, 9
"""States in which a job ends."""

WRONG: Final = 0x0400
"""From here on a status is an error; from 0x0500 on, the printer's and not the request's."""
NOT_FOR_NOW: Final = frozenset({0x0502, 0x0505, 0x0506})
"""Service unavailable, temporary error, not accepting jobs: it printed nothing."""
BUSY: Final = 0x0507
"""With another job; it printed nothing."""


class Busy(NotNow):
    """The printer is at another job; this one waits its turn."""


class PrinterRefuses(Exception):  # named for what it is
    """This printer will never take this job; nothing was printed."""


class Unanswered(Exception):  # named for what it is
    """The job was sent and no answer came: it may have been printed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobState:
    """How a job at a printer stands."""

    number: int
    state: int
    sheets: int
    """Sheets or sides done; -1 if the printer does not say."""
    says: str


@dataclass(frozen=True, slots=True)
class Printer:
    """A printer at an address like `ipp://host/ipp/print`."""

    uri: str

    def supported(self) -> Supported:
        """Its `...-supported` attributes.

        Raises:
            NotNow: It cannot be reached.
            PrinterRefuses: It does not answer as IPP has it.
        """
        wanted = [
            "document-format-supported", "media-supported", "sides-supported",
            "finishings-supported", "print-scaling-supported", "copies-supported",
        ]  # fmt: skip
        asked = [(encoding.KEYWORD, "requested-attributes", wanted)]
        found = self._ask(GET_PRINTER, asked).group(encoding.PRINTER)
        return {
            name: [v for v in values if isinstance(v, str | int)] for name, values in found.items()
        }

    def print(self, pdf: bytes, *, name: str, agreed: Agreed) -> int:
        """Send a job; its number there.

        Raises:
            NotNow: It cannot be reached, or is busy: nothing was sent or taken.
            PrinterRefuses: It will never take it.
            Unanswered: It may have taken it.
        """
        about: Group = [
            (encoding.NAME, "job-name", [name]),
            (encoding.BOOLEAN, "ipp-attribute-fidelity", [b"\x00"]),
            (encoding.MIME, "document-format", ["application/pdf"]),
        ]
        job: Group = [
            (encoding.INTEGER, "copies", [agreed.copies]),
            (encoding.ENUM, "finishings", [agreed.finishings]),
            *((encoding.KEYWORD, key, [value]) for key, value in sorted(agreed.keywords.items())),
        ]
        reply = self._ask(PRINT_JOB, about, job=job, document=pdf)
        number = reply.group(encoding.JOB).get("job-id", [0])[0]
        if not isinstance(number, int) or not number:
            msg = f"{self.uri} took a job and gave no number"
            raise Unanswered(msg)
        return number

    def job(self, number: int) -> JobState:
        """How a job stands.

        Raises:
            NotNow: It cannot be reached.
            PrinterRefuses: It knows of no such job.
        """
        asked: Group = [(encoding.INTEGER, "job-id", [number])]
        return _state(self._ask(GET_JOB, asked).group(encoding.JOB))

    def job_named(self, name: str) -> JobState | None:
        """The last job of that name it knows of, done or not.

        Raises:
            NotNow: It cannot be reached.
            PrinterRefuses: It keeps no list.
        """
        found = None
        wanted = ["job-id", "job-name", "job-state", "job-state-message",
                  "job-impressions-completed", "job-media-sheets-completed"]  # fmt: skip
        for which in ("completed", "not-completed"):
            asked: Group = [
                (encoding.KEYWORD, "which-jobs", [which]),
                (encoding.KEYWORD, "requested-attributes", wanted),
            ]
            for job in self._ask(GET_JOBS, asked).every(encoding.JOB):
                if name in job.get("job-name", []):
                    found = _state(job)
        return found

    def _ask(
        self, operation: int, about: Group, *, job: Group = (), document: bytes = b""
    ) -> Reply:
        first: Group = [
            (encoding.CHARSET, "attributes-charset", ["utf-8"]),
            (encoding.LANGUAGE, "attributes-natural-language", ["en"]),
            (encoding.URI, "printer-uri", [self.uri]),
            # a job's number stands right after the printer's address (RFC 8011, 4.3.1)
            *((tag, name, values) for tag, name, values in about if name == "job-id"),
            (encoding.NAME, "requesting-user-name", [ME]),
            *((tag, name, values) for tag, name, values in about if name != "job-id"),
        ]
        groups = {encoding.OPERATION: first} | ({encoding.JOB: job} if job else {})
        message = encoding.request(operation, 1, groups) + document
        reply = self._exchange(message, sends_document=bool(document))
        if reply.status >= WRONG:
            says = reply.group(encoding.OPERATION).get("status-message", [""])[0]
            msg = f"{self.uri} answers 0x{reply.status:04x} {says!s}".strip()
            if reply.status == BUSY:
                raise Busy(msg)
            raise NotNow(msg) if reply.status in NOT_FOR_NOW else PrinterRefuses(msg)
        return reply

    def _exchange(self, message: bytes, *, sends_document: bool) -> Reply:
        connection, path = self._connection()
        try:
            connection.connect()
        except OSError as no:
            msg = f"{self.uri} cannot be reached: {no}"
            raise NotNow(msg) from no
        try:
            connection.request("POST", path, message, {"Content-Type": "application/ipp"})
            answer = connection.getresponse()
            body = answer.read()
            if answer.status != 200:
                msg = f"{self.uri} answers HTTP {answer.status}"
                raise PrinterRefuses(msg)
            return encoding.read(body)
        except (OSError, HTTPException, NotIpp) as no:
            msg = f"{self.uri}: {no or type(no).__name__}"
            raise (Unanswered(msg) if sends_document else NotNow(msg)) from no
        finally:
            connection.close()

    def _connection(self) -> tuple[HTTPConnection, str]:
        parts = urlsplit(self.uri)
        host, port = parts.hostname or "", parts.port or PORT
        if parts.scheme == "ipps":
            context = ssl.create_default_context()
            secure = HTTPSConnection(host, port, timeout=PATIENCE, context=context)
            return secure, parts.path or "/"
        return HTTPConnection(host, port, timeout=PATIENCE), parts.path or "/"


def _state(job: dict[str, list[encoding.Value]]) -> JobState:
    done = [
        value
        for name in ("job-impressions-completed", "job-media-sheets-completed")
        for value in job.get(name, [])
        if isinstance(value, int)
    ]
    number, state = (job.get(name, [0])[0] for name in ("job-id", "job-state"))
    assert isinstance(number, int)
    assert isinstance(state, int)
    says = [str(value) for value in job.get("job-state-message", [])]
    return JobState(number=number, state=state, sheets=max(done, default=-1), says=" ".join(says))
