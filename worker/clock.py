"""The clock: the only place that asks what time it is.

The ledger keeps milliseconds since 1970 in UTC; people are shown the company's own day.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Protocol
from zoneinfo import ZoneInfo


class Clock(Protocol):
    """Says what time it is."""

    def now_ms(self) -> int:
        """Milliseconds since 1970-01-01 UTC."""


class SystemClock:
    """This machine's clock."""

    def now_ms(self) -> int:
        """Milliseconds since 1970-01-01 UTC."""
        return time.time_ns() // 1_000_000


@dataclass(slots=True)
class SetClock:
    """A clock that stands until it is moved: the stand-in."""

    at_ms: int = 1_780_000_000_000

    def now_ms(self) -> int:
        """Where it was set."""
        return self.at_ms

    def move(self, seconds: float) -> None:
        """Move it forward, or back."""
        self.at_ms += int(seconds * 1000)


def text(ms: int) -> str:
    """A moment as RFC 3339 has it, in UTC, to the second."""
    return datetime.fromtimestamp(ms // 1000, tz=UTC).isoformat().replace("+00:00", "Z")


def day_of(ms: int, zone: str) -> date:
    """The calendar day of a moment in the company's time zone."""
    return datetime.fromtimestamp(ms / 1000, tz=ZoneInfo(zone)).date()
