"""Sleeves, cores and handrail: stock without holes, by the same method.

The lattice has a pitch of one step, the greatest length that divides every piece with its
cut; ends are all alike and a joint costs nothing more than the cut that each piece brings.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import gcd
from typing import get_args

from schemas.cut_plan import PlainBar, PlainKind, PlainPiece, PlainProof, PlainStock
from schemas.errors import NoLayout
from services.cut_plan.first_fit import Pattern
from services.cut_plan.lattice import Kind, Lattice, Stick
from services.cut_plan.lower_bound import SCALE
from services.cut_plan.optimum import Solved, optimum


def plain_lattice(*, wanted: dict[int, int], stock: list[tuple[int, int]], kerf: int) -> Lattice:
    """Lengths and stock as a lattice whose holes are steps.

    A piece and its cut take so many steps; the last piece on a stock needs no cut behind it,
    so the stock is lengthened by one cut.

    Args:
        wanted: How many of each length, longest first. [length: count]
        stock: Length and price of each stock. [length, cents]
        kerf: Width of the blade's cut. [length, >= 0]
    """
    step = gcd(*(length + kerf for length in wanted)) or 1
    steps = [(length + kerf) // step for length, _ in stock]
    return Lattice(
        kinds=tuple(
            Kind(holes=(length + kerf) // step, left=0, right=0, wanted=count)
            for length, count in wanted.items()
        ),
        sticks=tuple(
            Stick(holes=holes, first=(0,), last=(holes - 1,), price=cents, supply=None)
            for holes, (_, cents) in zip(steps, stock, strict=True)
        ),
        joint=((1,),),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainCuts:
    """Stock without holes, cut."""

    bars: tuple[PlainBar, ...] = ()
    cents: int = 0
    bound: int = 0
    """No plan costs less. [cents]"""
    proofs: tuple[PlainProof, ...] = ()


def plain_cuts(
    *, pieces: Iterable[PlainPiece], stock: Iterable[PlainStock], kerf: int, seconds: float
) -> PlainCuts:
    """Cut every plain piece from the cheapest stock of its kind.

    Raises:
        NoLayout: A piece is longer than all stock of its kind.
    """
    pieces = sorted(pieces, key=lambda one: (-one.length, one.id))
    stock = sorted(stock, key=lambda one: (-one.length, one.key))
    bars: list[PlainBar] = []
    proofs: list[PlainProof] = []
    bound = 0
    for what in get_args(PlainKind):
        mine = [piece for piece in pieces if piece.what == what]
        sold = [one for one in stock if one.what == what]
        if mine:
            _longest_fits(mine[0], sold)
            lattice, solved = _solved(mine, sold, kerf=kerf, seconds=seconds)
            bars.extend(_bars(mine, sold, solved.bars, kerf=kerf, number=len(bars) + 1))
            proofs.append(_proof(what, mine, lattice, solved))
            bound += solved.bound
    cents = sum(bar.cents for bar in bars)
    return PlainCuts(bars=tuple(bars), cents=cents, bound=bound, proofs=tuple(proofs))


def _longest_fits(longest: PlainPiece, stock: Sequence[PlainStock]) -> None:
    most = max((one.length for one in stock), default=0)
    if longest.length > most:
        msg = (
            f"{longest.id} of {longest.length / 320:.1f} mm fits no stock; "
            f"the longest gives {most / 320:.1f} mm"
        )
        raise NoLayout(msg)


def _solved(
    pieces: Sequence[PlainPiece], stock: Sequence[PlainStock], *, kerf: int, seconds: float
) -> tuple[Lattice, Solved]:
    lattice = plain_lattice(
        wanted=dict(Counter(piece.length for piece in pieces)),
        stock=[(one.length, one.cents) for one in stock],
        kerf=kerf,
    )
    return lattice, optimum(lattice, tail=None, seconds=seconds)


def _proof(
    what: PlainKind, pieces: Sequence[PlainPiece], lattice: Lattice, solved: Solved
) -> PlainProof:
    lengths = dict.fromkeys(piece.length for piece in pieces)
    assert len(lengths) == len(lattice.kinds)
    return PlainProof(
        what=what,
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
    number: int,
) -> Iterable[PlainBar]:
    by_length: dict[int, list[PlainPiece]] = {}
    for piece in pieces:
        by_length.setdefault(piece.length, []).append(piece)
    left = [iter(alike) for alike in by_length.values()]
    for at, pattern in enumerate(sorted(patterns), start=number):
        taken = [next(left[n]) for n in pattern.order]
        yield _bar(stock[pattern.stick], taken, number=at, kerf=kerf)


def _bar(stock: PlainStock, pieces: Sequence[PlainPiece], *, number: int, kerf: int) -> PlainBar:
    placed: list[tuple[str, int, int]] = []
    at = 0
    for piece in pieces:
        placed.append((piece.id, at, at + piece.length))
        at += piece.length + kerf
    return PlainBar(
        number=number,
        what=stock.what,
        stock=stock.key,
        length=stock.length,
        pieces=tuple(placed),
        left=max(0, stock.length - at),
        cents=stock.cents,
    )
