"""Findings gone through with figures taken again: margins, verdicts, the working limit.

Each figure is read off the plan's own places, not off the findings; where a rule speaks of a
thing that is not here, its finding is not judged.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import atan2, ceil, cos, degrees, hypot, sin

from schemas.bays import LevelBay, StairBay
from schemas.code_profile import Measured, Rule
from schemas.compliance import Finding
from schemas.plan import Plan
from schemas.site import Stair
from services.recheck.limits import asks, flight_rise, inches

Span = tuple[float, float]
"""Least and greatest of what was measured. [1/320 mm, or the unit of the rule's number]"""
_SPHERES = {"guard.opening", "guard.stair_opening", "guard.triangle"}
_HEIGHTS = {"guard.height", "guard.stair_height", "guard.stair_height_as_handrail"}


def recheck_figures(plan: Plan) -> Iterator[str]:
    """Every finding on a length whose margin or verdict the plan does not bear out."""
    if plan.job.profile is None:
        for finding in plan.compliance.findings:
            if not _left_open(finding):
                yield f"{finding.place}: judged on {finding.rule}, and no rules are recorded"
        return
    rules = {rule.id: rule for rule in plan.job.profile.rules}
    figures = dict(_figures(plan))
    drops = dict(_drops(plan))
    for finding in plan.compliance.findings:
        rule = rules.get(finding.rule)
        if rule is None:
            if not _left_open(finding):
                yield f"{finding.place}: judged on {finding.rule}, which is no recorded rule"
            continue
        span = figures.get((rule.measures, finding.place))
        for says in _judged(plan, finding, rule, span, drops.get(finding.place)):
            yield f"{finding.place}, {finding.rule}: {says}"


def _left_open(finding: Finding) -> bool:
    """Whether it is left to the authority, as what no recorded rule says must be."""
    judged = finding.outside or not finding.working or finding.margin is not None
    return finding.verdict == "for the authority" and not judged


def _judged(
    plan: Plan, finding: Finding, rule: Rule, span: Span | None, drop: int | None
) -> Iterator[str]:
    """Margin, verdict and working limit, from the figure, from the rule and from the drop."""
    told = rule.limit is not None and not rule.trigger and rule.measures != "stair.open_riser"
    margin = _margin(rule, span) if span and told else None
    printed = finding.margin
    alike = margin is None if printed is None else margin is not None and abs(printed - margin) <= 1
    if not alike:
        shown = ["none" if size is None else inches(size) for size in (margin, printed)]
        yield f"a margin of {shown[0]}, {shown[1]} printed"
        return
    stands = _stands(plan, finding, rule, span)
    inside = 0
    if rule.measures in _SPHERES:
        inside = plan.job.company.sphere_margin
    elif rule.measures in _HEIGHTS:
        inside = plan.job.company.height_margin
    works = stands is not False and (printed is None or printed >= inside)
    if finding.outside is not (stands is False) or finding.working is not works:
        yield "inside or outside its limits otherwise than printed"
    verdict = _verdict(plan, finding, rule, stands=stands, drop=drop)
    if finding.verdict != verdict:
        yield f"{finding.verdict} printed, {verdict} found"


def _stands(plan: Plan, finding: Finding, rule: Rule, span: Span | None) -> bool | None:
    """Whether it is as the rule asks; none where no figure says so."""
    if rule.compare == "as said" or span is None:
        return None
    if rule.trigger:
        named = [one for one in plan.job.stairs if one.name == finding.place]
        planned = rule.measures == "guard.drop" or any(one.handrail for one in named)
        return planned or not _holds(rule, span)
    return _holds(rule, span)


def _holds(rule: Rule, span: Span) -> bool:
    """The worse end of what was measured against the figure; a border counts as it is worded."""
    limit = rule.number if rule.limit is None else rule.limit
    assert limit is not None, rule.id
    if rule.compare == "within":
        return span[0] >= limit and (rule.upper is None or span[1] <= rule.upper)
    if span[0] == limit or span[1] == limit:
        worst = span[0] if rule.compare in {">", ">="} else span[1]
        if worst == limit:
            return rule.compare in {">=", "<="}
    return span[0] > limit if rule.compare in {">", ">="} else span[1] < limit


def _margin(rule: Rule, span: Span) -> float:
    assert rule.limit is not None, rule.id
    if rule.upper is not None:
        return min(span[0] - rule.limit, rule.upper - span[1])
    return rule.limit - span[1] if rule.compare in {"<", "<="} else span[0] - rule.limit


def _verdict(
    plan: Plan, finding: Finding, rule: Rule, *, stands: bool | None, drop: int | None
) -> str:
    """What may be said from here; the first doubt decides, and only a sure rule is met."""
    sure = rule.confidence == "quoted"
    if rule.measures.startswith("load.") or (rule.compare == "as said" and not sure):
        return "for the authority"
    if stands is None or _on_site(plan, finding, rule, drop):
        return "check on site"
    if not sure:
        return "for the authority"
    if stands:
        return "meets"
    of_edge = rule.measures.startswith("guard.") or rule.measures == "stair.open_riser"
    lifted = rule.trigger or (of_edge and drop is not None and not asks(plan, drop))
    return "for the authority" if lifted else "breaks"


def _on_site(plan: Plan, finding: Finding, rule: Rule, drop: int | None) -> bool:
    """Whether risers or a drop have to be looked at before the figure says anything."""
    flights = (s for s in plan.job.stairs if f"{finding.place}-".startswith(f"{s.name}-"))
    if rule.measures == "guard.triangle" and any(s.open_risers is None for s in flights):
        return True
    by_drop = rule.where != "all" and rule.where_drop is not None
    return by_drop and drop is None and rule.unless_tread is None and rule.from_width is None


def _drops(plan: Plan) -> Iterator[tuple[str, int | None]]:
    legs = {leg.name: leg.drop for line in plan.job.lines for leg in line.legs}
    yield from ((bay.name, legs[bay.leg]) for bay in plan.bays.level)
    for stair in plan.job.stairs:
        rise = stair.total_rise or flight_rise(stair)
        yield stair.name, rise
        yield from ((b.name, rise) for b in plan.bays.stair if b.stair == stair.name)


def _figures(plan: Plan) -> Iterator[tuple[tuple[str, str], Span | None]]:
    for line in plan.job.lines:
        for leg in line.legs:
            yield ("guard.drop", f"leg {leg.name}"), None if leg.drop is None else _one(leg.drop)
    for bay in plan.bays.level:
        yield from (((what, bay.name), span) for what, span in _of_level(plan, bay))
    for stair in plan.job.stairs:
        yield from (((what, stair.name), span) for what, span in _of_steps(plan, stair))
    for side in plan.bays.stair:
        stair = next(one for one in plan.job.stairs if one.name == side.stair)
        yield from (((what, side.name), span) for what, span in _of_side(side, stair))


def _of_level(plan: Plan, bay: LevelBay) -> Iterator[tuple[Measured, Span]]:
    ends = max(bay.gap_between, bay.gap_left, bay.gap_right)
    widest = max(ends, ceil(hypot(bay.sweep_low, bay.edge_gap) - 1e-6))
    foothold = bay.sweep_low + plan.job.system.level.bottom_depth
    yield "guard.height", (bay.top, bay.top)
    yield "guard.opening", (widest, widest)
    yield "guard.opening_above", (ends, ends)
    yield "guard.foothold", (foothold, foothold)


def _of_side(side: StairBay, stair: Stair) -> Iterator[tuple[Measured, Span | None]]:
    tops = [nose.top for nose in side.heights]
    heights = (min(tops), max(tops)) if tops else None
    gap = max(side.level_gap, side.gap_lower, side.gap_upper)
    yield "guard.stair_height", heights
    yield "guard.height", heights
    yield "guard.stair_height_as_handrail", heights
    yield "guard.stair_opening", (gap, gap)
    yield "guard.opening", (gap, gap)
    yield "guard.triangle", _through(side, stair)


def _through(side: StairBay, stair: Stair) -> Span | None:
    """The largest sphere on tread and riser under the rail, where it gapes most.

    Its middle is as far from the tread, from the riser behind the nosing and from the rail:
    r = (v - (r - riser)) cos - (r - nosing) sin, solved for r.
    """
    if stair.nosing is None or stair.open_risers:
        return None
    over = max([nose.gap for nose in side.heights] + [side.rail_over_nosing, 0])
    slope = atan2(side.riser, side.tread)
    plumb = (over + side.riser) * cos(slope) + stair.nosing * sin(slope)
    sphere = ceil(2 * plumb / (1 + cos(slope) + sin(slope)) - 1e-6)
    return sphere, sphere


def _of_steps(plan: Plan, stair: Stair) -> Iterator[tuple[Measured, Span | None]]:
    up = stair.each_riser or (stair.riser,)
    rise = stair.total_rise or flight_rise(stair)
    twice = 2 * stair.riser + stair.tread
    wide = stair.clear_width or stair.width
    spread = _one(max(up) - min(up)) if stair.each_riser else None
    beside = [abs(b - a) for a, b in pairwise(stair.each_riser)]
    yield "stair.flight_rise", _one(rise)
    yield "stair.riser", (min(up), max(up))
    yield "stair.riser_spread", spread
    yield "stair.riser_adjacent", _one(max(beside)) if beside else None
    yield "stair.tread", _one(min(stair.each_tread or (stair.tread,)))
    out = stair.each_tread
    yield "stair.tread_spread", _one(max(out) - min(out)) if out else None
    yield "stair.nosing", None if stair.nosing is None else _one(stair.nosing)
    yield "stair.open_riser", _one(0) if stair.open_risers is False else None
    yield "stair.twice_riser_plus_tread", _one(twice)
    yield "stair.clear_width_above", _one(wide)
    yield "stair.pitch", _one(degrees(atan2(stair.riser, stair.tread)))
    yield "handrail.risers", _one(stair.risers)
    yield from _of_handrail(plan, stair, wide)


def _of_handrail(plan: Plan, stair: Stair, wide: int) -> Iterator[tuple[Measured, Span | None]]:
    sold = plan.job.stair_system.handrail or plan.job.system.handrail
    if sold is None or not stair.handrail:
        return
    out = sold.clearance + sold.diameter
    left = wide - len(stair.handrail) * out
    held = next((b for b in plan.bays.stair if b.stair == stair.name and b.handrail), None)
    yield "stair.clear_width_one_rail", _one(left)
    yield "stair.clear_width_two_rails", _one(left)
    height = held.handrail_height if held else None
    yield "handrail.height", None if height is None else _one(height)
    yield "handrail.projection", _one(out)
    yield "handrail.clearance", _one(sold.clearance)
    yield "handrail.diameter", _one(sold.diameter)
    yield "handrail.bracket_apart", _one(sold.bracket_apart)
    yield "handrail.bracket_end", _one(0)
    yield "handrail.extension_top", _one(held.handrail_level if held else 0)
    yield "handrail.sides", _one(len(stair.handrail))
    yield "handrail.extension_bottom", _one(held.handrail_treads if held else 0)


def _one(size: float) -> Span:
    return size, size
