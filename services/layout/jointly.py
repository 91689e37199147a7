"""All level bays of a job together: where one stretch's bays make the whole stock cheaper.

Rails of different legs are cut from the same stock, so a stretch is priced with all others as
they stand; one after the other, each once. Where a job has too many rails for that, each
stretch is priced by itself, and the whole is only kept where its proven price is lower.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from services.layout.asks import Opening
from services.layout.cheaper import Stock, for_less, openings
from services.layout.given import Site
from services.layout.rooms import opening_between
from services.layout.set_posts import PartedLeg
from services.layout.stands import LegStands

MOST_PRICED = 200
"""Rails that are priced at most for a job, all layouts together; it bounds the time."""
FEW = 5
"""Rails of a stretch by itself, about."""


def share_stock(
    site: Site, legs: Sequence[LegStands | PartedLeg]
) -> tuple[LegStands | PartedLeg, ...]:
    """Move posts where that makes the stock of all level bays cheaper.

    Args:
        site: For what may be asked about stock; nothing moves where it may not.
        legs: Every leg of the job, each at its nearest legal places.
    """
    bill = site.asks.stock_bill
    if bill is None:
        return tuple(legs)
    rail = site.job.system.level
    stock = Stock(
        bill=bill,
        lengths=tuple(kit.length for kit in rail.kits),
        clearance=rail.end_clearance,
        kerf=site.job.company.saw_kerf,
    )
    everything = tuple(one for leg in legs for one in _openings(leg, site))
    if bill(everything, proven=False) is not None:
        return _shared(site, legs, stock=stock, most=MOST_PRICED // max(1, len(everything)))
    apart = _shared(site, legs, stock=stock, most=MOST_PRICED // FEW, together=False)
    before = bill(everything, proven=True)
    after = bill(tuple(one for leg in apart for one in _openings(leg, site)), proven=True)
    return apart if before and after and after.cents < before.cents else tuple(legs)


def _shared(
    site: Site,
    legs: Sequence[LegStands | PartedLeg],
    *,
    stock: Stock,
    most: int,
    together: bool = True,
) -> tuple[LegStands | PartedLeg, ...]:
    """Every stretch in turn, priced with all others as they stand, or by itself."""
    now = list(legs)
    left = most
    for number, leg in enumerate(now):
        for at, part in enumerate(leg.parts if isinstance(leg, PartedLeg) else ()):
            here = now[number]
            assert isinstance(here, PartedLeg)
            if part.placed is None or part.placed.bays == 1 or left < 1:
                continue
            kept = replace(here, parts=(*here.parts[:at], *here.parts[at + 1 :]))
            rest = (*now[:number], kept, *now[number + 1 :]) if together else ()
            others = tuple(one for leg in rest for one in _openings(leg, site))
            placed, priced = for_less(part.room, part.placed, others=others, stock=stock, most=left)
            left -= priced
            if placed is not part.placed:
                better = replace(part, placed=placed)
                now[number] = replace(here, parts=(*here.parts[:at], better, *here.parts[at + 1 :]))
    return tuple(now)


def _openings(leg: LegStands | PartedLeg, site: Site) -> Iterator[Opening]:
    """The level bays of a leg as they stand."""
    if isinstance(leg, PartedLeg):
        for part in leg.parts:
            if part.placed is not None:
                yield from openings(part.room, part.placed.centres)
        return
    for gap, (a, b) in zip(leg.gaps, pairwise(leg.stands), strict=True):
        if gap.kind == "level":
            there = opening_between(gap.clear, a.after, b.before, step=site.job.step)
            yield replace(there, top_more=gap.clear_top - gap.clear)
