"""Stair bays measured again: nosings, rails and circles by their coordinates.

The flight is drawn with x level from the upper post's stair-side face downhill and
y up from the walking surface. A rail is a straight line in that plane.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import atan2, cos, sin

from schemas.bays import StairBay
from schemas.plan import Plan
from schemas.site import Stair
from services.recheck.limits import Limits, inches, limits_at, widest_gap


def recheck_stair(plan: Plan, bay: StairBay) -> Iterator[str]:
    """Every limit that a stair bay breaks."""
    job = plan.job
    stair = next(one for one in job.stairs if one.name == bay.stair)
    rail = job.stair_system.stair
    if rail is None:
        yield f"{bay.name}: the system has no stair rail"
        return
    drop = next((leg.drop for leg in plan.layout.legs if leg.name == stair.leg), None)
    limits = limits_at(plan, place=bay.name, drop=drop, stair=True, handrail=False)
    slope = atan2(stair.riser, stair.tread)
    for says in (
        *_ends(bay, rail.end_clearance, cos(slope), job.step),
        *_gaps(bay, rail.baluster_width, cos(slope), limits),
        *_heights(plan, bay, (rail.top_depth + rail.bottom_depth) / cos(slope), limits),
        *_triangle(stair, bay, limits),
        *_at_posts(stair, bay, job.step),
    ):
        yield f"{bay.name}: {says}"


def _gaps(bay: StairBay, width: int, level: float, limits: Limits) -> Iterator[str]:
    lead = (bay.clear - bay.cut * level) / 2
    solids = [(lead + m * level - width / 2, lead + m * level + width / 2) for m in bay.marks]
    gap = widest_gap([(-1.0, 0.0), *solids, (bay.clear, bay.clear + 1.0)])
    if limits.opening is not None and gap >= limits.opening:
        yield f"a level gap of {inches(gap)} lets the sphere through"


def _heights(plan: Plan, bay: StairBay, rails: float, limits: Limits) -> Iterator[str]:
    visible = plan.job.stair_height.visible if plan.job.stair_height else 0
    top = bay.rail_over_nosing + rails + visible
    if abs(top - bay.top_over_nosing) > plan.job.step:
        yield f"rails and balusters stack to {inches(top)} over the nosing line"
    for nose in bay.heights:
        if limits.least is not None and nose.top < limits.least:
            yield f"{inches(nose.top)} over nosing {nose.nosing} is too low"
        if limits.most is not None and nose.top > limits.most:
            yield f"{inches(nose.top)} over nosing {nose.nosing} is too high"


def _triangle(stair: Stair, bay: StairBay, limits: Limits) -> Iterator[str]:
    """A sphere in the corner of tread and riser must stand proud of the rail's underside.

    x runs downhill from a nosing, y up from it; the riser below stands back by the
    projection, the tread lies one riser down.
    """
    if limits.triangle is None or stair.nosing is None or stair.open_risers is not False:
        return
    radius = limits.triangle / 2
    x, y = radius - stair.nosing, radius - stair.riser
    slope = atan2(stair.riser, stair.tread)
    free = (bay.rail_over_nosing - y) * cos(slope) - x * sin(slope)
    if free >= radius:
        yield f"the triangle lets a {inches(limits.triangle)} sphere through"


def _at_posts(stair: Stair, bay: StairBay, step: int) -> Iterator[str]:
    """Rail tops at the posts' faces, by following the line from the nosings."""
    fall = stair.riser / stair.tread
    upper = bay.top_over_nosing + bay.heights[0].from_upper_face * fall
    if abs(upper - bay.top_at_upper) > step:
        yield f"the rail meets the upper post at {inches(upper)}"
    if stair.lower_post.stands_on != "tread":
        beyond = stair.lower_post.from_last_nose
        lower = bay.top_over_nosing + stair.riser - beyond * fall
        if abs(lower - bay.top_at_lower) > step:
            yield f"the rail meets the lower post at {inches(lower)}"


def _ends(bay: StairBay, clearance: int, level: float, step: int) -> Iterator[str]:
    if (bay.cut + 2 * clearance) * level > bay.clear + 1:
        yield "the rail leaves less than its end clearances"
    if len(bay.marks) != bay.balusters:
        yield "marks do not count its balusters"
    if bay.marks[0] != bay.margin_lower or bay.cut - bay.marks[-1] != bay.margin_upper:
        yield "printed margins are not those of its marks"
    if {after - before for before, after in pairwise(bay.marks)} - {bay.pitch}:
        yield "marks are not on the factory pitch"
    if abs(bay.margin_lower - bay.margin_upper) > step:
        yield "its margins differ by more than a tape mark"
