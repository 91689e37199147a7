"""Parts by rule: what the company's file or a rail system's sheet says goes along."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from schemas.bays import Bays, LevelBay, StairBay
from schemas.cut_plan import CutPlan
from schemas.job import Job
from schemas.layout import Layout, Post
from schemas.lengths import FOOT
from schemas.part_rule import PartRule, Per
from schemas.site import Side
from schemas.wording import say
from services.takeoff.counted import Count
from services.wording.terms import term

_JOB = (term("job"),)


def parts_by_rule(*, job: Job, layout: Layout, bays: Bays, cuts: CutPlan) -> Iterator[Count]:
    """Count every rule that fits the job: the company's, then its systems' own."""
    places = _places(job, layout, bays, cuts)
    for rule in rules_of(job):
        if applies(rule, job, layout):
            where = _over(rule, bays) if rule.over else places[rule.per]
            if rule.mounts and rule.per in {"post", "post-to-set"}:
                fixed = {post.name for post in layout.posts if _stands_so(rule, job, post)}
                where = tuple(name for name in where if name in fixed)
            lots = _lots(rule, job, layout) if rule.every else ceil(len(where) / rule.each)
            if lots:
                yield _count(rule, lots, where)


def rules_of(job: Job) -> tuple[PartRule, ...]:
    """The company's rules and those of the job's systems; one that both systems have, once."""
    own = job.system.parts
    stair = job.stair_system.parts if job.stairs else ()
    return (*job.company.extras, *own, *(rule for rule in stair if rule not in own))


def applies(rule: PartRule, job: Job, layout: Layout) -> bool:
    """Whether a rule is for this job: sold with it, a post fixed so."""
    sold = rule.sold_as is None or rule.sold_as in job.extras
    return sold and (not rule.mounts or any(_stands_so(rule, job, post) for post in layout.posts))


def _stands_so(rule: PartRule, job: Job, post: Post) -> bool:
    detail = job.fixing_of(post)
    return detail is not None and detail.mount in rule.mounts


def _count(rule: PartRule, lots: int, where: tuple[str, ...]) -> Count:
    what, lots_of = term(rule.per), {"count": rule.count, "lots": lots}
    why = (
        say("{count} to {each}, by the {what}, x {lots}", each=rule.each, what=what, **lots_of)
        if rule.each > 1
        else say("{count} for each {what} x {lots}", what=what, **lots_of)
    )
    return Count(
        group=rule.group,
        key=rule.key,
        needed=rule.count * lots,
        why=why,
        places=tuple(dict.fromkeys(where)),
        spare=rule.spare,
        a_set=rule.count,
    )


def _lots(rule: PartRule, job: Job, layout: Layout) -> int:
    assert rule.every is not None
    edge = sum(leg.length for leg in layout.legs)
    length = edge if rule.per == "open-edge" else ceil(job.remove_feet * FOOT)
    return ceil(length / rule.every)


def _over(rule: PartRule, bays: Bays) -> tuple[str, ...]:
    among = bays.level if rule.per == "level-bay" else bays.stair
    return tuple(bay.name for bay in among if bay.clear > rule.over)


def _places(job: Job, layout: Layout, bays: Bays, cuts: CutPlan) -> dict[Per, tuple[str, ...]]:
    """For each thing that can be counted by, the names of all there are."""
    rails = [bay for bay in layout.bays if bay.kind in {"level", "stair"}]
    both: tuple[LevelBay | StairBay, ...] = (*bays.level, *bays.stair)
    return {
        "job": _JOB,
        "post": tuple(post.name for post in layout.posts),
        "post-to-set": tuple(post.name for post in layout.posts if not post.in_place),
        "wall-end": tuple(b.name for b in rails for end in (b.left, b.right) if end.post is None),
        "mitred-end": tuple(
            bay.name
            for bay in bays.level
            for deg in (bay.mitre_left_deg, bay.mitre_right_deg)
            if deg
        ),
        "level-bay": tuple(bay.name for bay in bays.level),
        "stair-bay": tuple(bay.name for bay in bays.stair),
        "bracket": tuple(bay.name for bay in both for _ in bay.brackets),
        "foot-block": tuple(bay.name for bay in both for _ in bay.foot_blocks),
        "piece": (*_sawn(cuts), *(name for bar in cuts.plain for name, _, _ in bar.pieces)),
        "stair": tuple(stair.name for stair in job.stairs),
        "handrail": tuple(bay.name for bay in bays.stair if bay.handrail),
        "handrail-landing": tuple(stair for stair, _ in handrail_landings(job)),
        "gate": tuple(gate.name for gate in job.gates),
        "pool-gate": tuple(gate.name for gate in job.gates if gate.pool_barrier),
        "open-edge": tuple(leg.name for leg in layout.legs),
        "leg": tuple(leg.name for leg in layout.legs),
        "in-line-post": _in_line(layout),
        "removed": _JOB,
    }


def _sawn(cuts: CutPlan) -> Iterator[str]:
    """Bays of the rails to saw: a pair is two."""
    for piece in cuts.pieces:
        yield from (piece.bay,) * (2 if piece.rails == "pair" else 1)


def _in_line(layout: Layout) -> tuple[str, ...]:
    """Posts with a level bay of the same leg on either side."""
    level = [bay for bay in layout.bays if bay.kind == "level"]
    before = {(bay.leg, bay.right.post) for bay in level}
    return tuple(
        bay.left.post for bay in level if bay.left.post and (bay.leg, bay.left.post) in before
    )


def handrail_landings(job: Job) -> tuple[tuple[str, Side], ...]:
    """Flights below a landing from which a handrail of the same side goes on up, by side."""
    above = {stair.name: stair for stair in job.stairs}
    return tuple(
        (stair.name, side)
        for stair in job.stairs
        if stair.from_landing and stair.from_landing.stair in above
        for side in stair.handrail
        if side in above[stair.from_landing.stair].handrail
    )
