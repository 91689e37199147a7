"""A crew's days as a calendar that any calendar program reads.

One all-day event a job, with the same identity through all its revisions, so that a program
that takes the calendar again moves and cancels what it has. What opens gates is not in it.

Source:
    RFC 5545 (iCalendar): 3.6.1 event, 3.8.1.11 status, 3.8.7 uid, stamp, sequence and last
    change; lines and escapes (3.1, 3.3.11) are the library's.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Final

from icalendar import Calendar, Event

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
    made = Calendar()
    made.add("version", "2.0")
    made.add("prodid", "-//Dawnpack//Crew calendar//EN")
    made.add("calscale", "GREGORIAN")
    made.add("method", "PUBLISH")
    made.add("x-wr-calname", name)
    for entry in entries:
        made.add_component(_event(entry, company))
    text: str = made.to_ical(sorted=False).decode("utf-8")
    return text


def _event(entry: Entry, company: str) -> Event:
    changed = entry.changed.astimezone(UTC).replace(microsecond=0)
    event = Event()
    event.add("uid", f"{entry.job}.{company}@dawnpack.invalid")
    event.add("dtstamp", changed)
    event.add("last-modified", changed)
    event.add("sequence", entry.revision)
    event.add("dtstart", entry.day)
    if entry.day < date.max:  # there is no day after it; without an end an event lasts its day
        event.add("dtend", entry.day + timedelta(days=1))
    event.add("summary", f"{entry.job} {entry.customer}, {entry.town}")
    event.add("location", f"{entry.street}, {entry.town}")
    event.add("description", f"Crew {entry.crew}, revision {entry.revision}: {entry.state}")
    event.add("status", STATUS.get(entry.state, "CONFIRMED"))
    event.add("transp", "OPAQUE")
    return event
