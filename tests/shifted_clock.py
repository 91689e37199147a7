"""A clock that a test puts forward or back while processes run by it."""

from __future__ import annotations

import os
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Final

SHIFTED: Final = "DAWNPACK_TEST_CLOCK"
"""Names a file with the seconds by which the clock is out; not set: the system's clock."""


@dataclass(frozen=True, slots=True)
class ShiftedClock:
    """This machine's clock, out by what a file says at the moment."""

    file: Path

    def now_ms(self) -> int:
        """Milliseconds since 1970-01-01 UTC, as shifted."""
        return time.time_ns() // 1_000_000 + int(1000 * self.out_by())

    def out_by(self) -> float:
        """Seconds."""
        return float(self.file.read_text("ascii")) if self.file.exists() else 0.0

    def put(self, seconds: float) -> None:
        """Put it forward, or back, for all processes in one step."""
        new = self.file.with_suffix(".new")
        new.write_text(str(self.out_by() + seconds), "ascii")
        new.replace(self.file)


def clock_asked_for() -> ShiftedClock | None:
    """The clock that the environment names; none: the system's."""
    file = os.environ.get(SHIFTED)
    return ShiftedClock(Path(file)) if file else None
