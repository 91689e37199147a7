"""Level bays measured again: faces, balusters and gaps by their coordinates."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import hypot

from schemas.bays import LevelBay
from schemas.layout import Bay, LaidLeg
from schemas.plan import Plan
from services.recheck.ground import row_of
from services.recheck.limits import Limits, inches, level_limits, widest_gap


def recheck_level(plan: Plan, bay: LevelBay) -> Iterator[str]:
    """Every limit that a level bay breaks."""
    job = plan.job
    rail = job.system.level
    leg = next(leg for leg in plan.layout.legs if leg.name == bay.leg)
    laid = next((one for one in plan.layout.bays if one.name == bay.name), None)
    if laid is None:
        yield f"{bay.name}: built, but not laid out"
        return
    limits = level_limits(plan, place=bay.name, drop=leg.drop)
    yield from _opening(plan, leg, laid, bay, job.step)
    for what, clear, cut, marks in (
        ("bottom rail", bay.clear, bay.bottom_cut, bay.marks),
        ("top rail", bay.clear_top, bay.top_cut, bay.top_marks),
    ):
        for says in _rail(bay, clear, cut, marks, rail.baluster_width, rail.end_clearance, limits):
            yield f"{bay.name} {what}: {says}"
    yield from _margins(plan, bay)
    yield from _leans(plan, leg, laid, bay)
    if max(bay.clear, bay.clear_top) > rail.longest_clear:
        yield f"{bay.name}: opening over the system's longest"
    if limits.opening is not None and bay.sweep_low >= limits.opening:
        yield f"{bay.name}: {inches(bay.sweep_low)} under the bottom rail lets the sphere through"
    open_under = _from_edge(plan, leg, bay)
    if limits.opening is not None and open_under >= limits.opening:
        yield f"{bay.name}: {inches(open_under)} from the deck edge to under the bottom rail"
    height = job.level_height.visible + rail.top_depth + rail.bottom_depth
    if bay.top != bay.sweep + height:
        yield f"{bay.name}: top of rail is not spacer plus section"
    if limits.least is not None and bay.top < limits.least:
        yield f"{bay.name}: top of rail at {inches(bay.top)} is under the least height"
    yield from _blocks(plan, bay)


def _from_edge(plan: Plan, leg: LaidLeg, bay: LevelBay) -> float:
    """From the edge of the deck, a point in the leg's cross-section, to the rail's near corner.

    x runs out from the post-centre line, y up from the surface; the edge is at the inset, the
    rail's near side half its width back.
    """
    line = plan.job.lines[leg.line]
    edge = float(line.inset) if line.measured == "deck-edge" else 0.0
    near = -plan.job.system.level.bottom_width / 2
    return hypot(max(0.0, near - edge), bay.sweep_low)


def _rail(
    bay: LevelBay,
    clear: int,
    cut: int,
    marks: Sequence[int],
    width: int,
    end_clearance: int,
    limits: Limits,
) -> Iterator[str]:
    if len(marks) != bay.balusters or list(marks) != sorted(marks):
        yield "marks do not count its balusters"
        return
    if cut + 2 * end_clearance > clear:
        yield f"{inches(cut)} leaves less than its end clearances in {inches(clear)}"
    start = (clear - cut) / 2
    solids = [(start + mark - width / 2, start + mark + width / 2) for mark in marks]
    gap = widest_gap([(-1.0, 0.0), *solids, (clear, clear + 1.0)])
    if limits.opening is not None and gap >= limits.opening:
        yield f"a gap of {inches(gap)} lets the sphere through"
    steps = {after - before for before, after in pairwise(marks)}
    if steps - {bay.pitch}:
        yield "marks are not on the factory pitch"


def _margins(plan: Plan, bay: LevelBay) -> Iterator[str]:
    rail = plan.job.system.level
    least = {"line": rail.bracket.least_margin}
    if rail.angle_bracket:
        least["angle"] = rail.angle_bracket.least_margin
    ends = {
        ("bottom", "left"): bay.marks[0],
        ("bottom", "right"): bay.bottom_cut - bay.marks[-1],
        ("top", "left"): bay.top_marks[0],
        ("top", "right"): bay.top_cut - bay.top_marks[-1],
    }
    printed = (bay.margin_left, bay.margin_right, bay.top_margin_left, bay.top_margin_right)
    if tuple(ends.values()) != printed:
        yield f"{bay.name}: printed margins are not those of its marks"
    for fit in bay.brackets:
        if ends[fit.rail, fit.end] < least.get(fit.kind, 0):
            yield f"{bay.name}: {fit.rail} {fit.end} margin is too short for its bracket"
    if abs(bay.margin_left - bay.margin_right) > plan.job.step:
        yield f"{bay.name}: its margins are not equal to a tape mark"
    if max(ends.values()) > rail.greatest_margin:
        yield f"{bay.name}: a margin runs into the next factory hole"


def _leans(plan: Plan, leg: LaidLeg, laid: Bay, bay: LevelBay) -> Iterator[str]:
    """Holes stand plumb over each other, so a rail's end stands out at the top as its face does.

    A wall stands out as it was read with a level; between two posts each takes half.
    """
    line, step = plan.job.lines[leg.line], plan.job.step
    out = (
        bay.top_cut - bay.top_marks[-1] - (bay.bottom_cut - bay.marks[-1]),
        bay.top_marks[0] - bay.marks[0],
    )
    if laid.left.post and laid.right.post and abs(out[0] - out[1]) > 2 * step:
        yield f"{bay.name}: posts take {inches(out[1])} and {inches(out[0])} at the top, not half"
    read = (
        line.end.out_of_plumb if laid.right.post is None else None,
        line.start.out_of_plumb if laid.left.post is None else None,
    )
    if None not in read and abs(sum(out) - sum(one or 0 for one in read)) > 2 * step:
        read = (None, read[1])
    for end, stands, wall in zip(("right", "left"), out, read, strict=True):
        if wall is not None and abs(stands - wall) > 2 * step:
            yield (
                f"{bay.name}: the wall at its {end} stands out {inches(wall)} at the top, and "
                f"its rail {inches(stands)}"
            )


def _blocks(plan: Plan, bay: LevelBay) -> Iterator[str]:
    """Foot blocks: as many as the sheet asks for, each under a baluster and within reach."""
    system = plan.job.system
    asked = [rule.count for rule in system.level.foot_blocks if bay.clear <= rule.up_to]
    wanted = min(asked[0] if asked else system.level.foot_blocks[-1].count, len(bay.marks))
    if len(bay.foot_blocks) != wanted:
        yield f"{bay.name}: {len(bay.foot_blocks)} foot blocks, not {wanted}"
    if set(bay.foot_blocks) - set(bay.marks):
        yield f"{bay.name}: a foot block stands under no baluster"
    if bay.foot_blocks and bay.sweep_low > system.foot_block.reach:
        yield f"{bay.name}: {inches(bay.sweep_low)} is more than a foot block spans"
    holes = bay.drain_holes
    clear = (system.level.baluster_width + system.drain_hole) / 2
    if any(abs(hole - mark) < clear for hole in holes for mark in bay.marks):
        yield f"{bay.name}: a drain hole meets a baluster"


def _opening(plan: Plan, leg: LaidLeg, laid: Bay, bay: LevelBay, step: int) -> Iterator[str]:
    """The opening between faces in plan, by walking along the leg and meeting squares."""
    if laid.measured:
        return
    stood = {(one.name, other.name): (one, other) for one, other in pairwise(row_of(plan, leg))}
    left, right = stood.get((laid.left.post, laid.right.post), (None, None))
    if left is None or right is None:
        yield f"{bay.name}: its ends are no neighbours in plan"
        return
    free = right.at - right.half - left.at - left.half
    if not -step < free - bay.clear < step + 1:
        yield f"{bay.name}: {inches(bay.clear)} printed, {inches(free)} between its sleeves in plan"
