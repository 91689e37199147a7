"""Guards against the recorded rules: height, and edges that stay open."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.code_profile import Rule
from schemas.job import Job
from schemas.lengths import Length
from schemas.site import Leg, Question
from services.intake.cross_checks.asking import GO_ON, legs, rules
from services.tape import text, text_with_unit


def check(job: Job) -> tuple[Question, ...]:
    """Rails lower than the recorded rule; gates at an edge that needs a guard."""
    return (*_height(job), *_gates(job))


def _height(job: Job) -> Iterator[Question]:
    rail = job.system.level
    top = job.system.spacer_block + rail.bottom_depth + job.level_height.visible + rail.top_depth
    low = [
        (leg.name, rule.limit)
        for _, _, leg in legs(job)
        for rule in rules(job, "guard.height")
        if rule.limit is not None and _holds(job, rule, leg) and top < rule.limit
    ]
    if not low:
        return
    names = sorted({name for name, _ in low})
    limit = max(limit for _, limit in low)
    yield Question(
        key="rail-height",
        severity="stop",
        place=f"Leg {names[0]}" if len(names) == 1 else f"Legs {', '.join(names)}"[:200],
        says=(
            f"The {job.level_height.name} section on its spacer block stands "
            f"{text_with_unit(top, job.step)} high; the recorded limit is {text(limit, job.step)}."
        ),
        ask="Is a higher section to be used, or does another rule hold here?",
    )


def _holds(job: Job, rule: Rule, leg: Leg) -> bool:
    """Whether a height rule holds along a leg; an unknown drop is taken to need a guard."""
    if _no_guard_needed(job, leg.drop):
        return False
    if rule.where == "all" or leg.drop is None or rule.where_drop is None:
        return rule.where == "all"
    over = leg.drop > rule.where_drop
    return over if rule.where == "drop-over" else not over


def _no_guard_needed(job: Job, drop: Length | None) -> bool:
    asks = rules(job, "guard.drop")
    return drop is not None and bool(asks) and not any(rule.stands(drop) for rule in asks)


def _gates(job: Job) -> Iterator[Question]:
    asks = rules(job, "guard.drop")
    limits = [r.limit for r in asks if r.limit is not None]
    drops = {leg.name: leg.drop for _, _, leg in legs(job)}
    for gate in job.gates:
        drop = drops[gate.leg]
        if limits and drop is not None and any(rule.stands(drop) for rule in asks):
            yield Question(
                key=f"guard-gap.{gate.name}",
                severity="hold",
                place=f"Gate {gate.name}",
                says=(
                    f"Gate {gate.name} opens at an edge {text_with_unit(drop, job.step)} above "
                    f"what is below; from {text(min(limits), job.step)} on a guard seems required "
                    f"there, also while the gate stands open."
                ),
                ask="What is behind the gate, and when may it be opened?",
                options=(GO_ON,),
            )
