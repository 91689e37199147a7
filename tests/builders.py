"""Jobs and documents for tests, built from the demo scenario through the real intake."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from typing import Any

from schemas.company import Company
from schemas.job import Job, Library
from schemas.rail_system import RailSystem
from schemas.submission import Submission
from services.compliance import load_profiles
from services.intake import make_job, read_document, read_submission

_DATA = files("worker") / "demo_data"

JOBS = {
    "l-deck": "1-l-deck",
    "porch": "2-porch-between-walls",
    "corner-45": "3-corner-45",
    "wraparound": "4-wraparound",
    "two-stair-sides": "5-two-stair-sides",
    "held": "6-held",
    "refused": "7-refused",
    "metric": "8-metric",
}
"""Short names of the demo's eight jobs."""


def document(name: str) -> dict[str, Any]:
    """A demo submission as the office writes it, free to be changed."""
    tree = json.loads((_DATA / "jobs" / f"{JOBS[name]}.json").read_bytes())
    assert isinstance(tree, dict)
    return tree


def company() -> Company:
    """The demo company."""
    return library().company


def system(key: str = "cove") -> RailSystem:
    """A demo rail system."""
    return next(s for s in library().systems if s.key == key)


@cache
def library() -> Library:
    """The demo company with its systems and all published profiles."""
    folder = _DATA / "library"
    sheets = sorted(folder.joinpath("systems").iterdir(), key=lambda sheet: sheet.name)
    return Library(
        company=read_document(folder.joinpath("company.json").read_bytes(), Company),
        systems=tuple(read_document(sheet.read_bytes(), RailSystem) for sheet in sheets),
        profiles=tuple(load_profiles().values()),
    )


def submission(tree: dict[str, Any] | str) -> Submission:
    """A submission, from a tree or from a demo job's short name."""
    sent = document(tree) if isinstance(tree, str) else tree
    return read_submission(json.dumps(sent).encode())


def job(tree: dict[str, Any] | str) -> Job:
    """A job ready to be laid out, from a tree or from a demo job's short name."""
    return make_job(submission(tree), library=library())
