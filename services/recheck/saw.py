"""The printed order of the saw, and what is kept of a bar, measured again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from math import cos, radians

from schemas.cut_plan import Bar, CutPlan, Offcut, Piece, SawSetUp
from services.recheck.limits import inches


def recheck_saw(cuts: CutPlan) -> Iterator[str]:
    """Every piece not cut once at its own angles and its own stop, on the bars named there."""
    pieces = {piece.id: piece for piece in cuts.pieces}
    printed = Counter(name for step in cuts.set_ups for name in step.pieces)
    for name in sorted(pieces.keys() | printed.keys()):
        if printed[name] != 1 or name not in pieces:
            yield f"{name} stands {printed[name]} times in the saw set-ups"
    on_bar = {placed.piece: bar.number for bar in cuts.bars for placed in bar.pieces}
    for step in cuts.set_ups:
        for says in _set_up(step, pieces, on_bar):
            yield f"saw set-up {step.number}: {says}"


def _set_up(
    step: SawSetUp, pieces: Mapping[str, Piece], on_bar: Mapping[str, int]
) -> Iterator[str]:
    for piece in (pieces[name] for name in step.pieces if name in pieces):
        if (piece.saw_left_deg, piece.saw_right_deg) != (step.saw_left_deg, step.saw_right_deg):
            yield f"{piece.id} is cut at other angles"
        if (piece.long_left, piece.long_right) != (step.long_left, step.long_right):
            yield f"{piece.id} is mitred to another hand"
    if tuple(name for stop in step.stops for name in stop.pieces) != step.pieces:
        yield "its stops do not hold its pieces"
    for stop in step.stops:
        for name in stop.pieces:
            if name in pieces and pieces[name].length != stop.length:
                yield f"{name} is not {inches(stop.length)} long"
    if set(step.bars) != {on_bar[name] for name in step.pieces if name in on_bar}:
        yield "its pieces lie on other bars"


def recheck_offcuts(bar: Bar, pieces: Mapping[str, Piece], kerf: int) -> Iterator[str]:
    """Every offcut that a piece or the blade runs into, or whose holes are not the bar's."""
    free = 0
    for offcut in sorted(bar.offcuts, key=lambda one: one.start):
        if offcut.start < free or offcut.start + offcut.length > bar.stock.length:
            yield "an offcut lies over another or over the end"
        free = offcut.start + offcut.length
        yield from _meets(bar, offcut, pieces, kerf)
        holes = [bar.stock.first_hole + n * bar.stock.pitch for n in range(bar.stock.holes)]
        inside = [hole for hole in holes if offcut.start <= hole <= free]
        if len(inside) != offcut.holes:
            yield f"an offcut of {len(inside)} holes, not {offcut.holes}"
        if inside and inside[0] - offcut.start != offcut.first_hole:
            yield f"an offcut's first hole is not at {inches(offcut.first_hole)}"


def _meets(bar: Bar, offcut: Offcut, pieces: Mapping[str, Piece], kerf: int) -> Iterator[str]:
    ends = (offcut.start, offcut.start + offcut.length)
    for placed in bar.pieces:
        piece = pieces[placed.piece]
        left = placed.start - piece.reach_left - kerf / cos(radians(piece.saw_left_deg))
        right = placed.end + piece.reach_right + kerf / cos(radians(piece.saw_right_deg))
        if left < ends[1] and right > ends[0]:
            yield f"an offcut lies over {piece.id} or its cut"
