"""Stair bays measured again: nosings, rails and circles by their coordinates.

The flight is drawn with x level from the upper post's stair-side face downhill and
y up from the walking surface. A rail is a straight line in that plane.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from math import atan2, cos, sin, tan

from schemas.bays import StairBay
from schemas.layout import Bay
from schemas.plan import Plan
from schemas.site import Stair
from services.recheck.handrail import recheck_handrail
from services.recheck.limits import Limits, flight_rise, inches, stair_limits, widest_gap


def recheck_stair(plan: Plan, bay: StairBay) -> Iterator[str]:
    """Every limit that a stair bay breaks."""
    job = plan.job
    stair = next(one for one in job.stairs if one.name == bay.stair)
    rail = job.stair_system.stair
    laid = next((one for one in plan.layout.bays if one.name == bay.name), None)
    if rail is None or laid is None:
        yield f"{bay.name}: built, but not laid out, or the system has no stair rail"
        return
    limits = stair_limits(plan, place=bay.name, stair=stair)
    slope = atan2(stair.riser, stair.tread)
    span = span_of(plan, stair, bay, laid)
    for says in (
        *_ends(bay, rail.end_clearance, cos(slope), job.step),
        *_points(bay, slope, (rail.top_depth, rail.bottom_depth), job.step),
        *_over_nosings(bay, slope, limits),
        *_gaps(bay, rail.baluster_width, cos(slope), limits),
        *_heights(plan, bay, (rail.top_depth + rail.bottom_depth) / cos(slope), limits),
        *_triangle(stair, bay, limits),
        *_at_nosings(stair, bay, faces_of(plan, stair, bay, laid).upper),
        *_at_posts(bay, stair, span, job.step),
        *_low_end(plan, bay, limits),
        *_blocks(plan, stair, bay, span.lower - rail.end_clearance * cos(slope)),
        *recheck_handrail(plan, stair, bay),
    ):
        yield f"{bay.name}: {says}"


def _gaps(bay: StairBay, width: int, level: float, limits: Limits) -> Iterator[str]:
    lead = (bay.clear - bay.cut * level) / 2
    solids = [(lead + m * level - width / 2, lead + m * level + width / 2) for m in bay.marks]
    gap = widest_gap([(-1.0, 0.0), *solids, (bay.clear, bay.clear + 1.0)])
    if limits.opening is not None and gap >= limits.opening:
        yield f"a level gap of {inches(gap)} lets the sphere through"


def _points(bay: StairBay, slope: float, depths: tuple[int, int], step: int) -> Iterator[str]:
    """Long and short points, by the corners of each rail cut plumb.

    Along the rail x runs from the axis of the lower cut; a plumb cut through (x, 0) meets the
    side at height y in x + y * tan. Holes of the top rail lie in its underside, those of the
    bottom rail in its upper side.
    """
    lean = tan(slope)
    top = (bay.top_first_hole_to_long, bay.top_last_hole_to_long)
    bottom = (bay.bottom_first_hole_to_long, bay.bottom_last_hole_to_long)
    for rail, depth, holes, printed in (
        ("top", depths[0], -depths[0] / 2, (*top, bay.top_long_to_short)),
        ("bottom", depths[1], depths[1] / 2, (*bottom, bay.bottom_long_to_short)),
    ):
        low, high = -depth / 2 * lean, bay.cut + depth / 2 * lean
        first, last = (mark + holes * lean for mark in (bay.marks[0], bay.marks[-1]))
        found = (first - low, high - last, depth * lean)
        if max(abs(a - b) for a, b in zip(found, printed, strict=True)) > step:
            shown = ", ".join(map(inches, found))
            yield f"{rail} rail: holes to long points, long to short point are {shown}"


def _over_nosings(bay: StairBay, slope: float, limits: Limits) -> Iterator[str]:
    """Between nosing line and bottom rail, square to both."""
    gap = bay.rail_over_nosing * cos(slope)
    if limits.opening is not None and gap >= limits.opening:
        yield f"{inches(gap)} over the nosing line lets the sphere through"


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


def nosings(stair: Stair) -> list[tuple[int, int]]:
    """Every nosing from the deck edge down: level from it, and plumb below it. [1/320 mm]."""
    up = [*stair.each_riser] or [stair.riser] * stair.risers
    out = [*stair.each_tread] or [stair.tread] * (stair.risers - 1)
    return [
        (sum(out[len(out) - number :]), sum(up[len(up) - number :])) for number in range(len(up))
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Where a stair bay's two posts show their faces to it, from the top nosing downhill."""

    upper: float
    """Upper post's downhill face. [1/320 mm]"""
    lower: float
    """Lower post's uphill face. [1/320 mm]"""
    upper_foot: int
    """What the upper post stands on, below the deck. [1/320 mm]"""
    lower_foot: int
    """What the lower post stands on, below the deck. [1/320 mm]"""


def span_of(plan: Plan, stair: Stair, bay: StairBay, laid: Bay) -> Span:
    """Set a bay out from the lowest nosing, as its posts stand."""
    half = plan.job.system.sleeve.outside / 2
    bottom = nosings(stair)[-1][0] + stair.lower_post.from_last_nose
    upper, lower = bottom - laid.right.face, bottom - laid.left.face
    treads = {post.name for post in plan.layout.posts if post.where == "stair-mid"}
    on_tread = bay.lower_post in treads or stair.lower_post.stands_on == "tread"
    return Span(
        upper=upper,
        lower=lower,
        upper_foot=_tread(stair, upper - half) if bay.upper_post in treads else 0,
        lower_foot=_tread(stair, lower + half) if on_tread else flight_rise(stair),
    )


def faces_of(plan: Plan, stair: Stair, bay: StairBay, laid: Bay) -> Span:
    """The same with the upper face by the opening as printed.

    An upper post of which the tech measured the face stands there.
    """
    span = span_of(plan, stair, bay, laid)
    mids = {post.name for post in plan.layout.posts if post.where == "stair-mid"}
    given = None if bay.upper_post in mids else stair.upper_post.from_top_nose
    return replace(span, upper=span.lower - bay.clear if given is None else given)


def _tread(stair: Stair, centre: float) -> int:
    """The tread at a place, below the deck."""
    steps = nosings(stair)
    return next((depth for level, depth in steps if level >= centre), steps[-1][1])


def _at_nosings(stair: Stair, bay: StairBay, upper: float) -> Iterator[str]:
    """Heights over each nosing, by following the straight rails over the steps."""
    steps = nosings(stair)
    for nose in bay.heights:
        level, depth = steps[nose.nosing - 1]
        fallen = level * stair.riser / stair.tread
        top, gap = (line - fallen + depth for line in (bay.top_over_nosing, bay.rail_over_nosing))
        if max(abs(top - nose.top), abs(gap - nose.gap)) > 1:
            yield f"nosing {nose.nosing} lies {inches(top)} under the top, not {inches(nose.top)}"
        if abs(nose.from_upper_face - (level - upper)) > 1:
            yield f"nosing {nose.nosing} is {inches(level - upper)} from the upper post's face"


def recheck_flights(plan: Plan) -> Iterator[str]:
    """Every nosing of a flight is told at some bay of each of its sides."""
    for stair in plan.job.stairs:
        for side in stair.rails:
            bays = [b for b in plan.bays.stair if (b.stair, b.side) == (stair.name, side)]
            told = {nose.nosing for bay in bays for nose in bay.heights}
            if told != set(range(1, stair.risers + 1)):
                yield f"{stair.name} {side}: {len(told)} of its {stair.risers} nosings have heights"


def _at_posts(bay: StairBay, stair: Stair, span: Span, step: int) -> Iterator[str]:
    """Both rails at the posts' faces, by following their lines from the top nosing.

    A mark of height and a mark of the opening, run up the slope, may be lost in rounding.
    """
    fall = stair.riser / stair.tread
    if abs(span.lower - span.upper - bay.clear) > step:
        yield f"its posts leave {inches(span.lower - span.upper)}, not {inches(bay.clear)}"
    for line, upper, lower in (
        (bay.top_over_nosing, bay.top_at_upper, bay.top_at_lower),
        (bay.rail_over_nosing, bay.bottom_at_upper, bay.bottom_at_lower),
    ):
        at_upper = line - span.upper * fall + span.upper_foot
        at_lower = line - span.lower * fall + span.lower_foot
        if upper <= 0 or at_upper < -step * (1 + fall):
            yield f"the rail meets the upper post {inches(at_upper)} over that post's foot"
        if lower <= 0 or at_lower < -step * (1 + fall):
            yield f"the rail meets the lower post {inches(at_lower)} over that post's foot"
        if abs(at_upper - upper) > step * (1 + fall):
            yield f"the rail meets the upper post at {inches(at_upper)}"
        if abs(at_lower - lower) > step * (1 + fall):
            yield f"the rail meets the lower post at {inches(at_lower)}"


def _low_end(plan: Plan, bay: StairBay, limits: Limits) -> Iterator[str]:
    """Too low at the lowest post, and nobody answers for it."""
    above = {one.upper_post for one in plan.bays.stair if one.stair == bay.stair}
    answered = {(one.question, one.option) for one in plan.job.answers}
    agreed = (f"low-at-lower.{bay.name}", "accepted") in answered
    if bay.lower_post in above or agreed or limits.least is None:
        return
    if bay.top_at_lower < limits.least:
        yield f"its top meets the lowest post at {inches(bay.top_at_lower)}, which nobody allowed"


def _blocks(plan: Plan, stair: Stair, bay: StairBay, lower_end: float) -> Iterator[str]:
    """Each foot block under a baluster, whole on what it stands on, and within reach."""
    block = plan.job.stair_system.foot_block
    if set(bay.foot_blocks) - set(bay.marks):
        yield "a foot block stands under no baluster"
    slope = atan2(stair.riser, stair.tread)
    for mark in bay.foot_blocks:
        at = lower_end - mark * cos(slope)
        under = [_depth(stair, at + half) for half in (-block.width / 2 + 1, block.width / 2 - 1)]
        gap = bay.rail_over_nosing - at * stair.riser / stair.tread + under[0]
        if under[0] != under[1]:
            yield f"the foot block at {inches(mark)} stands over a nosing"
        if not -1 <= gap <= block.reach + 1:
            yield f"the foot block at {inches(mark)} would span {inches(gap)}"


def _depth(stair: Stair, at: float) -> int:
    """What is under a place, below the deck: the deck, a tread, or the landing."""
    steps = [*nosings(stair)[1:], (float("inf"), flight_rise(stair))]
    return 0 if at < 0 else next(depth for level, depth in steps if at < level)


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
        yield "its margins are not equal to a tape mark at each end"
