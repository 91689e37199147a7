"""A crew's days as a calendar that any calendar program reads.

One all-day event a job, with the same identity through all its revisions, so that a program
that takes the calendar again moves and cancels what it has. What opens gates is not in it.

Source:
    RFC 5545 (iCalendar): 3.1 lines folded at 75 octets and ended by CRLF, 3.3.11 text escaped,
    3.6.1 event, 3.8.1.11 status, 3.8.7 uid, stamp, sequence and last change.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Final

LINE: Final = 75
"""Octets of a line at most."""

STATUS: Final = {"withdrawn": "CANCELLED", "held": "TENTATIVE", "refused": "TENTATIVE",
                 "failed": "TENTATIVE"}  # fmt: skip
"""Of a job's states; every other one stands as confirmed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One job on one day."""

    job: str
    revision: int
    crew: str
    day: date
    state: str
    """Where it stands in its life."""
    customer: str
    street: str
    town: str
    changed: datetime
    """When its state changed last. [UTC]"""


def calendar(entries: Iterable[Entry], *, company: str, name: str) -> str:
    """The calendar.

    Args:
        entries: Each job's highest revision.
        company: The company's key, part of every event's identity.
        name: Of the calendar, as programs show it.
    """
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Dawnpack//Crew calendar//EN",
        "CALSCALE:GREGORIAN",
        "METHOD:PUBLISH",
        f"X-WR-CALNAME:{escaped(name)}",
        *(line for entry in entries for line in _event(entry, company)),
        "END:VCALENDAR",
    ]
    return "".join(f"{folded}\r\n" for line in lines for folded in _folded(line))


def escaped(text: str) -> str:
    """A text as a value."""
    plain = text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    return plain.replace("\r\n", "\\n").replace("\n", "\\n")


def _event(entry: Entry, company: str) -> Iterator[str]:
    stamp = entry.changed.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")
    yield "BEGIN:VEVENT"
    yield f"UID:{entry.job}.{company}@dawnpack.invalid"
    yield f"DTSTAMP:{stamp}"
    yield f"LAST-MODIFIED:{stamp}"
    yield f"SEQUENCE:{entry.revision}"
    yield f"DTSTART;VALUE=DATE:{entry.day:%Y%m%d}"
    yield f"DTEND;VALUE=DATE:{entry.day + timedelta(days=1):%Y%m%d}"
    yield f"SUMMARY:{escaped(f'{entry.job} {entry.customer}, {entry.town}')}"
    yield f"LOCATION:{escaped(f'{entry.street}, {entry.town}')}"
    told = f"Crew {entry.crew}, revision {entry.revision}: {entry.state}"
    yield f"DESCRIPTION:{escaped(told)}"
    yield f"STATUS:{STATUS.get(entry.state, 'CONFIRMED')}"
    yield "TRANSP:OPAQUE"
    yield "END:VEVENT"


def _folded(line: str) -> Iterator[str]:
    """A long line in pieces, none of which parts a sign."""
    piece, size, room = "", 0, LINE
    for sign in line:
        octets = len(sign.encode())
        if size + octets > room:
            yield piece
            piece, size, room = " ", 1, LINE
        piece += sign
        size += octets
    yield piece
