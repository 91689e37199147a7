"""How long a search may still go on.

A search is ended by counts wherever it can be, so that the same question gets the same answer;
the watch is what ends it where the counts were too many for the machine.
"""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic

Clock = Callable[[], float]
"""Seconds from any beginning, never going back."""


class Stopwatch:
    """Runs from when it is made."""

    def __init__(self, seconds: float, *, clock: Clock = monotonic) -> None:
        """Start it.

        Args:
            seconds: From now until it is up. [s]
            clock: What it goes by.
        """
        self._clock = clock
        self._end = clock() + seconds

    def left(self) -> float:
        """Until it is up; 0 from then on. [s]."""
        return max(0.0, self._end - self._clock())

    def up(self) -> bool:
        """Whether there is no time left."""
        return self.left() <= 0

    def part(self, share: float) -> Stopwatch:
        """Another one for a share of what is left."""
        return Stopwatch(share * self.left(), clock=self._clock)
