"""Sleeves, cores and handrail: stock without holes, by the same method.

The lattice has a pitch of one step, the greatest length that divides every piece with its
cut; ends are all alike and a joint costs nothing more than the cut that each piece brings.
Both ends of a stick are squared off where the company does so, but for a piece as long as
the stick, which is not cut at all.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from math import gcd
from time import monotonic
from typing import NamedTuple, get_args

from schemas.cut_plan import CutIn, PlainBar, PlainKind, PlainPiece, PlainProof, PlainStock
from schemas.errors import NoLayout
from services.cut_plan.first_fit import Pattern
from services.cut_plan.lattice import Kind, Lattice, Stick
from services.cut_plan.lower_bound import SCALE
from services.cut_plan.optimum import Solved, optimum
from services.cut_plan.stopwatch import Clock


class Lot(NamedTuple):
    """Sticks of one length."""

    length: int
    cents: int
    trim_left: int = 0
    """Squared off its left end before the first cut; 0 where that end is clean."""
    trim_right: int = 0
    """No piece runs into so much of its right end."""
    supply: int | None = None
    """How many there are; none is as many as wanted."""

    @property
    def trim(self) -> int:
        """Both ends together."""
        return self.trim_left + self.trim_right


def plain_lattice(*, wanted: dict[int, int], stock: Sequence[Lot], kerf: int) -> Lattice:
    """Lengths and stock as a lattice whose holes are steps.

    A piece and its cut take so many steps; the last piece on a stock needs no cut behind it,
    so the stock is lengthened by one cut. Stock that is squared stands there once more, whole,
    behind all others, for every piece of just its length: see `uncut`.

    Args:
        wanted: How many of each length, longest first. [length: count]
        stock: What is sold or on the rack.
        kerf: Width of the blade's cut. [length, >= 0]
    """
    step = gcd(*(length + kerf for length in wanted)) or 1
    whole = uncut(wanted=wanted, stock=stock)
    classes = [0, *sorted({stock[at].length for at in whole})]
    of = {length: classes.index(length) if length in classes[1:] else 0 for length in wanted}
    return Lattice(
        kinds=tuple(
            Kind(holes=(length + kerf) // step, left=of[length], right=0, wanted=count)
            for length, count in wanted.items()
        ),
        sticks=(
            *(_stick(lot, step=step, kerf=kerf, ends=len(classes)) for lot in stock),
            *(_whole(stock[at], step=step, kerf=kerf, classes=classes) for at in whole),
        ),
        joint=((1,) * len(classes),),
    )


def uncut(*, wanted: Collection[int], stock: Sequence[Lot]) -> list[int]:
    """Which stock is squared when it is cut, and has a piece wanted that takes it as it comes."""
    return [
        at
        for at, lot in enumerate(stock)
        if lot.trim and lot.length in wanted and lot.supply is None
    ]


def _stick(lot: Lot, *, step: int, kerf: int, ends: int) -> Stick:
    holes = max(0, lot.length - lot.trim + kerf) // step
    return Stick(
        holes=max(1, holes), first=(0,) * ends, last=(holes - 1,), price=lot.cents,
        supply=lot.supply,
    )  # fmt: skip


def _whole(lot: Lot, *, step: int, kerf: int, classes: Sequence[int]) -> Stick:
    """Only a piece of its own length may begin on it, and takes all of it."""
    holes = (lot.length + kerf) // step
    first = tuple(0 if length == lot.length else holes for length in classes)
    return Stick(holes=holes, first=first, last=(holes - 1,), price=lot.cents, supply=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainCuts:
    """Stock without holes, cut."""

    bars: tuple[PlainBar, ...] = ()
    cents: int = 0
    bound: int = 0
    """No plan costs less. [cents]"""
    proofs: tuple[PlainProof, ...] = ()
    how: str = "nothing to cut"
    """How they were found and what the bound rests on."""


def plain_cuts(
    *,
    pieces: Iterable[PlainPiece],
    stock: Iterable[PlainStock],
    kerf: int,
    seconds: float,
    keep: int = 0,
    clock: Clock = monotonic,
) -> PlainCuts:
    """Cut every plain piece from the cheapest stock of its kind.

    Args:
        pieces: What is wanted; names differ.
        stock: What is sold, and what of it hangs on the rack.
        kerf: Width of the blade's cut. [length, >= 0]
        seconds: Time the solver may take for each kind. [s]
        clock: What that time goes by.
        keep: Shortest rest of a stick that goes back to the rack; 0: none does. [length]

    Raises:
        NoLayout: A piece is longer than all stock of its kind.
    """
    pieces = sorted(pieces, key=lambda one: (-one.length, one.id))
    stock = sorted(
        stock, key=lambda one: (one.supply is not None, -one.length, one.key, one.tag or "")
    )
    bars: list[PlainBar] = []
    proofs: list[PlainProof] = []
    bound = 0
    how: dict[str, None] = {}
    keys = sorted({plain_key(piece) for piece in pieces})
    for key in keys:
        mine = [piece for piece in pieces if plain_key(piece) == key]
        sold = [one for one in stock if _is_for(one, key, keys)]
        _each_fits(mine, sold)
        lattice, solved = _solved(mine, sold, kerf=kerf, seconds=seconds, clock=clock)
        made = _bars(mine, sold, solved.bars, kerf=kerf, keep=keep, number=len(bars) + 1)
        bars.extend(bar.model_copy(update={"cut_in": key.cut_in}) for bar in made)
        proofs.append(_proof(key, mine, lattice, solved))
        bound += solved.bound
        how[solved.how] = None
    cents = sum(bar.cents for bar in bars)
    said = "; ".join(how)[:200] or "nothing to cut"
    return PlainCuts(bars=tuple(bars), cents=cents, bound=bound, proofs=tuple(proofs), how=said)


class PlainKey(NamedTuple):
    """Sticks and pieces that go together."""

    order: int
    """Of its kind, as the kinds are listed."""
    what: PlainKind
    made_of: str
    cut_in: CutIn


def plain_key(one: PlainPiece | PlainBar) -> PlainKey:
    """With which others a piece is cut; what is cut ahead has sticks of its own."""
    return PlainKey(get_args(PlainKind).index(one.what), one.what, one.made_of, one.cut_in)


def _is_for(stock: PlainStock, key: PlainKey, keys: Collection[PlainKey]) -> bool:
    """Sticks of the kind; what there is little of goes to one place only, the shop first."""
    ahead = key._replace(cut_in="shop")
    free = stock.supply is None or key == ahead or ahead not in keys
    return (stock.what, stock.made_of) == (key.what, key.made_of) and free


def lots(stock: Iterable[PlainStock]) -> list[Lot]:
    """Plain stock as the lattice has it."""
    return [Lot(one.length, one.cents, one.trim_left, one.trim_right, one.supply) for one in stock]


def gives(stock: PlainStock, length: int) -> bool:
    """Whether a stick gives one piece of that length: cut out of it squared, or whole."""
    return length <= stock.length - stock.trim_left - stock.trim_right or (
        length == stock.length and stock.supply is None
    )


def _each_fits(pieces: Sequence[PlainPiece], stock: Sequence[PlainStock]) -> None:
    for piece in pieces:
        if not any(gives(one, piece.length) for one in stock):
            most = max((one.length - one.trim_left - one.trim_right for one in stock), default=0)
            msg = (
                f"{piece.id} of {piece.length / 320:.1f} mm fits no stock; "
                f"the longest gives {most / 320:.1f} mm"
            )
            raise NoLayout(msg)


def _solved(
    pieces: Sequence[PlainPiece],
    stock: Sequence[PlainStock],
    *,
    kerf: int,
    seconds: float,
    clock: Clock,
) -> tuple[Lattice, Solved]:
    lattice = plain_lattice(
        wanted=dict(Counter(piece.length for piece in pieces)), stock=lots(stock), kerf=kerf
    )
    return lattice, optimum(lattice, tail=None, seconds=seconds, clock=clock)


def _proof(
    key: PlainKey, pieces: Sequence[PlainPiece], lattice: Lattice, solved: Solved
) -> PlainProof:
    lengths = dict.fromkeys(piece.length for piece in pieces)
    assert len(lengths) == len(lattice.kinds)
    return PlainProof(
        what=key.what,
        made_of=key.made_of,
        cut_in=key.cut_in,
        scale=SCALE,
        worth=tuple(zip(lengths, solved.worth.each, strict=True)),
        cents=solved.worth.cents,
    )


def _bars(
    pieces: Sequence[PlainPiece],
    stock: Sequence[PlainStock],
    patterns: Iterable[Pattern],
    *,
    kerf: int,
    keep: int,
    number: int,
) -> Iterable[PlainBar]:
    by_length: dict[int, list[PlainPiece]] = {}
    for piece in pieces:
        by_length.setdefault(piece.length, []).append(piece)
    left = [iter(alike) for alike in by_length.values()]
    whole = uncut(wanted=by_length, stock=lots(stock))
    for at, pattern in enumerate(sorted(patterns), start=number):
        taken = [next(left[n]) for n in pattern.order]
        if pattern.stick < len(stock):
            yield _bar(stock[pattern.stick], taken, number=at, kerf=kerf, keep=keep)
        else:
            yield _bar_uncut(stock[whole[pattern.stick - len(stock)]], taken, number=at)


def _bar(
    stock: PlainStock, pieces: Sequence[PlainPiece], *, number: int, kerf: int, keep: int
) -> PlainBar:
    """The left end squared, then piece by piece; the blade may run half over the far end."""
    placed: list[tuple[str, int, int]] = []
    at = stock.trim_left
    for piece in pieces:
        placed.append((piece.id, at, at + piece.length))
        at += piece.length + kerf
    rest = stock.length - placed[-1][2]
    left = max(0, rest - kerf)
    return PlainBar(
        number=number,
        what=stock.what,
        stock=stock.key,
        length=stock.length,
        pieces=tuple(placed),
        trim=stock.trim_left,
        kerf=kerf * (len(placed) - 1) + rest - left,
        left=left,
        racked=0 < keep <= left,
        trim_right=stock.trim_right,
        made_of=stock.made_of,
        cents=stock.cents,
        tag=stock.tag,
    )


def _bar_uncut(stock: PlainStock, pieces: Sequence[PlainPiece], *, number: int) -> PlainBar:
    (piece,) = pieces
    return PlainBar(
        number=number,
        what=stock.what,
        stock=stock.key,
        length=stock.length,
        pieces=((piece.id, 0, stock.length),),
        left=0,
        trim_right=stock.trim_right,
        made_of=stock.made_of,
        cents=stock.cents,
        tag=stock.tag,
    )
