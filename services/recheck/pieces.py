"""Every piece of the cut list laid beside its bay, and its tickets counted through."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from math import radians, tan

from schemas.bays import LevelBay, StairBay
from schemas.cut_plan import Piece
from schemas.layout import Bay, LongSide
from schemas.plan import Plan
from services.recheck.limits import inches

ANGLE = 1e-6
"""Floats of one angle are alike to so much. [degrees]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rail:
    """A rail as its bay sheet has it. [1/320 mm, degrees]."""

    margins: tuple[int, int]
    balusters: int
    saw: tuple[float, float]
    long: tuple[LongSide | None, LongSide | None]
    across: float
    """Section that stands out at an angled end, beyond where the holes run."""
    kind: tuple[str, str]
    """Orientation and system."""


def recheck_pieces(plan: Plan) -> Iterator[str]:
    """Every piece that its bay sheet does not have so, and every ticket that is not one of ours."""
    level = {bay.name: bay for bay in plan.bays.level}
    stair = {bay.name: bay for bay in plan.bays.stair}
    for piece in plan.cuts.pieces:
        for rail in ("top", "bottom") if piece.rails == "pair" else (piece.rails,):
            if piece.bay in level:
                yield from _beside(plan, piece, _level(plan, level[piece.bay], rail))
            elif piece.bay in stair:
                yield from _beside(plan, piece, _stair(plan, stair[piece.bay], rail))
        yield from _as_a_whole(plan, piece)
    yield from _tickets(plan)


def _level(plan: Plan, bay: LevelBay, rail: str) -> _Rail:
    """Its holes run along the middle: half its width stands out at a mitre."""
    on_top, sold = rail == "top", plan.job.system.level
    marks, cut = (bay.top_marks, bay.top_cut) if on_top else (bay.marks, bay.bottom_cut)
    return _Rail(
        margins=(marks[0], cut - marks[-1]),
        balusters=len(marks),
        saw=(bay.mitre_left_deg, bay.mitre_right_deg),
        long=(bay.long_left, bay.long_right),
        across=(sold.top_width if on_top else sold.bottom_width) / 2,
        kind=("level", plan.job.system.key),
    )


def _stair(plan: Plan, bay: StairBay, rail: str) -> _Rail:
    """Its holes run along a face: its whole depth stands out at a plumb cut."""
    sold = plan.job.stair_system.stair
    depth = (sold.top_depth if rail == "top" else sold.bottom_depth) if sold else 0
    return _Rail(
        margins=(bay.marks[0], bay.cut - bay.marks[-1]),
        balusters=len(bay.marks),
        saw=(bay.saw_deg, bay.saw_deg),
        long=(None, None),
        across=depth,
        kind=("stair", plan.job.stair_system.key),
    )


def _beside(plan: Plan, piece: Piece, rail: _Rail) -> Iterator[str]:
    job = plan.job
    if (piece.margin_left, piece.margin_right) != rail.margins:
        shown = f"{inches(piece.margin_left)} and {inches(piece.margin_right)}"
        yield f"{piece.id}: margins {shown} on the cut list, its bay has others"
    if piece.holes != rail.balusters:
        yield f"{piece.id}: {piece.holes} holes on the cut list, {rail.balusters} balusters"
    saw = (piece.saw_left_deg, piece.saw_right_deg)
    if any(abs(one - other) > ANGLE for one, other in zip(saw, rail.saw, strict=True)):
        yield f"{piece.id}: saw at {saw[0]:.2f} and {saw[1]:.2f} degrees, its bay has others"
    if (piece.long_left, piece.long_right) != rail.long:
        yield f"{piece.id}: mitred to another hand than its bay"
    reaches = (piece.reach_left, piece.reach_right)
    for reach, deg in zip(reaches, rail.saw, strict=True):
        if reach < rail.across * tan(radians(abs(deg))) - ANGLE:
            yield f"{piece.id}: its long point stands out more than {inches(reach)}"
    if (piece.orientation, piece.system) != rail.kind or piece.colour != job.colour:
        yield f"{piece.id}: cut from another rail than its bay's"
    if (piece.job, piece.revision) != (job.job, job.revision):
        yield f"{piece.id}: a piece of {piece.job} rev {piece.revision}"


def _as_a_whole(plan: Plan, piece: Piece) -> Iterator[str]:
    """Its boxed brackets, the room its long points take, and where it may be cut."""
    bays: list[LevelBay | StairBay] = [*plan.bays.level, *plan.bays.stair]
    bay = next((one for one in bays if one.name == piece.bay), None)
    if bay is None:
        return
    rails = ("top", "bottom") if piece.rails == "pair" else (piece.rails,)
    boxed = {"level": "line", "stair": "stair"}[piece.orientation]
    count = sum(fit.kind == boxed and fit.rail in rails for fit in bay.brackets)
    if piece.brackets != count:
        yield f"{piece.id}: takes {count} brackets from the kits' boxes, not {piece.brackets}"
    across = max(_rail_of(plan, bay, rail).across for rail in rails)
    for reach, deg in (
        (piece.reach_left, piece.saw_left_deg),
        (piece.reach_right, piece.saw_right_deg),
    ):
        if reach - across * tan(radians(abs(deg))) >= 1:
            yield f"{piece.id}: its long point is no {inches(reach)}"
    laid = next((one for one in plan.layout.bays if one.name == piece.bay), None)
    ahead = plan.job.company.cut_for != "job" and laid is not None and _read_twice(plan, laid)
    if (piece.cut_in == "shop") != ahead:
        yield f"{piece.id}: to be cut in the {piece.cut_in}"


def _rail_of(plan: Plan, bay: LevelBay | StairBay, rail: str) -> _Rail:
    return _level(plan, bay, rail) if isinstance(bay, LevelBay) else _stair(plan, bay, rail)


def _read_twice(plan: Plan, laid: Bay) -> bool:
    """Whether the tape read that opening at both heights, between posts that stand and stay."""
    along = [b for b in plan.layout.bays if b.leg == laid.leg and b.kind != "stair"]
    leg = next((leg for line in plan.job.lines for leg in line.legs if leg.name == laid.leg), None)
    if leg is None or not laid.measured or laid.kind != "level" or len(along) != len(leg.clears):
        return False
    return leg.clears[along.index(laid)].top is not None


def _tickets(plan: Plan) -> Iterator[str]:
    """One a rail, numbered from 1 without a gap, job and revision before it."""
    found = Counter(ticket for piece in plan.cuts.pieces for ticket in piece.tickets)
    stem = f"{plan.job.job}-{plan.job.revision}"
    ours = {f"{stem}-{number:02}" for number in range(1, found.total() + 1)}
    if found.keys() != ours:
        yield f"cut tickets are not {stem}-01 to {found.total():02}, each once"
    for piece in plan.cuts.pieces:
        if len(piece.tickets) != (2 if piece.rails == "pair" else 1):
            yield f"{piece.id}: {len(piece.tickets)} tickets, not one for each rail"
