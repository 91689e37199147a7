"""A second look at a cut plan, from raw positions and whole-number arithmetic.

The plan's bars are checked without the lattice and without the solver: holes are counted one by
one where they lie on the stock, and cuts are measured between the pieces. The bound is
added up again by walking along every stock once.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import cos, radians
from typing import NoReturn

from schemas.cut_plan import (
    Bar,
    BoundProof,
    CutPlan,
    Piece,
    PlacedPiece,
    PlainBar,
    PlainProof,
    PlainStock,
    StockRail,
)
from schemas.errors import BrokenPlan
from services.cut_plan.lower_bound import Rows, most_held, prove
from services.cut_plan.plain import lots, plain_lattice
from services.cut_plan.reading import Group, groups

RAILS = ("top", "bottom")


def check_plan(plan: CutPlan, *, stock: Sequence[StockRail], keep: int) -> None:
    """Refuse a plan that cannot be cut as it stands or whose sums do not hold.

    Args:
        plan: The finished plan.
        stock: What it was allowed to take.
        keep: Shortest offcut to keep. [length]

    Raises:
        BrokenPlan: With the first thing that is wrong.
    """
    _all_pieces_once(plan)
    by_id = {piece.id: piece for piece in plan.pieces}
    for bar in plan.bars:
        _bar_holds(bar, by_id, kerf=plan.kerf, keep=keep)
    _stock_is_there(plan.bars, stock)
    for cents, bound, taken in (
        (plan.cents, plan.bound_cents, sum(bar.stock.net_cents for bar in plan.bars)),
        (plan.plain_cents, plan.plain_bound_cents, sum(bar.cents for bar in plan.plain)),
    ):
        if cents != taken:
            _broken(f"cost {cents} is not the price of its bars")
        if bound > cents:
            _broken(f"bound {bound} stands over the cost {cents}")
    for stick in plan.plain:
        _plain_holds(stick, kerf=plan.kerf, keep=keep)


def check_all(
    plan: CutPlan,
    *,
    stock: Sequence[StockRail],
    plain_stock: Sequence[PlainStock] = (),
    keep: int,
) -> CutPlan:
    """The plan itself, once its bars, its sums and every proof of a bound hold.

    Args:
        plan: The finished plan.
        stock: What it was allowed to take.
        plain_stock: And of stock without holes.
        keep: Shortest offcut to keep. [length]

    Raises:
        BrokenPlan: With the first thing that is wrong.
    """
    check_plan(plan, stock=stock, keep=keep)
    _plain_once(plan)
    _plain_stock_is_there(plan.plain, plain_stock)
    for proof in plan.proofs:
        check_bound(proof, pieces=plan.pieces, stock=stock, kerf=plan.kerf)
    for plain in plan.plain_proofs:
        check_plain_bound(plain, bars=plan.plain, stock=plain_stock, kerf=plan.kerf)
    return plan


def _plain_once(plan: CutPlan) -> None:
    """Every piece on one stick of its kind and place, at its own length."""
    wanted = Counter(
        (one.id, one.length, one.what, one.made_of, one.cut_in) for one in plan.plain_pieces
    )
    laid = Counter(
        (name, end - start, bar.what, bar.made_of, bar.cut_in)
        for bar in plan.plain
        for name, start, end in bar.pieces
    )
    if laid != wanted:
        _broken(f"sticks: laid and wanted differ: {sorted((laid - wanted) + (wanted - laid))[:3]}")


def _broken(says: str) -> NoReturn:
    raise BrokenPlan(says)


def _all_pieces_once(plan: CutPlan) -> None:
    laid = Counter(placed.piece for bar in plan.bars for placed in bar.pieces)
    wanted = Counter(piece.id for piece in plan.pieces)
    if laid != wanted:
        _broken(f"pieces laid and wanted differ: {sorted((laid - wanted) + (wanted - laid))}")
    cut = Counter(name for step in plan.set_ups for name in step.pieces)
    if cut != wanted:
        _broken("saw set-ups and pieces differ")


def _bar_holds(bar: Bar, by_id: dict[str, Piece], *, kerf: int, keep: int) -> None:
    if not bar.pieces:
        _broken(f"bar {bar.number} holds nothing")
    for placed in bar.pieces:
        _holes_lie_inside(bar, placed, by_id[placed.piece])
    waste = {"top": bar.waste, "bottom": bar.waste}
    if bar.waste_bottom is not None:
        waste["bottom"] = bar.waste_bottom
    kept = sum(offcut.length for offcut in bar.offcuts)
    for rail in RAILS:
        laid = sorted(
            ((by_id[p.piece], p) for p in bar.pieces if by_id[p.piece].rails in ("pair", rail)),
            key=lambda one: one[1].start,
        )
        for (one, left), (other, right) in pairwise(laid):
            _cut_fits(bar, (one, left), (other, right), kerf=kerf)
        if sum(piece.length for piece, _ in laid) + waste[rail] + kept != bar.stock.length:
            _broken(f"bar {bar.number}, {rail} rail: pieces, waste and offcuts are not the stock")
        if waste[rail] < 0:
            _broken(f"bar {bar.number}, {rail} rail: more laid on it than there is")
    _offcuts_are_free(bar, by_id, keep=keep)


def _holes_lie_inside(bar: Bar, placed: PlacedPiece, piece: Piece) -> None:
    """Its ends, its margins and the number of holes between its ends, counted one by one."""
    stock = bar.stock
    holes = [stock.first_hole + number * stock.pitch for number in range(stock.holes)]
    mine = [hole for hole in holes if placed.start <= hole <= placed.end]
    where = f"bar {bar.number}, piece {piece.id}"
    if (piece.orientation, piece.system, piece.colour) != (
        stock.orientation,
        stock.system,
        stock.colour,
    ):
        _broken(f"{where}: stock of another kind")
    if placed.end - placed.start != piece.length:
        _broken(f"{where}: length differs from its ticket")
    if len(mine) != piece.holes:
        _broken(f"{where}: {len(mine)} holes lie in it, not {piece.holes}")
    margins = (mine[0] - placed.start, placed.end - mine[-1])
    if margins != (piece.margin_left, piece.margin_right):
        _broken(f"{where}: margins are {margins}")
    if holes.index(mine[0]) + 1 != placed.first_hole:
        _broken(f"{where}: starts at another hole than it says")
    if placed.start - piece.reach_left < stock.trim_left:
        _broken(f"{where}: runs over the left end")
    if placed.end + piece.reach_right > stock.length - stock.trim_right:
        _broken(f"{where}: runs over the right end")


def _cut_fits(
    bar: Bar, one: tuple[Piece, PlacedPiece], other: tuple[Piece, PlacedPiece], *, kerf: int
) -> None:
    """Long points are a blade apart; parallel plumb cuts are a blade apart along the rail."""
    (first, left), (second, right) = one, other
    blade = kerf / min(cos(radians(first.saw_right_deg)), cos(radians(second.saw_left_deg)))
    gap = right.start - left.end
    plumb = first.orientation == "stair" and second.orientation == "stair"
    if plumb and first.saw_right_deg == second.saw_left_deg:
        need = blade
    elif plumb:
        need = blade + max(first.reach_right, second.reach_left)
    else:
        need = blade + first.reach_right + second.reach_left
    if gap < need - 1e-6:
        _broken(f"bar {bar.number}: no room for the saw between {first.id} and {second.id}")


def _offcuts_are_free(bar: Bar, by_id: dict[str, Piece], *, keep: int) -> None:
    for offcut in bar.offcuts:
        ends = (offcut.start, offcut.start + offcut.length)
        if ends[0] < 0 or ends[1] > bar.stock.length or offcut.length < keep:
            _broken(f"bar {bar.number}: offcut {ends} is too short or off the stock")
        for placed in bar.pieces:
            piece = by_id[placed.piece]
            if placed.start - piece.reach_left < ends[1] and (
                placed.end + piece.reach_right > ends[0]
            ):
                _broken(f"bar {bar.number}: offcut {ends} meets piece {piece.id}")
        holes = [bar.stock.first_hole + n * bar.stock.pitch for n in range(bar.stock.holes)]
        mine = [hole for hole in holes if ends[0] <= hole <= ends[1]]
        if len(mine) != offcut.holes or (mine and mine[0] - ends[0] != offcut.first_hole):
            _broken(f"bar {bar.number}: offcut {ends} has {len(mine)} holes")


def _stock_is_there(bars: Iterable[Bar], stock: Sequence[StockRail]) -> None:
    taken = Counter(bar.stock for bar in bars)
    offered: dict[StockRail, int | None] = {}
    for one in stock:
        before = offered.get(one, 0)
        offered[one] = None if None in (before, one.supply) else (before or 0) + (one.supply or 0)
    for one, count in taken.items():
        if one not in offered:
            _broken(f"stock {one.id} was not offered")
        most = offered[one]
        if most is not None and count > most:
            _broken(f"stock {one.id}: {count} taken, {most} there")


def _plain_holds(bar: PlainBar, *, kerf: int, keep: int) -> None:
    """Pieces a blade apart behind the trim, and every part of the stick accounted for."""
    at = bar.trim - kerf
    for name, start, end in bar.pieces:
        if start != at + kerf or end <= start:
            _broken(f"plain bar {bar.number}: no room for {name}")
        at = end
    if at > bar.length:
        _broken(f"plain bar {bar.number}: runs over its end")
    behind = min(kerf, bar.length - at)
    if bar.kerf != kerf * (len(bar.pieces) - 1) + behind or bar.left != bar.length - at - behind:
        _broken(f"plain bar {bar.number}: what is left is not what it says")
    if bar.racked != (0 < keep <= bar.left):
        _broken(f"plain bar {bar.number}: what is kept is not what is long enough")


def _plain_stock_is_there(bars: Iterable[PlainBar], stock: Sequence[PlainStock]) -> None:
    """Each stick offered so, with its ends squared, or taken whole for one piece."""
    taken = Counter(bar.tag for bar in bars if bar.tag)
    for bar in bars:
        same = [
            one for one in stock
            if (one.what, one.made_of, one.key, one.length, one.tag, one.cents)
            == (bar.what, bar.made_of, bar.stock, bar.length, bar.tag, bar.cents)
        ]  # fmt: skip
        whole = len(bar.pieces) == 1 and bar.pieces[0][1:] == (0, bar.length)
        beyond = bar.length - bar.pieces[-1][2]
        if not any(
            (whole and one.supply is None)
            or (bar.trim == one.trim_left and beyond >= one.trim_right)
            for one in same
        ):
            _broken(f"plain bar {bar.number}: stock {bar.stock} was not offered so")
        if bar.tag and taken[bar.tag] > sum(one.supply or 0 for one in same):
            _broken(f"plain bar {bar.number}: offcut {bar.tag} is taken more often than there is")


def check_bound(
    proof: BoundProof, *, pieces: Iterable[Piece], stock: Iterable[StockRail], kerf: int
) -> int:
    """Add up a bound again from the worth of each kind, in whole numbers.

    Args:
        proof: Worth of each kind of piece.
        pieces: All pieces of the plan.
        stock: What it was allowed to take.
        kerf: Width of the blade's cut. [length]

    Returns:
        The bound that the worths prove. [cents]

    Raises:
        BrokenPlan: A stock of which there is no end may hold more worth than its price, or
            the worths prove less than the proof says, or a kind has no worth or two.
    """
    group = _group_of(proof, groups(pieces=pieces, stock=stock, kerf=kerf))
    worth = dict(proof.worth)
    names = [parts[0][0].id for parts in group.parts]
    if sorted(names) != sorted(name for name, _ in proof.worth):
        _broken("the proof is for other pieces")
    each = [worth[name] for name in names]
    found = prove(group.lattice, each, most_held(Rows(group.lattice), each), scale=proof.scale)
    if found is None:
        _broken("a stock may hold more worth than it costs")
    if found.cents < proof.cents:
        _broken(f"the worths prove {found.cents}, not {proof.cents}")
    return found.cents


def check_plain_bound(
    proof: PlainProof, *, bars: Iterable[PlainBar], stock: Iterable[PlainStock], kerf: int
) -> int:
    """Add up a bound of stock without holes again, in whole numbers.

    Args:
        proof: Worth of each length.
        bars: The plan's plain bars; their pieces are what had to be cut.
        stock: What it was allowed to take.
        kerf: Width of the blade's cut. [length]

    Returns:
        The bound that the worths prove. [cents]

    Raises:
        BrokenPlan: As `check_bound` does.
    """
    key = (proof.what, proof.made_of, proof.cut_in)
    mine = [bar for bar in bars if (bar.what, bar.made_of, bar.cut_in) == key]
    cut = Counter(end - start for bar in mine for _, start, end in bar.pieces)
    wanted = dict(sorted(cut.items(), reverse=True))
    worth = dict(proof.worth)
    if len(worth) != len(proof.worth) or worth.keys() != wanted.keys():
        _broken("the proof is for other pieces")
    sold = lots(one for one in stock if (one.what, one.made_of) == key[:2])
    lattice = plain_lattice(wanted=wanted, stock=sold, kerf=kerf)
    each = [worth[length] for length in wanted]
    found = prove(lattice, each, most_held(Rows(lattice), each), scale=proof.scale)
    if found is None:
        _broken("a stock may hold more worth than it costs")
    if found.cents < proof.cents:
        _broken(f"the worths prove {found.cents}, not {proof.cents}")
    return found.cents


def _group_of(proof: BoundProof, all_groups: Sequence[Group]) -> Group:
    found = {group.key: group for group in all_groups}
    key = (proof.orientation, proof.system, proof.colour, proof.cut_in)
    if key not in found:
        _broken(f"the proof is for {key}, which is not in the plan")
    return found[key]
