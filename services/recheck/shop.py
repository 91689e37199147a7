"""A shop's cut plan measured again: every bar, and every piece against its job's own plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from schemas.cut_plan import CutPlan, Piece
from schemas.plan import Plan
from services.recheck.cuts import recheck_bars
from services.recheck.posts import fixings


def recheck_shop(cuts: CutPlan, plans: Sequence[Plan]) -> tuple[str, ...]:
    """Measure a shop's plan again, and compare it with the plans of its jobs.

    Args:
        cuts: The shop's plan.
        plans: Of all jobs that it cuts for.

    Returns:
        Every breach found; empty when it holds.
    """
    return (*recheck_bars(cuts), *_same_pieces(cuts, plans), *_same_sticks(cuts, plans))


def recheck_ahead(plan: Plan) -> Iterator[str]:
    """Everything that a job has cut ahead and that may still change on site."""
    read = {
        f"{leg.name} {at}": clear.top is not None
        for line in plan.job.lines
        for leg in line.legs
        for at, clear in enumerate(leg.clears)
    }
    bays: dict[str, bool] = {}
    for leg in plan.layout.legs:
        along = [bay for bay in plan.layout.bays if bay.leg == leg.name and bay.kind != "stair"]
        bays |= {
            bay.name: bay.measured and bay.kind == "level" and read.get(f"{leg.name} {at}", False)
            for at, bay in enumerate(along)
        }
    ahead = [piece for piece in plan.cuts.pieces if piece.cut_in == "shop"]
    for piece in ahead:
        if piece.orientation == "stair" or not bays.get(piece.bay, False):
            yield f"{piece.id}: cut ahead, and its opening is not one read twice between posts"
    foot = {bay.lower_post for bay in plan.bays.stair}
    fixed = fixings(plan)
    for stick in (one for one in plan.cuts.plain_pieces if one.cut_in == "shop"):
        post = stick.id.rpartition(" ")[0]
        if stick.what == "handrail" or post in foot or fixed.get(post) is None:
            yield f"{stick.id}: cut ahead, and its length is only known on site"
    together = (*ahead, *(one for one in plan.cuts.plain_pieces if one.cut_in == "shop"))
    if together and plan.job.company.cut_for == "job":
        yield "cut ahead by a company that cuts each job by itself"


def _same_sticks(cuts: CutPlan, plans: Sequence[Plan]) -> Iterator[str]:
    """The sleeves and cores that the jobs ask for, ticket by ticket, each as long as asked."""
    asked = {
        piece.ticket: (piece.job, piece.revision, piece.what, piece.made_of, piece.length)
        for plan in plans
        for piece in plan.cuts.plain_pieces
        if piece.cut_in == "shop"
    }
    found = {
        piece.ticket: (piece.job, piece.revision, piece.what, piece.made_of, piece.length)
        for piece in cuts.plain_pieces
    }
    for lost in sorted(str(one) for one in asked.keys() ^ found.keys()):
        yield f"ticket {lost}: asked by a job or cut in the shop, not both"
    for both in sorted(str(one) for one in asked.keys() & found.keys()):
        if asked[both] != found[both]:
            yield f"ticket {both}: not the piece of its job's plan"
    if len(found) != len(cuts.plain_pieces):
        yield "two sleeves or cores of the shop's have one ticket"


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
