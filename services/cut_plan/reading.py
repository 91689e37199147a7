"""Pieces and stock sorted into lattices: one for each system, colour and orientation."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from schemas.cut_plan import Piece, StockRail
from schemas.errors import BrokenPlan, GeometryError
from services.cut_plan.lattice import (
    Kind,
    Lattice,
    PairEnd,
    Stick,
    check_piece,
    first_place,
    joint,
    last_place,
    pair_end,
)
from services.cut_plan.stock import no_stock

Part = tuple[Piece, ...]
"""What is cut together: a pair, or the top and the bottom rail of a bay of two rail lengths."""
GroupKey = tuple[str, str, str, str]
"""Orientation, system, colour, and where it is cut; what is cut ahead has bars of its own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Pieces and stock that can be cut from one another."""

    key: GroupKey
    stock: tuple[StockRail, ...]
    """In the order of the lattice's sticks."""
    parts: tuple[tuple[Part, ...], ...]
    """For each of the lattice's kinds, its parts by job and name."""
    lattice: Lattice


def groups(*, pieces: Iterable[Piece], stock: Iterable[StockRail], kerf: int) -> tuple[Group, ...]:
    """Sort pieces and stock; the order in which they came plays no part.

    Raises:
        BrokenPlan: Two pieces or two lots of stock have one name.
        GeometryError: A piece contradicts itself, or stock of one kind has two pitches.
        NoLayout: A piece fits no stock.
    """
    pieces = sorted(pieces, key=lambda one: (one.job, one.id))
    stock = sorted(stock, key=_stock_order)
    _names_differ([piece.id for piece in pieces])
    _names_differ([f"{one.orientation} {one.system} {one.colour} {one.id}" for one in stock])
    keys = sorted({_key(one) for one in pieces})
    return tuple(
        _group(
            key,
            [one for one in pieces if _key(one) == key],
            [one for one in stock if _is_for(one, key, keys)],
            kerf=kerf,
        )
        for key in keys
    )


def _key(piece: Piece) -> GroupKey:
    return (piece.orientation, piece.system, piece.colour, piece.cut_in)


def _is_for(stock: StockRail, key: GroupKey, keys: Sequence[GroupKey]) -> bool:
    """Stock of the group's kind; what there is little of goes to one group only, the shop first."""
    same = (stock.orientation, stock.system, stock.colour) == key[:3]
    ahead = (*key[:3], "shop")
    return same and (stock.supply is None or key == ahead or ahead not in keys)


def _stock_order(one: StockRail) -> tuple[str, str, str, bool, int, str]:
    """Kits before offcuts, long before short."""
    return (one.orientation, one.system, one.colour, one.supply is not None, -one.length, one.id)


def _names_differ(names: list[str]) -> None:
    if twice := sorted(name for name, count in Counter(names).items() if count > 1):
        msg = f"one name for two things to cut: {', '.join(twice[:5])}"
        raise BrokenPlan(msg)


def _group(key: GroupKey, pieces: list[Piece], stock: list[StockRail], *, kerf: int) -> Group:
    if not stock:
        raise no_stock(pieces[0], stock)
    pitches = {one.pitch for one in stock}
    if len(pitches) != 1:
        msg = f"stock of {' '.join(key)} has several pitches: {sorted(pitches)}"
        raise GeometryError(msg)
    pitch = pitches.pop()
    for piece in pieces:
        check_piece(piece, pitch=pitch)
    kinds: dict[tuple[int, int, PairEnd, PairEnd], list[Part]] = {}
    for part in _parts(pieces):
        left, right = pair_end(part, "left"), pair_end(part, "right")
        longest = max(piece.length for piece in part)
        kinds.setdefault((-part[0].holes, -longest, left, right), []).append(part)
    ordered = sorted(kinds.items())
    lattice = _lattice(
        [(k[0], len(parts)) for k, parts in ordered],
        [k for k, _ in ordered],
        stock,
        kerf=kerf,
        pitch=pitch,
        plumb=key[0] == "stair",
    )
    _every_kind_fits(lattice, [parts for _, parts in ordered], stock)
    return Group(
        key=key,
        stock=tuple(stock),
        parts=tuple(tuple(parts) for _, parts in ordered),
        lattice=lattice,
    )


def _parts(pieces: list[Piece]) -> list[Part]:
    """Pairs by themselves; a bay's top and bottom rail together where their holes agree."""
    parts: dict[tuple[str, ...], list[Piece]] = {}
    for piece in pieces:
        key = (piece.job, piece.bay) if piece.rails != "pair" else (piece.job, piece.bay, piece.id)
        parts.setdefault(key, []).append(piece)
    for part in parts.values():
        if len({piece.rails for piece in part}) < len(part) or len({p.holes for p in part}) > 1:
            msg = f"bay {part[0].bay} of {part[0].job}: its rails do not make a pair"
            raise GeometryError(msg)
    return [tuple(sorted(part, key=lambda one: one.rails, reverse=True)) for part in parts.values()]


def _lattice(
    counts: list[tuple[int, int]],
    kinds: list[tuple[int, int, PairEnd, PairEnd]],
    stock: list[StockRail],
    *,
    kerf: int,
    pitch: int,
    plumb: bool,
) -> Lattice:
    lefts = sorted({kind[2] for kind in kinds})
    rights = sorted({kind[3] for kind in kinds})
    return Lattice(
        kinds=tuple(
            Kind(
                holes=-kind[0],
                left=lefts.index(kind[2]),
                right=rights.index(kind[3]),
                wanted=wanted,
            )
            for kind, (_, wanted) in zip(kinds, counts, strict=True)
        ),
        sticks=tuple(
            Stick(
                holes=one.holes,
                first=tuple(first_place(stock=one, left=left) for left in lefts),
                last=tuple(last_place(stock=one, right=right) for right in rights),
                price=one.net_cents,
                supply=one.supply,
            )
            for one in stock
        ),
        joint=tuple(
            tuple(
                joint(right=right, left=left, kerf=kerf, pitch=pitch, plumb=plumb) for left in lefts
            )
            for right in rights
        ),
    )


def _every_kind_fits(lattice: Lattice, parts: list[list[Part]], stock: list[StockRail]) -> None:
    for name, members in enumerate(parts):
        if all(
            lattice.starts(stick=stick, order=(name,)) is None
            for stick in range(len(lattice.sticks))
        ):
            raise no_stock(members[0][0], stock)
