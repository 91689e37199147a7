"""Every opening of a bay's window and table fitted again, mark by mark.

A count of balusters is laid into an opening: the longest rail that leaves its clearances, the
holes in its middle, and then every piece of the way is looked at: brackets, next holes, the
sphere at the working limit with the rail hard to either end, and the stock it is cut from.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from math import ceil, floor, hypot, radians, tan

from schemas.bays import AsMeasured, LevelBay, StairBay
from schemas.lengths import INCH
from schemas.plan import Plan
from schemas.rail_system import RoutedRail
from services.recheck.limits import inches, working_opening

EXACT = 1e-6
"""A float's last digit is not taken for a piece of the tape."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """Where a bay's rails are laid, whatever its opening is found to be. [1/320 mm]."""

    rail: RoutedRail
    step: int
    least: tuple[int, int]
    """Room for the bracket at the left and at the right end."""
    points: tuple[tuple[int, int], tuple[int, int]]
    """What stands out beyond each end at the angled cut: bottom rail, top rail."""
    secant: float
    """Length along the rail for each unit of level; 1 where it lies level."""
    limit: int
    """Openings are planned under this."""
    trim: int
    wider: int = 0
    """How much wider the opening is for the top rail."""
    shifted: int = 0
    """How much of that the top rail takes at its left end."""
    seen: dict[tuple[int, int], _Laid | None] = field(default_factory=dict)
    """By opening and count: bays alike ask the same."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Laid:
    """Both rails with their holes: cut, left margin, right margin; bottom, top."""

    bottom: tuple[int, int, int]
    top: tuple[int, int, int]


def recheck_windows(plan: Plan) -> Iterator[str]:
    """Every window that is not just as wide as its count stands, every row of another cut."""
    known: dict[tuple[object, ...], _Place] = {}
    for bay in plan.bays.level:
        ends = tuple(fit.kind for fit in bay.brackets)
        leans = (bay.clear_top - bay.clear, bay.top_margin_left - bay.margin_left)
        like = (ends, leans, bay.mitre_left_deg, bay.mitre_right_deg)
        for says in _bay(bay, known.setdefault(like, _level(plan, bay))):
            yield f"{bay.name}: {says}"
    for side in plan.bays.stair:
        rail = plan.job.stair_system.stair
        if rail is not None:
            slope = (side.riser, side.tread)
            for says in _bay(side, known.setdefault(slope, _stair(plan, side, rail))):
                yield f"{side.name}: {says}"


def _level(plan: Plan, bay: LevelBay) -> _Place:
    rail = plan.job.system.level
    room = {"line": rail.bracket, "angle": rail.angle_bracket or rail.bracket}
    fits = {fit.end: room.get(fit.kind, rail.bracket).least_margin for fit in bay.brackets}
    mitres = (bay.mitre_left_deg, bay.mitre_right_deg)
    left, right = (
        tuple(ceil(width * tan(radians(abs(deg))) / 2 - EXACT) for deg in mitres)
        for width in (rail.bottom_width, rail.top_width)
    )
    return _Place(
        rail=rail,
        step=plan.job.step,
        least=(fits.get("left", 0), fits.get("right", 0)),
        points=((left[0], left[1]), (right[0], right[1])),
        secant=1.0,
        limit=working_opening(plan, on_stair=False),
        trim=plan.job.company.end_trim,
        wider=bay.clear_top - bay.clear,
        shifted=bay.top_margin_left - bay.margin_left,
    )


def _stair(plan: Plan, side: StairBay, rail: RoutedRail) -> _Place:
    deep = max(rail.top_depth, rail.bottom_depth) * side.riser
    out = -(-deep // side.tread)
    return _Place(
        rail=rail,
        step=plan.job.step,
        least=(rail.bracket.least_margin, rail.bracket.least_margin),
        points=((out, out), (out, out)),
        secant=hypot(side.riser, side.tread) / side.tread,
        limit=working_opening(plan, on_stair=True),
        trim=plan.job.company.end_trim,
    )


def _bay(bay: LevelBay | StairBay, place: _Place) -> Iterator[str]:
    low, high, step = bay.window_low, bay.window_high, place.step
    inside = range(low, high + 1, step)
    if bay.clear not in inside or any(_stands(place, at, bay.balusters) is None for at in inside):
        yield f"{bay.balusters} balusters do not stand in every opening of its window"
    for beyond in (low - step, high + step):
        if beyond > 0 and _stands(place, beyond, bay.balusters) is not None:
            yield f"{bay.balusters} balusters still stand at {inches(beyond)}, beyond its window"
    reach = INCH // step
    if len(bay.as_measured) != 2 * reach + 1 and bay.clear > reach * step:
        yield f"its table has {len(bay.as_measured)} rows, not an inch to either side"
    for row in bay.as_measured:
        yield from _row(row, place, bay.balusters)
    others = tuple(count for count in _counts(place, bay.clear) if count != bay.balusters)
    if bay.others != others:
        yield f"other counts that stand are {others}, {bay.others} printed"


def _row(row: AsMeasured, place: _Place, planned: int) -> Iterator[str]:
    """The planned count as long as it stands; then another that does; then none at all."""
    where = f"{inches(row.opening)} found"
    if row.balusters is None or row.cut is None or row.margin is None:
        if any(True for _ in _counts(place, row.opening)):
            yield f"{where}: calls the office, and a count stands"
        return
    laid = _stands(place, row.opening, row.balusters)
    if laid is None:
        yield f"{where}: {row.balusters} balusters do not stand there"
    elif laid.bottom[:2] != (row.cut, row.margin):
        yield f"{where}: cut and margin are {inches(laid.bottom[0])}, {inches(laid.bottom[1])}"
    if row.balusters != planned and _stands(place, row.opening, planned) is not None:
        yield f"{where}: leaves the planned count, which stands"


def _counts(place: _Place, opening: int) -> Iterator[int]:
    """Every count that stands in an opening, ascending; fewer leave a whole pitch at both ends."""
    most = floor(opening * place.secant / place.rail.hole_pitch) + 1
    return (n for n in range(max(1, most - 4), most + 1) if _stands(place, opening, n) is not None)


def _stands(place: _Place, opening: int, count: int) -> _Laid | None:
    """The rails of so many balusters in an opening; none where something is in their way."""
    asked = opening, count
    if asked not in place.seen:
        place.seen[asked] = _try(place, opening, count)
    return place.seen[asked]


def _try(place: _Place, opening: int, count: int) -> _Laid | None:
    laid = _lay(place, opening, count)
    if laid is None:
        return None
    for level, (cut, left, right) in ((opening, laid.bottom), (opening + place.wider, laid.top)):
        along = level * place.secant
        if (
            along > place.rail.longest_clear + EXACT
            or left < place.least[0]
            or right < place.least[1]
            or max(left, right) > place.rail.greatest_margin
            or not _sphere_stays_out(place, level, cut, max(left, right))
        ):
            return None
    return laid if _from_stock(place, laid, count) else None


def _lay(place: _Place, opening: int, count: int) -> _Laid | None:
    """The longest rail on a mark, its holes in the middle: half a mark more is at the right."""
    clearances = 2 * place.rail.end_clearance
    cut, top_cut = (
        floor((level * place.secant - clearances) / place.step + EXACT) * place.step
        for level in (opening, opening + place.wider)
    )
    pattern = (count - 1) * place.rail.hole_pitch
    spare = cut - pattern
    if spare < 0:
        return None
    below = spare // 2 // place.step * place.step
    left = min((below, below + place.step), key=lambda mark: (abs(spare - 2 * mark), mark))
    top_left = left + place.shifted
    return _Laid(
        bottom=(cut, left, spare - left),
        top=(top_cut, top_left, top_cut - pattern - top_left),
    )


def _sphere_stays_out(place: _Place, level: int, cut: int, margin: int) -> bool:
    """Between two balusters, and beside a post with the rail hard to the other one."""
    rail = place.rail
    between = rail.hole_pitch / place.secant - rail.baluster_width
    far = level - (rail.end_clearance + cut - margin) / place.secant - rail.baluster_width / 2
    return max(between, far) < place.limit - EXACT


def _from_stock(place: _Place, laid: _Laid, count: int) -> bool:
    """Some kit has so many holes in a row, with both ends and their points on sound rail."""
    left, right = (
        max(rail[side] + points[end] for rail, points in zip(
            (laid.bottom, laid.top), place.points, strict=True))
        for side, end in ((1, 0), (2, 1))
    )  # fmt: skip
    for kit in place.rail.kits:
        first = kit.first_hole
        for _ in range(kit.holes - count + 1):
            if first - left >= place.trim:  # the first hole with room before it has the most after
                last = first + (count - 1) * place.rail.hole_pitch
                if last + right <= kit.length - place.trim:
                    return True
                break
            first += place.rail.hole_pitch
    return False
