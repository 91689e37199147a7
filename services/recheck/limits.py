"""Recorded limits, as the profile has them, and gaps between what stands on a line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from schemas.code_profile import Measured, Rule
from schemas.compliance import Finding
from schemas.lengths import INCH, PER_MM
from schemas.plan import Plan
from schemas.site import Stair


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The recorded limits at one place; None where the profile has none."""

    opening: int | None
    """A sphere of this diameter must not pass. [1/320 mm]"""
    least: int | None
    """Top of the guard, at least. [1/320 mm]"""
    most: int | None
    """And at most. [1/320 mm]"""
    triangle: int | None
    """A sphere of this diameter must not pass under a stair rail. [1/320 mm]"""


def level_limits(plan: Plan, *, place: str, drop: int | None) -> Limits:
    """What the recorded profile asks of a level bay, less what the office allowed there."""
    rules = _here(plan, place, drop)
    heights = [r.limit for r in _firm(rules, "guard.height") if r.limit is not None]
    return Limits(
        opening=_smallest(rules, "guard.opening"),
        least=max(heights, default=None) if asks(plan, drop) else None,
        most=None,
        triangle=None,
    )


def stair_limits(plan: Plan, *, place: str, stair: Stair) -> Limits:
    """The same for a side of a stair; without a handrail its top rail may have to be one."""
    drop = flight_rise(stair)
    rules = _here(plan, place, drop)
    own = any(r.measures == "guard.stair_height" for r in rules)  # even one that is not sure
    heights = _firm(rules, "guard.stair_height" if own else "guard.height")
    if not stair.handrail and _handrail_asked(plan, stair):
        heights = [*heights, *_firm(rules, "guard.stair_height_as_handrail")]
    if not asks(plan, drop):
        heights = []
    sphere = _smallest(rules, "guard.stair_opening")
    aside = {f.rule for f in _left(plan) if f.place == place}
    return Limits(
        opening=_smallest(rules, "guard.opening") if sphere is None else sphere,
        least=max((r.limit for r in heights if r.limit is not None), default=None),
        most=min((r.upper for r in heights if r.upper is not None), default=None),
        triangle=_smallest([rule for rule in rules if rule.id not in aside], "guard.triangle"),
    )


def _left(plan: Plan) -> Iterator[Finding]:
    """Outside a figure that is not sure, and a person was asked or has answered."""
    asked = [q.key for q in plan.job.questions if q.severity == "hold"]
    asked += [a.question for a in plan.job.answers if a.option == "allow"]
    for finding in plan.compliance.findings:
        told = any(f".{finding.rule[:24]}." in key for key in asked)
        if finding.outside and finding.verdict == "for the authority" and told:
            yield finding


def flight_rise(stair: Stair) -> int:
    """Deck to landing: every riser as measured, else all alike. [1/320 mm]."""
    return sum(stair.each_riser) or stair.riser * stair.risers


def working_opening(plan: Plan, *, on_stair: bool) -> int:
    """What openings are planned under: the strictest recorded sphere less the company's margin.

    Where no rules are recorded the smallest sphere in common use stands for them, 100 mm.

    Source:
        National Building Code of Canada 9.8.8.5: 100 mm.
    """
    rules = plan.job.profile.rules if plan.job.profile else ()
    sphere = _smallest(rules, "guard.opening")
    if on_stair:
        sphere = _smallest(rules, "guard.stair_opening") or sphere
    return (100 * PER_MM if sphere is None else sphere) - plan.job.company.sphere_margin


def triangle_sphere(plan: Plan) -> int:
    """The sphere that must not pass under a stair rail; 6 in where no rules are recorded.

    Source:
        2021 IRC R312.1.3 exception 1: 6 in.
    """
    if plan.job.profile is None:
        return 6 * INCH
    rules = plan.job.profile.rules
    opening = _smallest(rules, "guard.opening") or 100 * PER_MM
    return _smallest(rules, "guard.triangle") or opening


def _here(plan: Plan, place: str, drop: int | None) -> list[Rule]:
    return [rule for rule in rules_at(plan, place) if holds(rule, drop)]


def _smallest(rules: Iterable[Rule], measures: Measured) -> int | None:
    sizes = [r.limit for r in rules if r.measures == measures and r.limit is not None]
    return min(sizes, default=None)


def _firm(rules: Iterable[Rule], measures: Measured) -> list[Rule]:
    """Rules of which the figure is sure; the others are left to the authority."""
    return [r for r in rules if r.measures == measures and r.confidence == "quoted"]


def rules_at(plan: Plan, place: str) -> Iterator[Rule]:
    """Every recorded limit, less what the office allowed there."""
    profile = plan.job.profile
    allowed = {
        finding.rule
        for finding in plan.compliance.findings
        if finding.verdict == "breaks" and place in finding.place
    }
    for rule in profile.rules if profile else ():
        if rule.id not in allowed and not rule.trigger:
            yield rule


def asks(plan: Plan, drop: int | None) -> bool:
    """Whether a guard is asked for at this drop; not known is yes."""
    rules = plan.job.profile.rules if plan.job.profile else ()
    triggers = [r for r in rules if r.trigger and r.measures == "guard.drop" and r.limit]
    if drop is None or not triggers:
        return True
    return any(_over(drop, rule) for rule in triggers)


def _over(drop: int, rule: Rule) -> bool:
    assert rule.limit is not None, rule.id
    return drop > rule.limit or (drop == rule.limit and rule.compare == ">=")


def _handrail_asked(plan: Plan, stair: Stair) -> bool:
    rules = plan.job.profile.rules if plan.job.profile else ()
    asks = [r for r in rules if r.measures == "handrail.risers" and r.number is not None]
    return not asks or any(
        stair.risers > (r.number or 0) or (stair.risers == r.number and r.compare == ">=")
        for r in asks
    )


def holds(rule: Rule, drop: int | None) -> bool:
    """Whether a rule surely holds at this drop."""
    if rule.where == "all" or rule.where_drop is None:
        return True
    if drop is None or rule.where == "climbable-over":
        return False
    return drop > rule.where_drop if rule.where == "drop-over" else drop <= rule.where_drop


def widest_gap(solids: Iterable[tuple[float, float]]) -> float:
    """The widest gap left between solids on a line, each from its low to its high side."""
    ordered = sorted(solids)
    gaps = [after[0] - before[1] for before, after in pairwise(ordered)]
    return max(gaps, default=0.0)


def inches(length: float) -> str:
    """A length for a breach's text, to a thousandth of an inch."""
    return f"{length / INCH:.3f} in"
