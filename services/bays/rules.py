"""From a job to the rule of one bay: the system's sizes beside the working limits."""

from __future__ import annotations

from math import ceil, radians, tan

from schemas.job import Job
from schemas.rail_system import BracketKind, RoutedRail
from schemas.record import Degrees
from services.bays.level_rail import Leans, LevelRule
from services.bays.limits import level_opening, stair_opening
from services.bays.margins import BayRule, Margins, bracket_of
from services.bays.stair_rail import StairRule
from services.geometry.slope import Slope


def level_rule(
    job: Job,
    *,
    left: BracketKind,
    right: BracketKind,
    top_more: int = 0,
    leans: Leans = "both",
    left_deg: Degrees = 0,
    right_deg: Degrees = 0,
) -> LevelRule | None:
    """The rule for a level bay between two kinds of bracket; none if the system lacks one.

    Args:
        job: For its system and its limits.
        left: Bracket at the left end.
        right: At the right end.
        top_more: How much wider the opening is at top-rail height. [length]
        leans: At which end.
        left_deg: Mitre of the left end. [degrees]
        right_deg: Of the right end. [degrees]
    """
    rail = job.system.level
    ends = (bracket_of(rail, left), bracket_of(rail, right))
    if ends[0] is None or ends[1] is None:
        return None
    return LevelRule(
        step=job.step,
        pitch=rail.hole_pitch,
        width=rail.baluster_width,
        clearance=rail.end_clearance,
        left_least=ends[0].least_margin,
        right_least=ends[1].least_margin,
        greatest=rail.greatest_margin,
        longest=rail.longest_clear,
        limit=level_opening(job),
        kits=rail.kits,
        trim=job.company.end_trim,
        top_more=top_more,
        leans=leans,
        points=_long_points(rail.bottom_width, left_deg, right_deg),
        top_points=_long_points(rail.top_width, left_deg, right_deg),
    )


def _long_points(width: int, left: Degrees, right: Degrees) -> Margins:
    """Holes run along a rail's middle: at a mitre width * tan / 2 stands out, rounded up."""
    out = [ceil(width * tan(radians(abs(deg))) / 2) for deg in (left, right)]
    return Margins(left=out[0], right=out[1])


def stair_rule(job: Job, *, rail: RoutedRail, slope: Slope) -> StairRule:
    """The rule for a stair bay on that slope."""
    return StairRule(
        slope=slope,
        step=job.step,
        pitch=rail.hole_pitch,
        width=rail.baluster_width,
        clearance=rail.end_clearance,
        least=rail.bracket.least_margin,
        greatest=rail.greatest_margin,
        longest=rail.longest_clear,
        limit=stair_opening(job),
        kits=rail.kits,
        trim=job.company.end_trim,
        point=-(-max(rail.top_depth, rail.bottom_depth) * slope.rise // slope.run),
    )


def nearest_legal(
    rule: BayRule, *, opening: int, longest: int, reach: int
) -> tuple[int | None, int | None]:
    """The nearest legal openings at or below and at or above one, on tape marks.

    Args:
        rule: What the bay must keep to.
        opening: That has no legal count, or has one. [length]
        longest: Longest clear opening, level. [length]
        reach: How far to look; legal openings repeat with every pitch. [length]
    """
    below = min(opening, longest) // rule.step * rule.step
    above = -(-opening // rule.step) * rule.step
    lower = range(below, max(0, below - reach), -rule.step)
    upper = range(above, min(longest, above + reach) + 1, rule.step)
    return (
        next((size for size in lower if rule.fits(opening=size)), None),
        next((size for size in upper if rule.fits(opening=size)), None),
    )


def nearest_with_room(
    rule: BayRule, *, opening: int, longest: int, reach: int, off: int
) -> tuple[int | None, int | None]:
    """The same, each side's nearest that bears its posts set so far off, where it has one.

    Args:
        rule: What the bay must keep to.
        opening: Not legal, or legal with nothing to spare. [length]
        longest: Longest clear opening, level. [length]
        reach: How far to look. [length]
        off: To spare to both sides. [length]
    """
    plain = nearest_legal(rule, opening=opening, longest=longest, reach=reach)
    below = min(opening, longest) // rule.step * rule.step
    above = -(-opening // rule.step) * rule.step
    lower = range(below, max(0, below - reach), -rule.step)
    upper = range(above, min(longest, above + reach) + 1, rule.step)
    roomy = (
        next((size for size in sizes if bears(rule, opening=size, off=off)), None)
        for sizes in (lower, upper)
    )
    low, high = (spare or bare for spare, bare in zip(roomy, plain, strict=True))
    return low, high


def bears(rule: BayRule, *, opening: int, off: int) -> bool:
    """Whether a bay keeps its count with its posts so far closer together or further apart.

    Args:
        rule: What the bay must keep to.
        opening: On a tape mark. [length]
        off: At least a mark is tried. [length]
    """
    fits = rule.fits(opening=opening)
    marks = max(1, -(-off // rule.step))
    return bool(fits) and all(
        rule.fit(opening=opening + more * rule.step, balusters=fits[0].balusters)
        for more in (-marks, marks)
    )
