"""Counts: how many of each part the plan needs, with the places that need them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import ceil
from typing import Literal

from schemas.bays import Bays, LevelBay, StairBay
from schemas.company import Spare
from schemas.cut_plan import CutPlan
from schemas.job import Job
from schemas.layout import Layout, Post
from schemas.rail_system import Bracket, Handrail, Kit, RailSystem, RoutedRail
from schemas.takeoff import Group

SpareKind = Literal[
    "baluster", "bracket", "foot-block", "core", "sleeve", "skirt", "cap", "screw", "fixing",
    "handrail", "adhesive",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Count:
    """One counted part, before packages and spares."""

    group: Group
    key: str
    """Stock key."""
    needed: int
    why: str
    places: tuple[str, ...]
    spare: SpareKind | None = None
    """By which of the company's spare rules."""
    boxed: int = 0
    """So many of these come in the kits; what one bay leaves over serves another."""


def count_parts(*, job: Job, layout: Layout, bays: Bays, cuts: CutPlan) -> tuple[Count, ...]:
    """Count every part of a job; equal keys are not yet joined.

    What a rail kit brings in its box stands beside its count, and is taken off when equal keys
    are joined: a level kit's spare foot block serves under a stair.
    """
    to_set = tuple(post for post in layout.posts if not post.in_place)
    return (
        *_posts(job, to_set, cuts),
        *_kits(cuts),
        *_bay_parts(job, bays, cuts),
        *_handrails(job, bays, cuts),
        *_adhesive(job, to_set),
        *_extras(job, layout, to_set),
    )


def _posts(job: Job, to_set: tuple[Post, ...], cuts: CutPlan) -> Iterator[Count]:
    if not to_set:
        return
    names = tuple(post.name for post in to_set)
    yield from _plain(cuts, "core", group="posts", spare="core", why="by the cut list of cores")
    yield from _plain(cuts, "sleeve", group="sleeves", spare="sleeve", why="by the sleeve cut list")
    each = f"1 a post x {len(names)} posts"
    sleeve = job.system.sleeve
    yield Count(
        group="sleeves", key=sleeve.skirt_key, needed=len(names), why=each, places=names,
        spare="skirt",
    )  # fmt: skip
    yield Count(
        group="sleeves", key=sleeve.cap_key, needed=len(names), why=each, places=names, spare="cap"
    )
    for key, count in job.detail.parts if job.detail else ():
        why = (
            f"{count} a post by detail {job.detail.key if job.detail else ''} x {len(names)} posts"
        )
        yield Count(
            group="fixings", key=key, needed=count * len(names), why=why, places=names,
            spare="fixing",
        )  # fmt: skip


def _plain(
    cuts: CutPlan, what: str, *, group: Group, spare: SpareKind, why: str
) -> Iterator[Count]:
    bars = [bar for bar in cuts.plain if bar.what == what]
    for key, count in sorted(Counter(bar.stock for bar in bars).items()):
        places = tuple(piece[0] for bar in bars if bar.stock == key for piece in bar.pieces)
        yield Count(group=group, key=key, needed=count, why=why, places=places, spare=spare)


def _kits(cuts: CutPlan) -> Iterator[Count]:
    bars = [bar for bar in cuts.bars if bar.stock.kit is not None]
    for key, count in sorted(Counter(str(bar.stock.kit) for bar in bars).items()):
        pieces = [p.piece for bar in bars if bar.stock.kit == key for p in bar.pieces]
        places = tuple(dict.fromkeys(cuts.piece(name).bay for name in pieces))
        why = f"{count} by the cut list, for {len(places)} {_bays(len(places))}"
        yield Count(group="rails", key=key, needed=count, why=why, places=places)


def _bays(count: int) -> str:
    return "bay" if count == 1 else "bays"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Boxed:
    """What the kits of one orientation bring along."""

    balusters: int
    brackets: int
    foot_blocks: int


def _boxed(rail: RoutedRail, cuts: CutPlan, orientation: str) -> _Boxed:
    kits: dict[str, Kit] = {kit.key: kit for kit in rail.kits}
    taken = [
        kits[bar.stock.kit]
        for bar in cuts.bars
        if bar.stock.kit in kits and bar.stock.orientation == orientation
    ]
    return _Boxed(
        balusters=sum(kit.balusters for kit in taken),
        brackets=sum(kit.brackets for kit in taken),
        foot_blocks=sum(kit.foot_blocks for kit in taken),
    )


def _bay_parts(job: Job, bays: Bays, cuts: CutPlan) -> Iterator[Count]:
    if bays.level:
        boxed = _boxed(job.system.level, cuts, "level")
        yield from _rail_parts(job.system, job.system.level, bays.level, boxed)
    if bays.stair and job.stair_system.stair:
        boxed = _boxed(job.stair_system.stair, cuts, "stair")
        yield from _rail_parts(job.stair_system, job.stair_system.stair, bays.stair, boxed)


def _rail_parts(
    system: RailSystem,
    rail: RoutedRail,
    bays: tuple[LevelBay, ...] | tuple[StairBay, ...],
    boxed: _Boxed,
) -> Iterator[Count]:
    names = tuple(bay.name for bay in bays)
    balusters = sum(bay.balusters for bay in bays)
    yield _beside_boxed(
        group="rails", key=rail.baluster_key, needed=balusters, boxed=boxed.balusters,
        what="balusters", places=names, spare="baluster",
    )  # fmt: skip
    blocks = sum(len(bay.foot_blocks) for bay in bays)
    yield _beside_boxed(
        group="brackets", key=system.foot_block.key, needed=blocks, boxed=boxed.foot_blocks,
        what="foot blocks", places=tuple(bay.name for bay in bays if bay.foot_blocks),
        spare="foot-block",
    )  # fmt: skip
    for bracket in filter(None, (rail.bracket, rail.angle_bracket)):
        kind = "angle" if bracket is rail.angle_bracket else rail_kind(bays)
        fits = [(bay.name, fit) for bay in bays for fit in bay.brackets if fit.kind == kind]
        if fits:
            places = tuple(dict.fromkeys(name for name, _ in fits))
            in_kits = boxed.brackets if bracket is rail.bracket else 0
            yield _beside_boxed(
                group="brackets", key=bracket.key, needed=len(fits), boxed=in_kits,
                what="brackets", places=places, spare="bracket",
            )  # fmt: skip
            yield from _screws(bracket, len(fits), places)


def rail_kind(bays: Iterable[LevelBay | StairBay]) -> str:
    """Name of the ordinary bracket kind of these bays."""
    return "stair" if any(isinstance(bay, StairBay) for bay in bays) else "line"


def _beside_boxed(
    *, group: Group, key: str, needed: int, boxed: int, what: str, places: tuple[str, ...],
    spare: SpareKind,
) -> Count:  # fmt: skip
    why = f"{needed} {what} in {len(places)} {_bays(len(places))}, {boxed} come in the kits"
    return Count(
        group=group, key=key, needed=needed, why=why, places=places, spare=spare, boxed=boxed
    )


def _screws(bracket: Bracket, count: int, places: tuple[str, ...]) -> Iterator[Count]:
    for key, each, where in (
        (bracket.post_screw, bracket.post_screws, "post"),
        (bracket.rail_screw, bracket.rail_screws, "rail"),
    ):
        if each:
            why = f"{each} into the {where} a bracket x {count} {bracket.key}"
            yield Count(
                group="brackets", key=key, needed=each * count, why=why, places=places,
                spare="screw",
            )  # fmt: skip


def _handrails(job: Job, bays: Bays, cuts: CutPlan) -> Iterator[Count]:
    rail = job.stair_system.handrail
    on = [bay for bay in bays.stair if bay.handrail]
    if rail is None or not on:
        return
    names = tuple(bay.name for bay in on)
    yield from _plain(
        cuts, "handrail", group="handrail", spare="handrail", why="by the handrail cut list"
    )
    for key, needed, why in (
        (rail.bracket_key, sum(bay.handrail_brackets for bay in on), "by length and spacing"),
        (rail.return_key, 2 * len(on), f"2 ends x {len(on)} handrails"),
        (rail.joiner_key, sum(_joints(bay, rail) for bay in on), "1 a joint between sticks"),
    ):
        if needed:
            yield Count(
                group="handrail", key=key, needed=needed, why=why, places=names, spare="handrail"
            )


def _joints(bay: StairBay, rail: Handrail) -> int:
    return ceil((bay.handrail or 0) / rail.stock) - 1


def _adhesive(job: Job, to_set: tuple[Post, ...]) -> Iterator[Count]:
    if to_set:
        system = job.system
        yield Count(
            group="consumables",
            key=system.adhesive_key,
            needed=ceil(len(to_set) / system.adhesive_caps),
            why=f"1 for each {system.adhesive_caps} caps x {len(to_set)} caps",
            places=tuple(post.name for post in to_set),
            spare="adhesive",
        )


def _extras(job: Job, layout: Layout, to_set: tuple[Post, ...]) -> Iterator[Count]:
    edge = sum(leg.length for leg in layout.legs)
    legs = tuple(leg.name for leg in layout.legs)
    for extra in job.company.extras:
        times, places = {
            "job": (1, ("job",)),
            "post-to-set": (len(to_set), tuple(post.name for post in to_set)),
            "open-edge": (ceil(edge / extra.every) if extra.every else 0, legs),
            "stair": (len(job.stairs), tuple(stair.name for stair in job.stairs)),
        }[extra.per]
        if times:
            why = f"{extra.count} for each {extra.per.replace('-', ' ')} x {times}"
            yield Count(
                group=extra.group, key=extra.key, needed=extra.count * times, why=why, places=places
            )


def spare_for(kind: SpareKind | None, needed: int, rules: Iterable[Spare]) -> int:
    """How many spares go along with so many, by the company's rule for that kind.

    One for each ``one_in``, rounded up, but at least ``least``; none for nothing.
    """
    if kind is None or needed == 0:
        return 0
    rule = next((rule for rule in rules if rule.kind == kind), None)
    return max(ceil(needed / rule.one_in), rule.least) if rule else 0
