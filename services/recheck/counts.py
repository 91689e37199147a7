"""Counts taken again: nothing left out between the measure, the plan and the load."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from schemas.plan import Plan
from schemas.rail_system import Bracket, RailSystem, RoutedRail


def recheck_counts(plan: Plan) -> Iterator[str]:
    """Every count that does not agree."""
    measured = {(stair.name, side) for stair in plan.job.stairs for side in stair.rails}
    sides = {(bay.stair, bay.side) for bay in plan.bays.stair}
    if sides != measured:
        yield f"{len(measured)} stair sides measured, {len(sides)} on the plan"
    laid = {bay.name for bay in plan.layout.bays if bay.kind == "stair"}
    if laid != {bay.name for bay in plan.bays.stair}:
        yield f"{len(laid)} stair bays laid out, {len(plan.bays.stair)} built"
    laid = {bay.name for bay in plan.layout.bays if bay.kind == "level"}
    built = {bay.name for bay in plan.bays.level}
    if laid != built:
        yield f"bays laid out but not built: {', '.join(sorted(laid ^ built))}"
    heights = {post.post for post in plan.bays.posts}
    posts = {post.name for post in plan.layout.posts}
    if heights != posts:
        yield f"posts without heights: {', '.join(sorted(posts ^ heights))}"
    legs = [leg.name for line in plan.job.lines for leg in line.legs]
    if legs != [leg.name for leg in plan.layout.legs]:
        yield "legs measured are not the legs on the plan"
    yield from _brackets(plan)
    yield from _load(plan)


def _brackets(plan: Plan) -> Iterator[str]:
    want = Counter((rail, end) for rail in ("top", "bottom") for end in ("left", "right"))
    fits = [(bay.name, bay.brackets) for bay in plan.bays.level]
    fits += [(bay.name, bay.brackets) for bay in plan.bays.stair]
    for name, brackets in fits:
        if Counter((fit.rail, fit.end) for fit in brackets) != want:
            yield f"{name}: {len(brackets)} brackets, not one at each end of each rail"


def _load(plan: Plan) -> Iterator[str]:
    """What is loaded is what the plan takes, less what comes boxed in the kits."""
    loaded = Counter({line.item: line.packages * line.package for line in plan.takeoff.lines})
    needed = Counter({line.item: line.needed for line in plan.takeoff.lines})
    loose = loose_parts(plan)
    for key, count in sorted(loose.items()):
        if loaded[key] < count:
            yield f"{loaded[key]} {key} loaded for {count}"
        elif needed[key] != count:
            yield f"{key}: {needed[key]} counted, {count} wanted"
    for line in plan.takeoff.lines:
        if line.packages * line.package < line.needed + line.spare:
            yield f"{line.item}: {line.packages} packages do not hold {line.needed + line.spare}"
    sleeve = plan.job.system.sleeve
    dress = {sleeve.cap_key, sleeve.skirt_key, *(key for key, _ in sleeve.stock)}
    if all(post.in_place for post in plan.layout.posts) and (extra := sorted(dress & set(loaded))):
        yield f"{', '.join(extra)} loaded, but all posts stand in place"


def loose_parts(plan: Plan) -> Counter[str]:
    """Every part that can be counted on the plan itself and comes loose, by stock key."""
    loose: Counter[str] = Counter()
    for parts in (_post_parts(plan), _level_parts(plan), _stair_parts(plan), _stock(plan)):
        loose.update(parts)
    boxed = _boxed(plan, plan.job.system, plan.job.system.level)
    if plan.job.stair_system.stair:
        boxed += _boxed(plan, plan.job.stair_system, plan.job.stair_system.stair)
    return Counter({key: max(0, count - boxed[key]) for key, count in loose.items()})


def _post_parts(plan: Plan) -> Counter[str]:
    parts: Counter[str] = Counter()
    to_set = sum(not post.in_place for post in plan.layout.posts)
    sleeve = plan.job.system.sleeve
    parts.update({sleeve.cap_key: to_set, sleeve.skirt_key: to_set})
    for key, each in plan.job.detail.parts if plan.job.detail else ():
        parts[key] += each * to_set
    return parts


def _level_parts(plan: Plan) -> Counter[str]:
    parts: Counter[str] = Counter()
    rail = plan.job.system.level
    for bay in plan.bays.level:
        for mitre in (bay.mitre_left_deg, bay.mitre_right_deg):
            is_plain = mitre <= rail.bracket.greatest_deg
            _at_one_end(parts, rail.bracket if is_plain else rail.angle_bracket or rail.bracket)
        parts[rail.baluster_key] += len(bay.marks)
        parts[plan.job.system.foot_block.key] += len(bay.foot_blocks)
    return parts


def _stair_parts(plan: Plan) -> Counter[str]:
    system = plan.job.stair_system
    parts: Counter[str] = Counter()
    if system.stair is None:
        return parts
    for side in plan.bays.stair:
        _at_one_end(parts, system.stair.bracket)
        _at_one_end(parts, system.stair.bracket)
        parts[system.stair.baluster_key] += len(side.marks)
        parts[system.foot_block.key] += len(side.foot_blocks)
        if side.handrail and system.handrail:
            parts[system.handrail.return_key] += 2
            parts[system.handrail.bracket_key] += side.handrail_brackets
    return parts


def _at_one_end(parts: Counter[str], bracket: Bracket) -> None:
    """A bracket for the top rail and one for the bottom rail, with their screws."""
    parts[bracket.key] += 2
    parts[bracket.post_screw] += 2 * bracket.post_screws
    parts[bracket.rail_screw] += 2 * bracket.rail_screws


def _boxed(plan: Plan, system: RailSystem, rail: RoutedRail) -> Counter[str]:
    """What the kits on the cut list bring in their boxes."""
    boxed: Counter[str] = Counter()
    kits = {kit.key: kit for kit in rail.kits}
    for kit in (kits[bar.stock.kit] for bar in plan.cuts.bars if bar.stock.kit in kits):
        boxed[rail.baluster_key] += kit.balusters
        boxed[rail.bracket.key] += kit.brackets
        boxed[system.foot_block.key] += kit.foot_blocks
    return boxed


def _stock(plan: Plan) -> Counter[str]:
    """Kits, and sticks of sleeve, core and handrail, by the cut list."""
    kits = Counter(bar.stock.kit for bar in plan.cuts.bars if bar.stock.kit)
    return kits + Counter(bar.stock for bar in plan.cuts.plain)
