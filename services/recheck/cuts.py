"""The cut list measured again: every hole of every piece, every bar to its last unit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import cos, radians

from schemas.cut_plan import Bar, CutPlan, Piece, PlacedPiece, PlainBar
from schemas.plan import Plan
from services.recheck.limits import inches
from services.recheck.saw import recheck_offcuts, recheck_saw
from services.recheck.stock import recheck_sums


def recheck_cuts(plan: Plan) -> Iterator[str]:
    """Every piece that cannot be cut as printed, and every rail without a piece."""
    yield from recheck_bars(plan.cuts)
    yield from _all_rails(plan)


def recheck_bars(cuts: CutPlan) -> Iterator[str]:
    """Every piece that cannot be cut as printed, and every piece on no bar or on two."""
    pieces = {piece.id: piece for piece in cuts.pieces}
    for bar in cuts.bars:
        if strange := [placed.piece for placed in bar.pieces if placed.piece not in pieces]:
            yield f"bar {bar.number}: {', '.join(strange)} is no piece of this plan"
        else:
            yield from _bar(pieces, cuts.kerf, bar)
    for plain in cuts.plain:
        yield from _plain(plain, cuts.kerf)
    yield from _sticks(cuts)
    yield from _supplies(cuts)
    for what, numbers in (
        ("bars", [bar.number for bar in cuts.bars]),
        ("sticks", [stick.number for stick in cuts.plain]),
        ("saw set-ups", [step.number for step in cuts.set_ups]),
    ):
        if numbers != list(range(1, len(numbers) + 1)):
            yield f"{what} are not numbered one after another"
    yield from recheck_saw(cuts)
    yield from recheck_sums(cuts)
    laid = Counter(placed.piece for bar in cuts.bars for placed in bar.pieces)
    yield from (f"{name} is cut {times} times" for name, times in laid.items() if times > 1)
    yield from (f"{name} is on no bar" for name in pieces if name not in laid)


def _bar(pieces: Mapping[str, Piece], kerf: int, bar: Bar) -> Iterator[str]:
    """A bar is a top and a bottom rail alike; a piece takes of both, or of one."""
    for placed in bar.pieces:
        for says in _holes(bar, placed, pieces[placed.piece]):
            yield f"bar {bar.number}: {placed.piece} {says}"
    for says in recheck_offcuts(bar, pieces, kerf):
        yield f"bar {bar.number}: {says}"
    bottom = bar.waste if bar.waste_bottom is None else bar.waste_bottom
    for rail, waste in (("top", bar.waste), ("bottom", bottom)):
        laid = [p for p in bar.pieces if pieces[p.piece].rails in {"pair", rail}]
        for says in _lengthwise(bar, laid, pieces, waste, kerf):
            yield f"bar {bar.number}, {rail} rail: {says}"


def _holes(bar: Bar, placed: PlacedPiece, piece: Piece) -> Iterator[str]:
    stock = bar.stock
    holes = [stock.first_hole + number * stock.pitch for number in range(stock.holes)]
    inside = [hole for hole in holes if placed.start < hole < placed.end]
    if (stock.orientation, stock.system, stock.colour) != (
        piece.orientation,
        piece.system,
        piece.colour,
    ):
        yield "lies on stock of another kind"
    if placed.end - placed.start != piece.length:
        yield "is not its own length"
    if len(inside) != piece.holes:
        yield f"would hold {len(inside)} holes, not {piece.holes}"
        return
    if (inside[0] - placed.start, placed.end - inside[-1]) != (
        piece.margin_left,
        piece.margin_right,
    ):
        yield "has other margins on the stock"
    if holes.index(inside[0]) + 1 != placed.first_hole:
        yield "starts at another hole than printed"


def _lengthwise(
    bar: Bar, laid: list[PlacedPiece], pieces: Mapping[str, Piece], waste: int, kerf: int
) -> Iterator[str]:
    ordered = sorted(laid, key=lambda placed: placed.start)
    for one, other in pairwise(ordered):
        if other.start - one.end < _saw_takes(pieces[one.piece], pieces[other.piece], kerf):
            yield f"no room for the saw between {one.piece} and {other.piece}"
    stock = bar.stock
    if ordered:
        left = ordered[0].start - pieces[ordered[0].piece].reach_left
        right = ordered[-1].end + pieces[ordered[-1].piece].reach_right
        if left < stock.trim_left or right > stock.length - stock.trim_right:
            yield "a piece runs into the trim"
    used = sum(p.end - p.start for p in laid) + sum(offcut.length for offcut in bar.offcuts)
    if used + waste != stock.length or waste < 0:
        yield f"pieces, waste and offcuts do not make {inches(stock.length)}"


def _saw_takes(one: Piece, other: Piece, kerf: int) -> float:
    """Along the rail, from one piece's end to the next one's start.

    The blade on the slant, and the long points of both ends; plumb cuts of one slope lie
    in each other, so only the blade is lost there.
    """
    steepest = max(abs(one.saw_right_deg), abs(other.saw_left_deg))
    blade = kerf / cos(radians(steepest))
    both_plumb = one.orientation == other.orientation == "stair"
    if both_plumb and one.saw_right_deg == other.saw_left_deg:
        return blade
    if both_plumb:
        return blade + max(one.reach_right, other.reach_left)
    return blade + one.reach_right + other.reach_left


def _plain(bar: PlainBar, kerf: int) -> Iterator[str]:
    """Pieces a blade apart on the stick, and its whole length accounted for."""
    before = -kerf
    for name, start, end in bar.pieces:
        if start < before + kerf or end > bar.length:
            yield f"{bar.stock} {bar.number}: {name} does not fit"
        before = end
    cut = sum(end - start for _, start, end in bar.pieces)
    if bar.trim + cut + bar.kerf + bar.left != bar.length or min(bar.kerf, bar.left, bar.trim) < 0:
        yield f"{bar.stock} {bar.number}: trim, pieces, cuts and the rest are not the stick"
    if before + bar.left > bar.length:
        yield f"{bar.stock} {bar.number}: more is left of it than lies behind its last piece"


def _sticks(cuts: CutPlan) -> Iterator[str]:
    """Every piece of a stick cut once, out of its own kind, and no rest of the rack twice."""
    wanted = Counter((one.what, one.id, one.length, one.made_of) for one in cuts.plain_pieces)
    laid = Counter(
        (bar.what, name, end - start, bar.made_of)
        for bar in cuts.plain
        for name, start, end in bar.pieces
    )
    for one in sorted((wanted - laid) | (laid - wanted)):
        yield f"{one[1]} of {inches(one[2])} is cut {laid[one]} times, wanted {wanted[one]}"
    tags = Counter(bar.tag for bar in cuts.plain if bar.tag)
    offered = {one.tag: one for one in cuts.plain_offered}
    for tag, times in tags.items():
        if times > 1:
            yield f"the rest {tag} is cut {times} times"
    for bar in cuts.plain:
        rest = offered.get(bar.tag or "")
        if bar.tag and (rest is None or (rest.length, rest.what) != (bar.length, bar.what)):
            yield f"{bar.stock} {bar.number}: rest {bar.tag} was not set aside for this plan"


def _supplies(cuts: CutPlan) -> Iterator[str]:
    taken = Counter(bar.stock.id for bar in cuts.bars)
    for bar in cuts.bars:
        supply = bar.stock.supply
        if supply is not None and taken[bar.stock.id] > supply:
            yield f"bar {bar.number}: {bar.stock.id} is taken more often than there is"
        if bar.stock.kit is None and bar.stock not in cuts.offered:
            yield f"bar {bar.number}: offcut {bar.stock.id} was not set aside for this plan"


def _all_rails(plan: Plan) -> Iterator[str]:
    lengths: dict[tuple[str, str], int] = {}
    for piece in plan.cuts.pieces:
        for rail in ("top", "bottom") if piece.rails == "pair" else (piece.rails,):
            lengths[piece.bay, rail] = piece.length
    wanted = {(bay.name, "top"): bay.top_cut for bay in plan.bays.level}
    wanted |= {(bay.name, "bottom"): bay.bottom_cut for bay in plan.bays.level}
    wanted |= {(bay.name, rail): bay.cut for bay in plan.bays.stair for rail in ("top", "bottom")}
    for (bay, rail), length in wanted.items():
        if lengths.get((bay, rail)) != length:
            yield f"{bay}: its {rail} rail is not on the cut list at {inches(length)}"
    for bay, rail in lengths.keys() - wanted.keys():
        yield f"{bay}: a {rail} rail on the cut list that no bay needs"
