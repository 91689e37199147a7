"""A gate at which worker processes wait, so that a fault meets them at work on any machine.

The stand-in's fault ``gate`` stops there while the gate is shut. Each process that waits says
so; the fault strikes when enough of them do, and the gate is opened as the fault asks.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

GATE: Final = "DAWNPACK_TEST_GATE"
"""Names the gate's folder; not set: there is no gate."""

PATIENCE: Final = 200.0
"""So long anybody waits before saying that it is in vain. [s]"""

GLANCE: Final = 0.02


@dataclass(frozen=True, slots=True)
class Gate:
    """A folder: shut while a file of that name stands in it, and a file for each who waits."""

    folder: Path

    @property
    def environ(self) -> dict[str, str]:
        """What a process must know to be stopped by it."""
        return {GATE: str(self.folder)}

    def shut(self) -> None:
        """From now on nobody passes."""
        self.folder.mkdir(parents=True, exist_ok=True)
        for stale in self.folder.glob("*.waits"):
            stale.unlink()
        (self.folder / "shut").touch()

    def open(self) -> None:
        """Let everybody pass."""
        (self.folder / "shut").unlink(missing_ok=True)

    def waiting(self) -> list[int]:
        """The processes that wait."""
        return sorted(int(path.stem) for path in self.folder.glob("*.waits"))

    def until_waiting(self, number: int, *, alive: Callable[[], bool]) -> list[int]:
        """Wait until so many processes stand at the gate; which.

        Args:
            number: How many.
            alive: False once nobody will come any more.
        """
        waited(lambda: len(self.waiting()) >= number or not alive(), "nobody comes to the gate")
        assert len(self.waiting()) >= number, "it ended before it came to the gate"
        return self.waiting()

    def pass_by(self) -> None:
        """Wait while it is shut."""
        mine = self.folder / f"{os.getpid()}.waits"
        shut = self.folder / "shut"
        if shut.exists():
            mine.touch()
        end = time.monotonic() + PATIENCE
        while shut.exists() and time.monotonic() < end:
            time.sleep(GLANCE)
        mine.unlink(missing_ok=True)


def pass_gate() -> None:
    """Wait at the gate that the environment names."""
    if folder := os.environ.get(GATE):
        Gate(Path(folder)).pass_by()


def waited(true: Callable[[], object], says: str, *, patience: float = PATIENCE) -> None:
    """Wait until something is so.

    Raises:
        AssertionError: It never is.
    """
    end = time.monotonic() + patience
    while not true():
        if time.monotonic() > end:
            msg = f"{says}, after {patience:.0f} s"
            raise AssertionError(msg)
        time.sleep(GLANCE)
