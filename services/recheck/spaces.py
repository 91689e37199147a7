"""Gaps as they are printed, laid out again baluster by baluster, and where they count from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import atan2, ceil, cos, sin

from schemas.bays import LevelBay, StairBay
from schemas.plan import Plan
from schemas.site import Stair
from services.recheck.limits import inches, triangle_sphere


def recheck_spaces(plan: Plan) -> Iterator[str]:
    """Every printed gap that is not the one between what stands there."""
    for bay in plan.bays.level:
        for says in (*_level(plan, bay), *_parity(bay)):
            yield f"{bay.name}: {says}"
    for side in plan.bays.stair:
        stair = next(one for one in plan.job.stairs if one.name == side.stair)
        for says in (*_stair(plan, stair, side), *_triangle(plan, stair, side)):
            yield f"{side.name}: {says}"


def _level(plan: Plan, bay: LevelBay) -> Iterator[str]:
    """Each rail hard to its clearance at the left; what its rounding left over is at the right."""
    rail = plan.job.system.level
    lead, half = rail.end_clearance, rail.baluster_width / 2
    rails = ((bay.clear, bay.marks), (bay.clear_top, bay.top_marks))
    found = (
        ("between balusters", bay.gap_between, _between(bay, half)),
        ("at the left", bay.gap_left, max(lead + marks[0] - half for _, marks in rails)),
        ("at the right", bay.gap_right, max(clear - lead - m[-1] - half for clear, m in rails)),
    )
    yield from _printed(found)


def _stair(plan: Plan, stair: Stair, side: StairBay) -> Iterator[str]:
    rail = plan.job.stair_system.stair
    if rail is None:
        return
    level = cos(atan2(stair.riser, stair.tread))
    half = rail.baluster_width / 2
    marks = [(rail.end_clearance + mark) * level for mark in side.marks]
    found = (
        ("between balusters, level", side.level_gap, side.pitch * level - 2 * half),
        ("at the lower post", side.gap_lower, marks[0] - half),
        ("at the upper post", side.gap_upper, side.clear - marks[-1] - half),
    )
    yield from _printed(found)


def _printed(found: Sequence[tuple[str, int, float]]) -> Iterator[str]:
    """Rounded up to a whole unit; a doubled measure may be rounded before it is halved."""
    for where, printed, gap in found:
        if not -0.01 < printed - gap < 1.51:
            yield f"{inches(printed)} printed {where}, {inches(gap)} measured"


def _between(bay: LevelBay, half: float) -> float:
    """Of the widest two neighbours; of a lone baluster and where its next hole would be."""
    apart = [after - before for before, after in pairwise(bay.marks)]
    return max(apart, default=bay.pitch) - 2 * half


def _parity(bay: LevelBay) -> Iterator[str]:
    """What stands at mid-length: the middle hole, or the space between the middle two."""
    middle = bay.bottom_cut / 2
    nearest = min(abs(mark - middle) for mark in bay.marks)
    stands = "hole at mid-length" if nearest < bay.pitch / 4 else "gap at mid-length"
    if bay.parity != stands:
        yield f"a {bay.parity} printed, a {stands} measured"


def _triangle(plan: Plan, stair: Stair, side: StairBay) -> Iterator[str]:
    """The height at which a sphere in the corner of tread and riser touches the underside.

    x runs downhill from a nosing, y up from it. The sphere touches the tread below and the riser
    below, which stands back by the projection; the line at height h over the nosings is as far
    from its middle as the sphere is round.
    """
    sphere = triangle_sphere(plan)
    radius = sphere / 2
    known = (
        stair.open_risers is False
        and stair.nosing is not None
        and radius <= stair.riser
        and radius <= stair.tread + stair.nosing
    )
    if not known or stair.nosing is None:
        if side.triangle_limit is not None:
            yield "a limit of the triangle is printed where its shape is not known"
        return
    slope = atan2(stair.riser, stair.tread)
    x, y = radius - stair.nosing, radius - stair.riser
    touches = y + (radius + x * sin(slope)) / cos(slope)
    passes = (ceil(touches / plan.job.step - 1e-6) - 1) * plan.job.step
    if side.triangle_limit != passes:
        shown = "none" if side.triangle_limit is None else inches(side.triangle_limit)
        yield f"the ball of the triangle touches at {inches(touches)}, {shown} printed as the most"
