"""Which rows of an as-measured table the stock and hole of the cut list cannot give."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, cos, radians

from schemas.bays import AsMeasured, LevelBay, StairBay
from schemas.cut_plan import Bar, CutPlan, Piece
from schemas.lengths import Length
from services.pages.cut_from import pieces_on


def off_plan(group: Sequence[LevelBay | StairBay], cuts: CutPlan) -> frozenset[Length]:
    """Openings whose rail does not fit where any bay of the group is planned on its stock.

    The rail keeps the first hole that the cut list names; its neighbours on the bar stay where
    they are planned.

    Args:
        group: Bays that are built the same.
        cuts: The job's cuts.
    """
    names = {bay.name for bay in group}
    bay = group[0]
    return frozenset(
        row.opening
        for bar in cuts.bars
        for at, (_, piece) in enumerate(pieces_on(bar, cuts))
        if piece.bay in names
        for row in bay.as_measured
        if not _fits(row, at, bar, cuts, planned=_planned(bay), piece=piece)
    )


def _planned(bay: LevelBay | StairBay) -> tuple[Length, Length]:
    """Cut and margin that a row of the table stands for at the planned opening."""
    if isinstance(bay, LevelBay):
        return bay.bottom_cut, bay.margin_left
    return bay.cut, bay.margin_lower


def _fits(
    row: AsMeasured,
    at: int,
    bar: Bar,
    cuts: CutPlan,
    *,
    planned: tuple[Length, Length],
    piece: Piece,
) -> bool:
    """Whether a row's rail lies clear of the stock's ends and of the pieces beside it."""
    if row.cut is None or row.margin is None or row.balusters is None:
        return True  # nothing is cut
    stock, placed = bar.stock, bar.pieces[at]
    if placed.first_hole - 1 + row.balusters > stock.holes:
        return False
    cut, margin = planned
    hole = stock.first_hole + (placed.first_hole - 1) * stock.pitch
    start = hole - (piece.margin_left + row.margin - margin)
    end = start + piece.length + row.cut - cut
    return _clear_left(start, at, bar, cuts, piece) and _clear_right(end, at, bar, cuts, piece)


def _clear_left(start: Length, at: int, bar: Bar, cuts: CutPlan, piece: Piece) -> bool:
    before = [(p.end, o) for p, o in pieces_on(bar, cuts)[:at] if _same_rail(o, piece)]
    if not before:
        return start - piece.reach_left >= bar.stock.trim_left
    end, other = before[-1]
    return start - end >= _between(other, piece, cuts.kerf)


def _clear_right(end: Length, at: int, bar: Bar, cuts: CutPlan, piece: Piece) -> bool:
    after = [(p.start, o) for p, o in pieces_on(bar, cuts)[at + 1 :] if _same_rail(o, piece)]
    if not after:
        return end + piece.reach_right <= bar.stock.length - bar.stock.trim_right
    start, other = after[0]
    return start - end >= _between(piece, other, cuts.kerf)


def _same_rail(one: Piece, other: Piece) -> bool:
    """Whether both are cut from the same rail of a stock pair."""
    return "pair" in (one.rails, other.rails) or one.rails == other.rails


def _between(left: Piece, right: Piece, kerf: Length) -> Length:
    """Least from one piece's end to the next one's start: the blade, and angled ends' reach.

    Plumb cuts at one setting lie in each other.
    """
    steepest = max(abs(left.saw_right_deg), abs(right.saw_left_deg))
    blade = ceil(kerf / cos(radians(steepest))) if steepest else kerf
    if left.orientation == "stair" and left.saw_right_deg == right.saw_left_deg:
        return blade
    return blade + left.reach_right + right.reach_left
