"""The crew calendar against the text that defines it.

Source:
    RFC 5545 (iCalendar), 3.1, 3.3.11, 3.6.1, 3.8.7. The library that writes it reads it back; what
    stands on its lines is looked at besides, by the RFC's own words.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import icalendar
import pytest
from hypothesis import given
from hypothesis import strategies as st

from services.delivery.crew_calendar import Entry, calendar

TEXTS = st.text(st.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp"]), min_size=1).filter(
    lambda text: text == text.strip()
)


def entry(**changes: object) -> Entry:
    """A job on a crew's day."""
    plain: dict[str, object] = {
        "job": "P-2041", "revision": 2, "crew": "heron", "day": date(2028, 2, 29),
        "state": "packed", "customer": "M. Castellane", "street": "14 Tidewater Lane",
        "town": "Alder Quay", "changed": datetime(2026, 12, 2, 21, 30, 5, tzinfo=UTC),
    }  # fmt: skip
    return Entry(**(plain | changes))  # type: ignore[arg-type]


def read(*entries: Entry) -> list[Any]:
    """The events, as the library reads them."""
    text = calendar(entries, company="saltmarsh", name="Heron")
    return list(icalendar.Calendar.from_ical(text).walk("VEVENT"))


def test_a_job_is_an_event_of_one_whole_day() -> None:
    """From its day to the next, also on a leap day; DTEND is the day after (3.6.1)."""
    (event,) = read(entry())

    assert event.decoded("DTSTART") == date(2028, 2, 29)
    assert event.decoded("DTEND") - event.decoded("DTSTART") == timedelta(days=1)
    assert str(event["SUMMARY"]) == "P-2041 M. Castellane, Alder Quay"
    assert str(event["LOCATION"]) == "14 Tidewater Lane, Alder Quay"
    assert event.decoded("DTSTAMP") == datetime(2026, 12, 2, 21, 30, 5, tzinfo=UTC)


def test_a_job_on_the_last_day_there_is_stands_in_the_calendar() -> None:
    """Without an end: an event of a day without DTEND takes that day (3.6.1)."""
    (event,) = read(entry(day=date.max))

    assert event.decoded("DTSTART") == date.max
    assert "DTEND" not in event


def test_revisions_of_a_job_are_one_event_that_moves() -> None:
    """Same uid, higher sequence (3.8.7.4)."""
    (old,), (new,) = read(entry(revision=1)), read(entry(revision=2, day=date(2028, 3, 1)))

    assert old["UID"] == new["UID"]
    assert new["SEQUENCE"] > old["SEQUENCE"]


@pytest.mark.parametrize(
    ("state", "status"),
    [("withdrawn", "CANCELLED"), ("held", "TENTATIVE"), ("delivered", "CONFIRMED")],
)
def test_a_jobs_state_is_the_events_status(state: str, status: str) -> None:
    """In the words of 3.8.1.11."""
    assert read(entry(state=state))[0]["STATUS"] == status


@given(TEXTS, TEXTS)
def test_every_text_comes_out_as_it_went_in(customer: str, town: str) -> None:
    """Commas, semicolons, backslashes, long lines and letters of any script."""
    (event,) = read(entry(customer=customer, town=town))

    assert str(event["SUMMARY"]) == f"P-2041 {customer}, {town}"


@given(TEXTS)
def test_no_line_is_longer_than_75_octets(customer: str) -> None:
    """And each ends in CRLF (3.1)."""
    text = calendar([entry(customer=customer * 5)], company="saltmarsh", name="Heron")

    lines = text.encode().split(b"\r\n")
    assert lines[-1] == b""
    assert max(map(len, lines)) <= 75
    assert b"\n" not in b"".join(lines)


def test_the_lines_are_those_of_the_text_that_defines_them() -> None:
    """Days as dates, moments in UTC, commas, semicolons and backslashes behind a backslash.

    Source:
        RFC 5545, 3.3.4 (`19970714`), 3.3.5 form 2 (`19980119T070000Z`), 3.3.11 (escapes).
    """
    text = calendar([entry(customer="A;B,C\\D")], company="saltmarsh", name="Heron")

    lines = text.split("\r\n")
    assert lines[:2] == ["BEGIN:VCALENDAR", "VERSION:2.0"]
    assert lines[-2:] == ["END:VCALENDAR", ""]
    assert {
        "DTSTART;VALUE=DATE:20280229", "DTEND;VALUE=DATE:20280301", "DTSTAMP:20261202T213005Z",
        "SEQUENCE:2", "UID:P-2041.saltmarsh@dawnpack.invalid",
        "SUMMARY:P-2041 A\\;B\\,C\\\\D\\, Alder Quay",
    } <= set(lines)  # fmt: skip
