"""The parts of the work in their order, and how a step is written."""

from __future__ import annotations

from collections.abc import Iterable
from re import sub

from schemas.wording import row, say

STAGES = (
    say("Arrive"),
    say("Edge"),
    say("Old rail"),
    say("Framing"),
    say("Posts"),
    say("Dress posts"),
    say("Measure again"),
    say("First section"),
    say("Cutting"),
    say("Level bays"),
    say("Stairs"),
    say("Handrail"),
    say("Gates"),
    say("Finish"),
    say("Hand over"),
)
"""Common practice: posts before bays, level bays from the house outward, stairs last."""


def key_of(*parts: str) -> str:
    """A step's key from the names printed on the plan."""
    return sub(r"[^A-Za-z0-9._-]+", "-", "-".join(parts)).strip("-")[:40]


def listed(names: Iterable[str], *, most: int = 40) -> str:
    """Names in a row, for a step's text."""
    every = list(names)
    if len(every) <= most:
        return row(every)
    return say("{names} and {count} more", names=row(every[:most]), count=len(every) - most)
