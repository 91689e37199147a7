"""Ten thousand random sites through planning: each is planned whole or asked about in words.

A site counts as refused when a stop question is open. What must not happen: an
exception, a plan that does not hold when it is measured again, a site refused without a
question in words. Times are of this machine and say nothing about another.
"""

from __future__ import annotations

import json
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from random import Random
from statistics import median, quantiles
from time import perf_counter

from schemas.errors import BrokenPlan
from schemas.pack import Outcome
from schemas.submission import Submission
from services.intake import read_document
from services.pipeline import make_plan
from tests.builders import library
from tests.random_sites import random_site

SITES, PROCESSES, SHARE = 10_000, 2, 250


@dataclass(slots=True, kw_only=True)
class Tally:
    """What came of some sites."""

    planned: int = 0
    refused: int = 0
    why: Counter[str] = field(default_factory=Counter)
    """Stop questions by kind; a site may have several."""
    broken: list[str] = field(default_factory=list)
    """Number of the site, and what must not have happened."""
    seconds: list[float] = field(default_factory=list)

    def add(self, other: Tally) -> None:
        """Count others' sites too."""
        self.planned += other.planned
        self.refused += other.refused
        self.why += other.why
        self.broken += other.broken
        self.seconds += other.seconds


def run() -> dict[str, dict[str, object]]:
    """Plan all sites on two processes."""
    tally = Tally()
    starts = range(0, SITES, SHARE)
    with ProcessPoolExecutor(max_workers=PROCESSES) as pool:
        for share in pool.map(tally_of, starts):
            tally.add(share)
    return {
        "figures": {
            "sites": len(tally.seconds),
            "planned": tally.planned,
            "refused": tally.refused,
            "stop_questions": dict(tally.why.most_common()),
            "median_ms": round(median(tally.seconds) * 1000, 1),
            "p95_ms": round(quantiles(tally.seconds, n=20)[-1] * 1000, 1),
            "slowest_ms": round(max(tally.seconds) * 1000, 1),
            "broken_sites": tally.broken[:20],
        },
        "targets": {"broken": 0, "planned_share": 0.25},
        "met": {
            "broken": not tally.broken,
            "planned_share": tally.planned >= 0.25 * len(tally.seconds),
        },
    }


def tally_of(start: int) -> Tally:
    """The sites from one number on."""
    tally = Tally()
    for number in range(start, min(start + SHARE, SITES)):
        began = perf_counter()
        try:
            outcome = plan_site(number)
        except BrokenPlan as no:
            tally.broken.append(f"{number}: {no}")
        except Exception as no:  # noqa: BLE001 any error at all is what is looked for
            tally.broken.append(f"{number}: {type(no).__name__}: {no}")
        else:
            _count(tally, number, outcome)
        tally.seconds.append(perf_counter() - began)
    return tally


def plan_site(number: int) -> Outcome:
    """Plan the site of that number, from its JSON."""
    raw = json.dumps(random_site(Random(number))).encode()
    return make_plan(read_document(raw, Submission), library=library())


def _count(tally: Tally, number: int, outcome: Outcome) -> None:
    if outcome.plan is not None:
        tally.planned += 1
        return
    tally.refused += 1
    stops = [question for question in outcome.questions if question.severity == "stop"]
    tally.why.update(question.key.partition(".")[0] for question in stops)
    if not stops or not all(question.says and question.ask for question in stops):
        tally.broken.append(f"{number}: refused without a question in words")
