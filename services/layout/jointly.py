"""All level bays of a job together: where one stretch's bays make the whole stock cheaper.

Rails of different legs are cut from the same stock, so a stretch is priced with all others as
they stand; one after the other, each once. Where a job has too many rails for that, each
stretch is priced by itself, and the whole is only kept where its proven price is lower. At the
end all layouts priced are put together into one question: which choice of one a stretch takes
the least stock, and how little could any take.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from schemas.layout import LaidStock
from services.layout.asks import Opening
from services.layout.cheaper import Stock, bears, for_less, openings
from services.layout.given import Site
from services.layout.rooms import Placed, opening_between
from services.layout.set_posts import PartedLeg
from services.layout.stands import LegStands

MOST_PRICED = 200
"""Rails that are priced at most for a job, all layouts together; it bounds the time."""
FEW = 5
"""Rails of a stretch by itself, about."""

Legs = tuple[LegStands | PartedLeg, ...]
Place = tuple[int, int]
"""A stretch: number of its leg, number of its part."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    """Legs with their posts, and for each stretch every layout that was priced."""

    legs: Legs
    tried: dict[Place, list[Placed]]


def share_stock(site: Site, legs: Sequence[LegStands | PartedLeg]) -> tuple[Legs, LaidStock | None]:
    """Move posts where that makes the stock of all level bays cheaper.

    Args:
        site: For what may be asked about stock; nothing moves where it may not.
        legs: Every leg of the job, each at its nearest legal places.

    Returns:
        The legs, and what their rails take against the least that any layout tried would.
    """
    bill = site.asks.stock_bill
    everything = _all(legs, site)
    if bill is None or not everything:
        return tuple(legs), None
    rail = site.job.system.level
    stock = Stock(
        bill=bill,
        lengths=tuple(kit.length for kit in rail.kits),
        clearance=rail.end_clearance,
        kerf=site.job.company.saw_kerf,
    )
    if bill(everything, proven=False) is not None:
        found = _shared(site, legs, stock=stock, most=MOST_PRICED // max(1, len(everything)))
    else:
        found = _shared(site, legs, stock=stock, most=MOST_PRICED // FEW, together=False)
        before = bill(everything, proven=True)
        after = bill(_all(found.legs, site), proven=True)
        if not (before and after and after.cents < before.cents):
            found = replace(found, legs=tuple(legs))
    return _bounded(site, tuple(legs), found, stock=stock)


def _shared(
    site: Site,
    legs: Sequence[LegStands | PartedLeg],
    *,
    stock: Stock,
    most: int,
    together: bool = True,
) -> _Found:
    """Every stretch in turn, priced with all others as they stand, or by itself."""
    now = list(legs)
    left = most
    tried: dict[Place, list[Placed]] = {}
    for number, leg in enumerate(now):
        for at, part in enumerate(leg.parts if isinstance(leg, PartedLeg) else ()):
            here = now[number]
            assert isinstance(here, PartedLeg)
            if part.placed is None or part.placed.bays == 1 or left < 1:
                continue
            kept = replace(here, parts=(*here.parts[:at], *here.parts[at + 1 :]))
            rest = (*now[:number], kept, *now[number + 1 :]) if together else ()
            others = _all(rest, site)
            placed, priced = for_less(part.room, part.placed, others=others, stock=stock, most=left)
            left -= len(priced)
            tried[number, at] = [part.placed, *priced]
            if placed is not part.placed:
                now[number] = _with(here, at, placed)
    return _Found(legs=tuple(now), tried=tried)


def _with(leg: PartedLeg, at: int, placed: Placed) -> PartedLeg:
    """The leg with one stretch's posts at other places."""
    better = replace(leg.parts[at], placed=placed)
    return replace(leg, parts=(*leg.parts[:at], better, *leg.parts[at + 1 :]))


def _bounded(
    site: Site, before: Legs, found: _Found, *, stock: Stock
) -> tuple[Legs, LaidStock | None]:
    """The cheapest choice among all layouts priced, if it bears set posts; and the bound.

    With one layout a stretch there is nothing to choose, and its proven price is the bound.
    """
    now = stock.bill(_all(found.legs, site), proven=True)
    if now is None or site.asks.least_stock is None:
        return found.legs, None
    several = {place: some for place, some in found.tried.items() if len(some) > 1}
    legs, cents = found.legs, now.cents
    least = site.asks.least_stock(
        _all(_without(before, several), site),
        tuple(tuple(_of(before, place, one) for one in some) for place, some in several.items()),
    )
    if least is None:
        return legs, None
    if least.cents is not None and least.cents < cents:
        numbered = zip(several.items(), least.chosen, strict=True)
        chosen = {place: some[n] for (place, some), n in numbered}
        other = _chosen(site, before, chosen, stock=stock)
        if other is not None:
            legs, cents = other
    return legs, LaidStock(
        cents=cents,
        bound_cents=min(cents, least.bound),
        layouts=sum(len(some) for some in several.values()) or 1,
    )


def _of(legs: Legs, place: Place, placed: Placed) -> tuple[Opening, ...]:
    leg = legs[place[0]]
    assert isinstance(leg, PartedLeg)
    return openings(leg.parts[place[1]].room, placed.centres)


def _without(legs: Legs, places: dict[Place, list[Placed]]) -> Legs:
    """The legs without the stretches that have several layouts."""
    return tuple(
        replace(
            leg,
            parts=tuple(part for at, part in enumerate(leg.parts) if (number, at) not in places),
        )
        if isinstance(leg, PartedLeg)
        else leg
        for number, leg in enumerate(legs)
    )


def _chosen(
    site: Site, before: Legs, chosen: dict[Place, Placed], *, stock: Stock
) -> tuple[Legs, int] | None:
    """The legs with those layouts; none where their price hangs on posts set to a hair."""
    bills = stock.bill(_all(before, site), proven=True), None
    legs = list(before)
    for (number, at), placed in chosen.items():
        leg = legs[number]
        assert isinstance(leg, PartedLeg)
        legs[number] = _with(leg, at, placed)
    after = stock.bill(_all(legs, site), proven=True)
    if bills[0] is None or after is None:
        return None
    for number, at in chosen:
        leg = legs[number]
        assert isinstance(leg, PartedLeg)
        part = leg.parts[at]
        assert part.placed is not None
        others = _all(_without(tuple(legs), {(number, at): []}), site)
        if not bears(part.room, part.placed.centres, after, others=others, bill_of=stock.bill):
            return None
        if part.placed.centres != _placed(before, (number, at)).centres:
            legs[number] = _with(leg, at, replace(part.placed, stock=(bills[0], after)))
    return tuple(legs), after.cents


def _placed(legs: Legs, place: Place) -> Placed:
    leg = legs[place[0]]
    assert isinstance(leg, PartedLeg)
    placed = leg.parts[place[1]].placed
    assert placed is not None
    return placed


def _all(legs: Sequence[LegStands | PartedLeg], site: Site) -> tuple[Opening, ...]:
    """Every level bay of the legs as they stand."""
    return tuple(one for leg in legs for one in _openings(leg, site))


def _openings(leg: LegStands | PartedLeg, site: Site) -> Iterator[Opening]:
    """The level bays of a leg as they stand."""
    if isinstance(leg, PartedLeg):
        for part in leg.parts:
            if part.placed is not None:
                yield from openings(part.room, part.placed.centres)
        return
    for gap, (a, b) in zip(leg.gaps, pairwise(leg.stands), strict=True):
        if gap.kind == "level":
            wider = gap.clear_top - gap.clear
            yield opening_between(gap.clear, a.after, b.before, step=site.job.step, wider=wider)
