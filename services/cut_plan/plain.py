"""Sleeves, cores and handrail: stock without holes, by the same method.

The lattice has a pitch of one step, the greatest length that divides every piece with its
cut; ends are all alike and a joint costs nothing more than the cut that each piece brings.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import gcd

from schemas.cut_plan import PlainBar, PlainPiece, PlainStock
from schemas.errors import NoLayout
from services.cut_plan.first_fit import Pattern
from services.cut_plan.lattice import Kind, Lattice, Stick
from services.cut_plan.optimum import optimum


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


def plain_bars(
    *, pieces: Iterable[PlainPiece], stock: Iterable[PlainStock], kerf: int, seconds: float
) -> tuple[PlainBar, ...]:
    """Cut every plain piece from the cheapest stock of its kind.

    Raises:
        NoLayout: A piece is longer than all stock of its kind.
    """
    pieces = sorted(pieces, key=lambda one: (-one.length, one.id))
    stock = sorted(stock, key=lambda one: (-one.length, one.key))
    bars: list[PlainBar] = []
    for what in ("sleeve", "core", "handrail"):
        mine = [piece for piece in pieces if piece.what == what]
        sold = [one for one in stock if one.what == what]
        if mine:
            bars.extend(_bars(mine, sold, kerf=kerf, seconds=seconds, number=len(bars) + 1))
    return tuple(bars)


def _bars(
    pieces: list[PlainPiece], stock: list[PlainStock], *, kerf: int, seconds: float, number: int
) -> Iterable[PlainBar]:
    longest = max((one.length for one in stock), default=0)
    if pieces[0].length > longest:
        msg = (
            f"{pieces[0].id} of {pieces[0].length / 320:.1f} mm fits no stock; "
            f"the longest gives {longest / 320:.1f} mm"
        )
        raise NoLayout(msg)
    by_length: dict[int, list[PlainPiece]] = {}
    for piece in pieces:
        by_length.setdefault(piece.length, []).append(piece)
    lattice = plain_lattice(
        wanted={length: len(alike) for length, alike in by_length.items()},
        stock=[(one.length, one.cents) for one in stock],
        kerf=kerf,
    )
    solved = optimum(lattice, tail=lambda _: 0, seconds=seconds)
    left = [iter(alike) for alike in by_length.values()]
    for at, pattern in enumerate(sorted(solved.bars), start=number):
        yield _bar(
            stock[pattern.stick],
            pattern,
            [next(left[n]) for n in pattern.order],
            number=at,
            kerf=kerf,
        )


def _bar(
    stock: PlainStock, pattern: Pattern, pieces: list[PlainPiece], *, number: int, kerf: int
) -> PlainBar:
    assert len(pieces) == len(pattern.order)
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
    )
