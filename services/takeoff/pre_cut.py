"""What comes ready cut from the shop, and the kits and sticks that stay in the yard for it.

What is cut ahead shares no bar with the rest, so the job's own stock for it is whole: the shop
sends the pieces cut, perhaps from other stock, and what else is in the kits' boxes in a bag.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from schemas.cut_plan import CutPlan, Piece, PlainPiece
from schemas.job import Job
from schemas.rail_system import Kit, RailSystem, RoutedRail
from schemas.takeoff import PreCut, ReadyRail


def pre_cut(*, job: Job, cuts: CutPlan) -> PreCut | None:
    """What is cut ahead, the stock it stands for, and what the kits' boxes hold beside."""
    ahead = {piece.id: piece for piece in cuts.pieces if piece.cut_in == "shop"}
    sticks = [piece for piece in cuts.plain_pieces if piece.cut_in == "shop"]
    if not ahead and not sticks:
        return None
    own = Counter(bar.stock for bar in cuts.plain if bar.cut_in == "shop" and bar.tag is None)
    kits: Counter[str] = Counter(
        bar.stock.kit
        for bar in cuts.bars
        if bar.stock.kit and any(placed.piece in ahead for placed in bar.pieces)
    )
    bag: Counter[str] = Counter()
    for system, rail, kit in _sold(job):
        bag[rail.baluster_key] += kits[kit.key] * kit.balusters
        bag[rail.bracket.key] += kits[kit.key] * kit.brackets
        bag[system.foot_block.key] += kits[kit.key] * kit.foot_blocks
    return PreCut(
        rails=tuple(
            sorted(
                (*(rail for piece in ahead.values() for rail in _rails(piece)), *_sticks(sticks)),
                key=lambda rail: rail.ticket,
            )
        ),
        kits=tuple(sorted((kits + own).items())),
        bag=tuple(sorted((+bag).items())),
    )


def _sold(job: Job) -> Iterator[tuple[RailSystem, RoutedRail, Kit]]:
    yield from ((job.system, job.system.level, kit) for kit in job.system.level.kits)
    stair = job.stair_system.stair
    if stair:
        yield from ((job.stair_system, stair, kit) for kit in stair.kits)


def _sticks(pieces: Iterable[PlainPiece]) -> Iterator[ReadyRail]:
    for piece in pieces:
        post = piece.id.removesuffix(f" {piece.what}")
        yield ReadyRail(ticket=piece.ticket or "", bay=post, rail=piece.what)


def _rails(piece: Piece) -> Iterator[ReadyRail]:
    rails = ("top", "bottom") if piece.rails == "pair" else (piece.rails,)
    for ticket, rail in zip(piece.tickets, rails, strict=True):
        yield ReadyRail(ticket=ticket, bay=piece.bay, rail=rail)
