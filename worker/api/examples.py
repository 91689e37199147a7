"""The bodies that the OpenAPI document shows; the tests send them."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any, Final

_JOBS: Final = files("worker") / "demo_data" / "jobs"

SUBMISSION: Final[dict[str, Any]] = json.loads((_JOBS / "1-l-deck.json").read_bytes())
"""A job of the demo."""

ANSWER: Final = {
    "question": "rise.S1",
    "option": "riser",
    "by": "A. Duty",
    "why": "photo 12 shows the tape",
}

DECISION: Final = {"by": "A. Duty", "why": "the customer called"}

MOVE: Final = {
    "install_date": "2026-12-04",
    "crew": "plover",
    "by": "A. Duty",
    "why": "rain on Thursday",
}

SPLIT: Final = {
    "second": ["C", "D"],
    "install_date": "2026-12-04",
    "crew": "plover",
    "by": "A. Duty",
    "why": "more than a day",
}

SPLIT_BY_DAY: Final = {
    "by_day": True,
    "install_date": "2026-12-04",
    "by": "A. Duty",
    "why": "posts first, rails when they are measured",
}

BOOKING_ANSWER: Final = {
    "question": "day-full.heron",
    "option": "go-on",
    "by": "A. Duty",
    "why": "the lead agreed to stay longer",
}
