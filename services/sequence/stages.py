"""The parts of the work in their order, and how a step is written."""

from __future__ import annotations

from collections.abc import Iterable
from re import sub

STAGES = (
    "Arrive",
    "Edge",
    "Old rail",
    "Framing",
    "Posts",
    "Dress posts",
    "Measure again",
    "First section",
    "Cutting",
    "Level bays",
    "Stairs",
    "Handrail",
    "Gates",
    "Finish",
    "Hand over",
)
"""Common practice: posts before bays, level bays from the house outward, stairs last."""


def key_of(*parts: str) -> str:
    """A step's key from the names printed on the plan."""
    return sub(r"[^A-Za-z0-9._-]+", "-", "-".join(parts)).strip("-")[:40]


def listed(names: Iterable[str], *, most: int = 40) -> str:
    """Names in a row, for a step's text."""
    every = list(names)
    more = f" and {len(every) - most} more" if len(every) > most else ""
    return f"{', '.join(every[:most])}{more}"
