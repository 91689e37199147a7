"""What a shop cutting changes of the order: other kits and sticks, what boxes lack or save.

A job whose rails come ready cut leaves its own kits in the yard; the shop opens others. Their
boxes must fill the jobs' bags with what the own kits would have brought: what they lack is
bought loose.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from schemas.rail_system import Kit, RailSystem, RoutedRail
from schemas.shop import ShopPlan

Part = tuple[str, str | None]
"""Stock key, and colour and height as ordered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sold:
    """A kit with the rails and the system that it belongs to."""

    system: RailSystem
    rail: RoutedRail
    kit: Kit


def shop_changes(
    shop: ShopPlan, *, variants: Mapping[tuple[str, str], str | None], systems: Iterable[RailSystem]
) -> Counter[Part]:
    """Pieces more, or fewer, of each part than the load-outs of the shop's jobs say.

    Args:
        shop: One cutting.
        variants: Colour and height of a job's own stock, by job and key. [(job, key)]
        systems: The company's rail systems.
    """
    sold = {one.kit.key: one for system in systems for one in _kits(system)}
    colours = {piece.job: piece.colour for piece in shop.cuts.pieces}
    kits: Counter[Part] = Counter()
    lacks: Counter[Part] = Counter()
    heights: dict[tuple[str, RoutedRail], str | None] = {}
    for job in shop.jobs:
        for key, count in job.comes.kits:
            variant = variants.get((job.job, key))
            if key not in sold:
                kits[key, variant] -= count
                continue
            heights[job.job, sold[key].rail] = variant
            kits[key, variant] -= count
            for part, boxed in _box(sold[key], variant, colours.get(job.job)):
                lacks[part] += count * boxed
    for bar in shop.cuts.bars:
        if bar.stock.kit is not None:
            one = sold[bar.stock.kit]
            first = shop.cuts.piece(bar.pieces[0].piece).job
            variant = heights.get((first, one.rail), bar.stock.colour)
            kits[bar.stock.kit, variant] += 1
            for part, boxed in _box(one, variant, bar.stock.colour):
                lacks[part] -= boxed
    for stick in shop.cuts.plain:
        if stick.tag is None:
            colour = stick.made_of.rpartition(" ")[2] if stick.what == "sleeve" else None
            kits[stick.stock, colour] += 1
    kits.update(+lacks)
    return Counter({part: count for part, count in kits.items() if count})


def _kits(system: RailSystem) -> Iterator[_Sold]:
    for rail in filter(None, (system.level, system.stair)):
        for kit in rail.kits:
            yield _Sold(system=system, rail=rail, kit=kit)


def _box(one: _Sold, variant: str | None, colour: str | None) -> Iterator[tuple[Part, int]]:
    """What is boxed with a kit."""
    yield (one.rail.baluster_key, variant), one.kit.balusters
    yield (one.rail.bracket.key, colour), one.kit.brackets
    yield (one.system.foot_block.key, colour), one.kit.foot_blocks
