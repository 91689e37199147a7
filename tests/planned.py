"""The demo's jobs planned through the whole pipeline, once a test run."""

from __future__ import annotations

from functools import cache

from schemas.pack import Outcome
from schemas.plan import Plan
from services.pipeline import make_plan
from tests.builders import library, submission


@cache
def outcome(name: str) -> Outcome:
    """What planning a demo job came to."""
    return make_plan(submission(name), library=library())


def plan(name: str = "l-deck") -> Plan:
    """A demo job, planned."""
    planned = outcome(name).plan
    assert planned is not None, [question.says for question in outcome(name).questions]
    return planned
