"""What the load must hold, counted a second time: by posts, bays and the measure.

Nothing of the takeoff is used. Posts are counted on the layout, brackets by bays, balusters
by their marks, walls by the names of bays, handrails by the measure.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from schemas.lengths import FOOT
from schemas.part_rule import PartRule, SpareKind
from schemas.plan import Plan
from schemas.rail_system import Bracket, RailSystem, RoutedRail, SectionHeight
from services.recheck.posts import fixings

Part = tuple[str, str | None]
"""Stock key, and colour and height as ordered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A part that the plan takes."""

    part: Part
    count: int
    spare: SpareKind | None = None
    spared_by: int | None = None
    """What its spare rule goes by; none: the count."""
    a_set: int = 0


def wanted(plan: Plan) -> Iterator[Wanted]:
    """Every part that the plan takes, whether it comes boxed or loose."""
    yield from _dressing(plan)
    yield from _level(plan)
    yield from _stair(plan)
    yield from _kits(plan)
    yield from _sticks(plan)
    yield from _by_rule(plan)


def brought(plan: Plan) -> Counter[Part]:
    """What comes in the kits' boxes."""
    boxed: Counter[Part] = Counter()
    for rail, system, height in _rails(plan):
        kits = {kit.key: kit for kit in rail.kits}
        for bar in plan.cuts.bars:
            kit = kits.get(bar.stock.kit or "")
            if kit:
                boxed[rail.baluster_key, _sold(plan, height)] += kit.balusters
                boxed[rail.bracket.key, plan.job.colour] += kit.brackets
                boxed[system.foot_block.key, plan.job.colour] += kit.foot_blocks
    return boxed


def _rails(plan: Plan) -> Iterator[tuple[RoutedRail, RailSystem, SectionHeight | None]]:
    yield plan.job.system.level, plan.job.system, plan.job.level_height
    stair = plan.job.stair_system.stair
    if stair and plan.bays.stair:
        yield stair, plan.job.stair_system, plan.job.stair_height


def _sold(plan: Plan, height: SectionHeight | None) -> str:
    return f"{plan.job.colour}, height {height.name}" if height else plan.job.colour


def _dressing(plan: Plan) -> Iterator[Wanted]:
    set_new = sum(not post.in_place for post in plan.layout.posts)
    if not set_new:
        return
    system, colour = plan.job.system, plan.job.colour
    yield Wanted(part=(system.sleeve.skirt_key, colour), count=set_new, spare="skirt")
    yield Wanted(part=(system.sleeve.cap_key, colour), count=set_new, spare="cap")
    cartridges = -(-set_new // system.adhesive_caps)
    yield Wanted(part=(system.adhesive_key, None), count=cartridges, spare="adhesive")
    for detail in fixings(plan).values():
        if detail is None:
            continue
        kind: SpareKind = "anchor" if detail.mount == "concrete" else "fixing"
        for key, each in detail.parts:
            yield Wanted(part=(key, None), count=each, spare=kind, a_set=each)


def _level(plan: Plan) -> Iterator[Wanted]:
    rail = plan.job.system.level
    high = _sold(plan, plan.job.level_height)
    for bay in plan.bays.level:
        for mitre in (bay.mitre_left_deg, bay.mitre_right_deg):
            is_plain = mitre <= rail.bracket.greatest_deg
            bracket = rail.bracket if is_plain else rail.angle_bracket or rail.bracket
            yield from _at_one_end(plan, bracket)
        yield Wanted(part=(rail.baluster_key, high), count=len(bay.marks), spare="baluster")
        yield _blocks(plan, plan.job.system, len(bay.foot_blocks))


def _stair(plan: Plan) -> Iterator[Wanted]:
    system = plan.job.stair_system
    if system.stair is None:
        return
    high = _sold(plan, plan.job.stair_height)
    for side in plan.bays.stair:
        for _ in ("lower", "upper"):
            yield from _at_one_end(plan, system.stair.bracket)
        yield Wanted(
            part=(system.stair.baluster_key, high), count=len(side.marks), spare="baluster"
        )
        yield _blocks(plan, system, len(side.foot_blocks))
        if side.handrail and system.handrail:
            rail = system.handrail
            stick = rail.stock - 2 * plan.job.company.end_trim
            joints = -((side.handrail_level - side.handrail) // stick) - 1
            fitting: SpareKind = "handrail-fitting"
            yield Wanted(part=(rail.return_key, None), count=2, spare="handrail")
            yield Wanted(part=(rail.bracket_key, None), count=side.handrail_brackets, spare=fitting)
            if side.handrail_level:
                yield Wanted(part=(rail.elbow_key, None), count=1, spare=fitting)
            yield Wanted(part=(rail.joiner_key, None), count=joints, spare=fitting)


def _blocks(plan: Plan, system: RailSystem, count: int) -> Wanted:
    return Wanted(part=(system.foot_block.key, plan.job.colour), count=count, spare="foot-block")


def _at_one_end(plan: Plan, bracket: Bracket) -> Iterator[Wanted]:
    """A bracket for the top rail and one for the bottom rail, with their screws."""
    yield Wanted(part=(bracket.key, plan.job.colour), count=2, spare="bracket")
    for key, each in (
        (bracket.post_screw, bracket.post_screws),
        (bracket.rail_screw, bracket.rail_screws),
    ):
        yield Wanted(part=(key, None), count=2 * each, spare="screw")


def _kits(plan: Plan) -> Iterator[Wanted]:
    """Kits by the cut list; the longest level one carries the spare."""
    job = plan.job
    level = [b.stock for b in plan.cuts.bars if b.stock.kit and b.stock.orientation == "level"]
    spared = max(level, key=lambda s: (s.length, s.kit or "")).kit if level else None
    kind: SpareKind = "kit-special" if job.colour in job.system.special_order else "kit"
    sections = sum(bay.kind == "level" for bay in plan.layout.bays)
    for bar in plan.cuts.bars:
        if bar.stock.kit:
            is_level = bar.stock.orientation == "level"
            yield Wanted(
                part=(
                    bar.stock.kit,
                    _sold(plan, job.level_height if is_level else job.stair_height),
                ),
                count=1,
            )
    if spared:
        part = (spared, _sold(plan, job.level_height))
        yield Wanted(part=part, count=0, spare=kind, spared_by=sections)


def _sticks(plan: Plan) -> Iterator[Wanted]:
    for bar in (one for one in plan.cuts.plain if one.tag is None):
        variant = plan.job.colour if bar.what == "sleeve" else None
        yield Wanted(part=(bar.stock, variant), count=1, spare=bar.what)


def _by_rule(plan: Plan) -> Iterator[Wanted]:
    job = plan.job
    rules = [*job.company.extras, *job.system.parts]
    if job.stairs and job.stair_system.key != job.system.key:
        rules += [rule for rule in job.stair_system.parts if rule not in job.system.parts]
    for rule in rules:
        unsold = rule.sold_as is not None and rule.sold_as not in job.extras
        if unsold or (rule.mounts and not _so_mounted(plan, rule)):
            continue
        count = rule.count * _times(plan, rule)
        if count:
            yield Wanted(part=(rule.key, None), count=count, spare=rule.spare, a_set=rule.count)


def _so_mounted(plan: Plan, rule: PartRule) -> int:
    """Posts whose detail stands as the rule says; those that stand go by the legs' detail."""
    new = fixings(plan).values()
    standing = [plan.job.detail for post in plan.layout.posts if post.in_place]
    return sum(d is not None and d.mount in rule.mounts for d in (*new, *standing))


def _in_line(plan: Plan) -> int:
    """Posts at which one level bay ends and the next begins, by the bays' names."""
    ends: Counter[tuple[str, str]] = Counter()
    for bay in plan.bays.level:
        ends.update((bay.leg, end) for end in bay.name.split("-") if end != "W")
    return sum(count > 1 for count in ends.values())


def _times(plan: Plan, rule: PartRule) -> int:
    if rule.every:
        edge = sum(leg.length for leg in plan.layout.legs)
        feet = plan.job.remove_feet
        length = edge if rule.per == "open-edge" else feet * FOOT
        return int(-(-length // rule.every))
    return -(-_how_many(plan, rule) // rule.each)


def _how_many(plan: Plan, rule: PartRule) -> int:
    """How many there are of what a rule counts by."""
    job, laid = plan.job, plan.layout
    if rule.mounts and rule.per == "post":
        return _so_mounted(plan, rule)
    if rule.mounts and rule.per == "post-to-set":
        return sum(d is not None and d.mount in rule.mounts for d in fixings(plan).values())
    level = [bay for bay in laid.bays if bay.kind == "level"]
    stair = [bay for bay in laid.bays if bay.kind == "stair"]
    above = {stair.name: stair for stair in job.stairs}
    return {
        "job": 1,
        "post": len(plan.bays.posts),
        "post-to-set": len(laid.posts) - sum(post.in_place for post in laid.posts),
        "wall-end": sum(bay.name.split("-").count("W") for bay in plan.bays.level),
        "mitred-end": sum(bool(e.mitre_deg) for bay in level for e in (bay.left, bay.right)),
        "level-bay": sum(bay.clear > rule.over for bay in level),
        "stair-bay": sum(bay.clear > rule.over for bay in stair),
        "bracket": 4 * (len(level) + len(stair)),
        "foot-block": sum(len(bay.foot_blocks) for bay in plan.bays.level)
        + sum(len(bay.foot_blocks) for bay in plan.bays.stair),
        "piece": 2 * (len(level) + len(stair)) + sum(len(bar.pieces) for bar in plan.cuts.plain),
        "stair": len(job.stairs),
        "handrail": sum(len({*flight.handrail} & {*flight.rails}) for flight in job.stairs),
        "handrail-landing": sum(
            len({*flight.handrail} & {*above[flight.from_landing.stair].handrail})
            for flight in job.stairs
            if flight.from_landing and flight.from_landing.stair in above
        ),
        "gate": len(job.gates),
        "leg": len(laid.legs),
        "in-line-post": _in_line(plan),
        "pool-gate": sum(gate.pool_barrier is True for gate in job.gates),
    }[rule.per]
