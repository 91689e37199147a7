"""The limits that bays are fitted to: the recorded rule and the stricter working limit.

A sphere that just touches passes too (equal fails), and the company works a margin
inside the recorded limit, so that site error and soft balusters still pass.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from schemas.code_profile import CodeProfile, Measured, Rule
from schemas.job import Job
from schemas.lengths import INCH, PER_MM, Length
from services import tape

ASSUMED_OPENING = 100 * PER_MM
"""Sphere for openings where the rules are unknown: the smallest in common use.

Source: National Building Code of Canada 9.8.8.5; Approved Document K, diagram 3.1.
"""
ASSUMED_TRIANGLE = 6 * INCH
"""Sphere for the triangle at a stair where the rules are unknown.

Source: International Residential Code 2021, R312.1.3 exception 1.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightWindow:
    """Working limits of a height; none is open."""

    least: int | None
    greatest: int | None


def level_opening(job: Job) -> int:
    """Working limit of the openings in a level bay; each must be under it."""
    return _least(job.profile, "guard.opening", ASSUMED_OPENING) - job.company.sphere_margin


def most_fall(job: Job) -> Length | None:
    """How far the deck may fall within a level bay, on a mark, before the sphere passes under.

    The gap at the low side stays under the working limit and within a foot block's reach.
    """
    greatest = min(level_opening(job) - 1, job.system.foot_block.reach)
    most = tape.down(greatest - job.system.spacer_block, job.step)
    return most if most >= 0 else None


def stair_opening(job: Job) -> int:
    """Working limit of the level openings in a stair bay; each must be under it."""
    general = _least(job.profile, "guard.opening", ASSUMED_OPENING)
    return _least(job.profile, "guard.stair_opening", general) - job.company.sphere_margin


def triangle_sphere(job: Job) -> int:
    """Recorded sphere that must not pass between riser, tread and bottom rail."""
    if job.profile is None:
        return ASSUMED_TRIANGLE
    general = _least(job.profile, "guard.opening", ASSUMED_OPENING)
    return _least(job.profile, "guard.triangle", general)


def triangle_rule(job: Job) -> Rule | None:
    """The rule whose sphere that is; none: no rule speaks of openings."""
    named = _rules(job.profile, "guard.triangle") or _rules(job.profile, "guard.opening")
    return min(named, key=_limit, default=None)


def stair_height(job: Job, *, as_handrail: bool, sure: bool = False) -> HeightWindow:
    """Working window of the top rail over the nosing line.

    Args:
        job: With its profile and the company's height margin.
        as_handrail: The top rail is the stair's handrail too.
        sure: Only by rules that were read in the document itself.
    """
    inside = job.company.height_margin
    floors = [_limit(rule) for rule in _rules(job.profile, "guard.stair_height", sure=sure)]
    tops: list[int] = []
    if as_handrail:
        for rule in _rules(job.profile, "guard.stair_height_as_handrail", sure=sure):
            floors.append(_limit(rule))
            tops.extend([] if rule.upper is None else [rule.upper])
    return HeightWindow(
        least=max(floors) + inside if floors else None,
        greatest=min(tops) - inside if tops else None,
    )


def handrail_height(job: Job) -> HeightWindow:
    """Recorded window of a handrail's top over the nosing line."""
    rules = _rules(job.profile, "handrail.height")
    return HeightWindow(
        least=max((_limit(rule) for rule in rules), default=None),
        greatest=min((rule.upper for rule in rules if rule.upper is not None), default=None),
    )


def handrail_extensions(job: Job) -> tuple[int, int]:
    """How far a handrail goes on: level beyond the top nosing, and treads beyond the lowest one."""
    tops = [_limit(rule) for rule in _rules(job.profile, "handrail.extension_top")]
    treads = [rule.number or 0 for rule in _rules(job.profile, "handrail.extension_bottom")]
    return max(tops, default=0), ceil(max(treads, default=0))


def needs_handrail(job: Job, *, risers: int) -> bool:
    """Whether a flight of so many risers must have a handrail; unknown rules say yes."""
    rules = _rules(job.profile, "handrail.risers")
    return not rules or any(rule.stands(risers) for rule in rules)


def _rules(profile: CodeProfile | None, measures: Measured, *, sure: bool = False) -> list[Rule]:
    return [
        rule
        for rule in (profile.rules if profile else ())
        if rule.measures == measures and (not sure or rule.confidence == "quoted")
    ]


def _limit(rule: Rule) -> int:
    assert rule.limit is not None, rule.id
    return rule.limit


def _least(profile: CodeProfile | None, measures: Measured, otherwise: int) -> int:
    return min((_limit(rule) for rule in _rules(profile, measures)), default=otherwise)
