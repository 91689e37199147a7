"""As-measured tables gone through again: every row is a bay that may come to be cut.

Each row's rail is laid into its own opening, hard to one end and hard to the other, and what
is left open is measured; the window's two ends are rows of their own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos

from schemas.bays import AsMeasured, LevelBay, StairBay
from schemas.plan import Plan
from schemas.rail_system import Bracket, RoutedRail
from services.recheck.limits import inches, level_limits, stair_limits


@dataclass(frozen=True, slots=True, kw_only=True)
class _Opening:
    """What every row of one table must keep to. [1/320 mm]."""

    rail: RoutedRail
    least: tuple[int, int]
    """Bracket's room at the left and at the right end."""
    level: float
    """What a length along the rail measures level: 1, or cos of the slope."""
    sphere: int | None


def recheck_tables(plan: Plan) -> Iterator[str]:
    """Every row of a table that no crew may cut by, and every window that its table denies."""
    for bay in plan.bays.level:
        leg = next(leg for leg in plan.layout.legs if leg.name == bay.leg)
        limits = level_limits(plan, place=bay.name, drop=leg.drop)
        kept = _Opening(
            rail=plan.job.system.level,
            least=_least(plan, bay),
            level=1.0,
            sphere=limits.opening,
        )
        yield from _table(bay, kept, step=plan.job.step)
    for side in plan.bays.stair:
        rail = plan.job.stair_system.stair
        stair = next(one for one in plan.job.stairs if one.name == side.stair)
        if rail is not None:
            kept = _Opening(
                rail=rail,
                least=(rail.bracket.least_margin, rail.bracket.least_margin),
                level=cos(atan2(stair.riser, stair.tread)),
                sphere=stair_limits(plan, place=side.name, stair=stair).opening,
            )
            yield from _table(side, kept, step=plan.job.step)


def _least(plan: Plan, bay: LevelBay) -> tuple[int, int]:
    rail = plan.job.system.level
    kinds: dict[str, Bracket] = {"line": rail.bracket}
    if rail.angle_bracket:
        kinds["angle"] = rail.angle_bracket
    room = {
        fit.end: kinds[fit.kind].least_margin
        for fit in bay.brackets
        if fit.rail == "bottom" and fit.kind in kinds
    }
    return room.get("left", 0), room.get("right", 0)


def _table(bay: LevelBay | StairBay, kept: _Opening, *, step: int) -> Iterator[str]:
    rows = bay.as_measured
    openings = [row.opening for row in rows]
    if any(after - before != step for before, after in pairwise(openings)):
        yield f"{bay.name}: its as-measured table skips a mark"
    planned = [row for row in rows if row.opening == bay.clear]
    if not planned or (planned[0].balusters, planned[0].margin) != (bay.balusters, bay.marks[0]):
        yield f"{bay.name}: its as-measured table does not hold the plan"
    for row in rows:
        for says in _row(row, kept):
            yield f"{bay.name}, {inches(row.opening)} found: {says}"
    yield from _window(bay, rows)


def _row(row: AsMeasured, kept: _Opening) -> Iterator[str]:
    if row.cut is None or row.margin is None or row.balusters is None:
        if (row.cut, row.margin, row.balusters) != (None, None, None):
            yield "half a row"
        return
    rail = kept.rail
    last = row.margin + (row.balusters - 1) * rail.hole_pitch
    ends = (row.margin, row.cut - last)
    along = row.opening / kept.level
    if row.cut + 2 * rail.end_clearance > along + 1:
        yield "leaves less than its end clearances"
    if ends[0] < kept.least[0] or ends[1] < kept.least[1] or max(ends) > rail.greatest_margin:
        yield "a margin out of its limits"
    if along > rail.longest_clear + 1:
        yield "over the system's longest opening"
    between = rail.hole_pitch * kept.level - rail.baluster_width if row.balusters > 1 else 0.0
    for start in (rail.end_clearance, along - rail.end_clearance - row.cut):
        near = (start + row.margin) * kept.level - rail.baluster_width / 2
        far = row.opening - (start + last) * kept.level - rail.baluster_width / 2
        gap = max(near, between, far)
        if kept.sphere is not None and gap >= kept.sphere:
            yield f"a gap of {inches(gap)} lets the sphere through"


def _window(bay: LevelBay | StairBay, rows: Sequence[AsMeasured]) -> Iterator[str]:
    """Inside the window the planned count stands in every row, outside in none."""
    if not bay.window_low <= bay.clear <= bay.window_high:
        yield f"{bay.name}: its opening lies outside its own window"
    for row in rows:
        inside = bay.window_low <= row.opening <= bay.window_high
        if inside != (row.balusters == bay.balusters):
            yield f"{bay.name}: its window and its table disagree at {inches(row.opening)}"
