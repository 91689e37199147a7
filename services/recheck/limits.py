"""Recorded limits, as the profile has them, and gaps between what stands on a line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from schemas.code_profile import Rule
from schemas.lengths import INCH
from schemas.plan import Plan


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


def limits_at(plan: Plan, *, place: str, drop: int | None, stair: bool, handrail: bool) -> Limits:
    """What the recorded profile asks at a place, less what the office allowed there."""
    height = "guard.stair_height" if stair else "guard.height"
    if handrail:
        height = "guard.stair_height_as_handrail"
    rules = [rule for rule in _rules(plan, place) if _holds(rule, drop)]
    spheres = [r.limit for r in rules if r.measures == _opening(stair=stair) and r.limit]
    if stair and not spheres:
        spheres = [r.limit for r in rules if r.measures == "guard.opening" and r.limit]
    heights = [r for r in rules if r.measures == height]
    triangles = [r.limit for r in rules if r.measures == "guard.triangle" and r.limit]
    return Limits(
        opening=min(spheres, default=None),
        least=max((r.limit for r in heights if r.limit), default=None),
        most=min((r.upper for r in heights if r.upper), default=None),
        triangle=min(triangles, default=None),
    )


def _opening(*, stair: bool) -> str:
    return "guard.stair_opening" if stair else "guard.opening"


def _rules(plan: Plan, place: str) -> Iterator[Rule]:
    profile = plan.job.profile
    allowed = {
        finding.rule
        for finding in plan.compliance.findings
        if finding.verdict == "breaks" and place in finding.place
    }
    for rule in profile.rules if profile else ():
        if rule.id not in allowed and not rule.trigger:
            yield rule


def _holds(rule: Rule, drop: int | None) -> bool:
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
