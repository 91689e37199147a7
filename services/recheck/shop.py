"""A shop's cut plan measured again: every bar, and every piece against its job's own plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from schemas.cut_plan import CutPlan, Piece
from schemas.plan import Plan
from services.recheck.cuts import recheck_bars


def recheck_shop(cuts: CutPlan, plans: Sequence[Plan]) -> tuple[str, ...]:
    """Measure a shop's plan again, and compare it with the plans of its jobs.

    Args:
        cuts: The shop's plan.
        plans: Of all jobs that it cuts for.

    Returns:
        Every breach found; empty when it holds.
    """
    return (*recheck_bars(cuts), *_same_pieces(cuts, plans))


def _same_pieces(cuts: CutPlan, plans: Sequence[Plan]) -> Iterator[str]:
    """What the shop cuts is what the jobs ask it to cut, ticket by ticket."""
    asked = {
        piece.tickets: _size(piece)
        for plan in plans
        for piece in plan.cuts.pieces
        if piece.cut_in == "shop"
    }
    found = {piece.tickets: _size(piece) for piece in cuts.pieces}
    for tickets in asked.keys() - found.keys():
        yield f"tickets {', '.join(tickets)}: on no bar of the shop's"
    for tickets in found.keys() - asked.keys():
        yield f"tickets {', '.join(tickets)}: no job asks the shop for them"
    for tickets in asked.keys() & found.keys():
        if asked[tickets] != found[tickets]:
            yield f"tickets {', '.join(tickets)}: not the piece of its job's plan"
    if len(found) != len(cuts.pieces):
        yield "two pieces of the shop's have one ticket"


def _size(piece: Piece) -> tuple[object, ...]:
    return (
        piece.job, piece.revision, piece.bay, piece.rails, piece.system, piece.colour,
        piece.length, piece.holes, piece.margin_left, piece.margin_right,
        piece.saw_left_deg, piece.saw_right_deg,
    )  # fmt: skip
