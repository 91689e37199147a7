"""The cut plan of one job, one crew's day or one night."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import count
from time import monotonic

from schemas.cut_plan import (
    Bar,
    BoundProof,
    CutPlan,
    Piece,
    PlacedPiece,
    PlainPiece,
    PlainStock,
    StockRail,
)
from schemas.lengths import Length
from services.cut_plan.choice import Tail
from services.cut_plan.first_fit import Pattern
from services.cut_plan.lower_bound import SCALE
from services.cut_plan.offcuts import leftovers
from services.cut_plan.optimum import Solved, optimum
from services.cut_plan.plain import plain_cuts
from services.cut_plan.reading import Group, Part, groups
from services.cut_plan.saw_setups import set_ups
from services.cut_plan.stopwatch import Clock


def plan_cuts(
    *,
    pieces: Iterable[Piece],
    stock: Iterable[StockRail],
    plain: Iterable[PlainPiece] = (),
    plain_stock: Iterable[PlainStock] = (),
    kerf: Length,
    keep: Length,
    seconds: float = 20.0,
    clock: Clock = monotonic,
) -> CutPlan:
    """Cut all pieces from stock at the least price, and say how far from the least it may be.

    Least price first; among plans of that price the fewest different bars; among those the
    longest offcut that is long enough to keep. The order in which pieces and
    stock are given plays no part.

    Args:
        pieces: Rails; names differ.
        stock: Kits and offcuts; names differ.
        plain: Sleeves, cores, handrail.
        plain_stock: What they are cut from.
        kerf: Width of the blade's cut. [length, >= 0]
        keep: Shortest offcut that goes back to the rack. [length, > 0]
        seconds: Time for each system, colour and orientation, and for each kind of stick. [s]
        clock: What that time goes by.

    Raises:
        BrokenPlan: Two pieces or two lots of stock have one name.
        GeometryError: A piece contradicts itself.
        NoLayout: A piece fits no stock, or there is not enough of it.
    """
    pieces = tuple(sorted(pieces, key=lambda one: (one.job, one.id)))
    plain = tuple(sorted(plain, key=lambda one: (one.job or "", one.id)))
    plain_stock = tuple(
        sorted(plain_stock, key=lambda one: (one.what, one.made_of, one.key, one.tag or ""))
    )
    stock = tuple(sorted(stock, key=lambda one: one.id))
    found = groups(pieces=pieces, stock=stock, kerf=kerf)
    solved = [
        optimum(
            group.lattice, tail=_tail(group, kerf=kerf, keep=keep), seconds=seconds, clock=clock
        )
        for group in found
    ]
    sticks = plain_cuts(
        pieces=plain, stock=plain_stock, kerf=kerf, keep=keep, seconds=seconds, clock=clock
    )
    numbers = count(1)
    bars = tuple(
        bar
        for group, one in zip(found, solved, strict=True)
        for bar in _bars(group, one.bars, numbers, kerf=kerf, keep=keep)
    )
    return CutPlan(
        pieces=pieces,
        bars=bars,
        plain=sticks.bars,
        plain_pieces=plain,
        set_ups=set_ups(pieces=pieces, bars=bars),
        kerf=kerf,
        cents=sum(one.cents for one in solved),
        bound_cents=sum(one.bound for one in solved),
        method="; ".join(dict.fromkeys(one.how for one in solved)) or "nothing to cut",
        seconds_allowed=seconds,
        first_fit_cents=sum(one.first_fit for one in solved),
        proofs=tuple(_proof(group, one) for group, one in zip(found, solved, strict=True)),
        offered=tuple(one for one in stock if one.kit is None),
        plain_offered=tuple(one for one in plain_stock if one.tag is not None),
        plain_cents=sticks.cents,
        plain_bound_cents=sticks.bound,
        plain_method=sticks.how,
        plain_proofs=sticks.proofs,
    )


def _tail(group: Group, *, kerf: int, keep: int) -> Tail:
    """How long the longest offcut of a pattern is; 0 where none is worth keeping."""

    def tail(pattern: Pattern) -> int:
        stock = group.stock[pattern.stick]
        laid = _laid(group, pattern, [group.parts[name][0] for name in pattern.order])
        kept = leftovers(
            stock=stock,
            laid=tuple((p, start, end) for p, _, start, end in laid),
            kerf=kerf,
            keep=keep,
        )
        return max((offcut.length for offcut in kept), default=0)

    return tail


def _laid(
    group: Group, pattern: Pattern, parts: Sequence[Part]
) -> tuple[tuple[Piece, int, int, int], ...]:
    """Each piece with its first hole from 0, its start and its end on the stock."""
    stock = group.stock[pattern.stick]
    starts = group.lattice.starts(stick=pattern.stick, order=pattern.order)
    assert starts is not None, "a pattern is only made of pieces that fit"
    laid = []
    for first, part in zip(starts, parts, strict=True):
        for piece in part:
            start = stock.first_hole + first * stock.pitch - piece.margin_left
            laid.append((piece, first, start, start + piece.length))
    return tuple(laid)


def _bars(
    group: Group, patterns: Sequence[Pattern], numbers: Iterable[int], *, kerf: int, keep: int
) -> Iterable[Bar]:
    """Bars in the order of the cut list: by stock, then like beside like."""
    left = [iter(parts) for parts in group.parts]
    ordered = sorted(patterns)
    for pattern, number in zip(ordered, numbers, strict=False):
        parts = [next(left[name]) for name in pattern.order]
        yield _bar(group, pattern, parts, number, kerf=kerf, keep=keep)


def _bar(
    group: Group, pattern: Pattern, parts: Sequence[Part], number: int, *, kerf: int, keep: int
) -> Bar:
    stock = group.stock[pattern.stick]
    laid = _laid(group, pattern, parts)
    offcuts = leftovers(
        stock=stock,
        laid=tuple((piece, start, end) for piece, _, start, end in laid),
        kerf=kerf,
        keep=keep,
    )
    kept = sum(offcut.length for offcut in offcuts)
    waste = {
        rail: stock.length
        - kept
        - sum(piece.length for piece, *_ in laid if piece.rails in ("pair", rail))
        for rail in ("top", "bottom")
    }
    return Bar(
        number=number,
        stock=stock,
        pieces=tuple(
            PlacedPiece(piece=piece.id, first_hole=first + 1, start=start, end=end)
            for piece, first, start, end in laid
        ),
        waste=waste["top"],
        offcuts=offcuts,
        waste_bottom=None if waste["top"] == waste["bottom"] else waste["bottom"],
    )


def _proof(group: Group, solved: Solved) -> BoundProof:
    orientation, system, colour, cut_in = group.key
    return BoundProof(
        orientation="level" if orientation == "level" else "stair",
        system=system,
        colour=colour,
        cut_in="shop" if cut_in == "shop" else "site",
        scale=SCALE,
        worth=tuple(
            (parts[0][0].id, worth)
            for parts, worth in zip(group.parts, solved.worth.each, strict=True)
        ),
        cents=solved.worth.cents,
    )
