"""Offcuts: what is left of a bar, and an offcut as stock again."""

from __future__ import annotations

from collections.abc import Iterator
from string import ascii_lowercase

from schemas.cut_plan import CutIn, CutPlan, Offcut, Piece, PlainStock, RackPiece, StockRail
from services.cut_plan.lattice import along


def leftovers(
    *, stock: StockRail, laid: tuple[tuple[Piece, int, int], ...], kerf: int, keep: int
) -> tuple[Offcut, ...]:
    """Every part of a bar that no piece or cut touches and that is long enough to keep.

    Both rails of the pair must be free there. An angled cut is counted from its long point,
    so that an offcut has its full section from end to end.

    Args:
        stock: The bar.
        laid: Pieces with start and end, from the left.
        kerf: Width of the blade's cut. [length]
        keep: Shortest offcut that goes back to the rack. [length, > 0]
    """
    spans: list[tuple[int, int]] = []
    free = 0
    for piece, start, end in sorted(laid, key=lambda one: one[1]):
        before = start - piece.reach_left - along(kerf=kerf, deg=piece.saw_left_deg)
        spans.append((free, before))
        after = end + piece.reach_right + along(kerf=kerf, deg=piece.saw_right_deg)
        free = max(free, after)
    spans.append((free, stock.length))
    return tuple(_offcut(stock, start, end) for start, end in spans if end - start >= keep)


def _offcut(stock: StockRail, start: int, end: int) -> Offcut:
    number = max(0, -(-(start - stock.first_hole) // stock.pitch))
    hole = stock.first_hole + number * stock.pitch
    inside = min(stock.holes - number, (end - hole) // stock.pitch + 1) if hole <= end else 0
    return Offcut(
        start=start,
        length=end - start,
        first_hole=hole - start,
        holes=max(0, inside),
    )


def offcut_stock(stock: StockRail, offcut: Offcut, *, tag: str) -> StockRail:
    """An offcut of a bar as stock for a later plan: one of it, at no price.

    An end that the saw made is clean; an end that was the bar's own keeps the bar's trim.
    """
    ends_at_right = offcut.start + offcut.length == stock.length
    return stock.model_copy(
        update={
            "id": tag,
            "kit": None,
            "length": offcut.length,
            "first_hole": offcut.first_hole,
            "holes": offcut.holes,
            "trim_left": 0 if offcut.start else stock.trim_left,
            "trim_right": stock.trim_right if ends_at_right else 0,
            "cents": 0,
            "boxed_cents": 0,
            "supply": 1,
        }
    )


def left_for_rack(plan: CutPlan, *, stem: str, cut_in: CutIn) -> tuple[RackPiece, ...]:
    """What a plan leaves for the rack once it has been cut.

    Offcuts without a hole are no stock for a rail and go to the scrap box.

    Args:
        plan: The plan that was cut.
        stem: How the tags begin; then comes the bar's number and a letter.
        cut_in: Where the bars were cut: a job's rails that the shop cut leave nothing of its bars.
    """
    return (*_rails_left(plan, stem, cut_in), *_rests_left(plan, stem, cut_in))


def _rests_left(plan: CutPlan, stem: str, cut_in: CutIn) -> Iterator[RackPiece]:
    """The rests of sticks: the near end is the saw's and clean, the far one is as it came."""
    jobs = {piece.id: (piece.job, piece.revision) for piece in plan.plain_pieces}
    for bar in plan.plain:
        if bar.racked and bar.cut_in == cut_in:
            home, revision = jobs[bar.pieces[0][0]]
            rest = PlainStock(
                what=bar.what,
                key=bar.stock,
                length=bar.left,
                cents=0,
                trim_right=bar.trim_right,
                supply=1,
                tag=f"{stem}-s{bar.number}",
                made_of=bar.made_of,
            )
            yield RackPiece(stock=rest, home=home, home_revision=revision)


def _rails_left(plan: CutPlan, stem: str, cut_in: CutIn) -> tuple[RackPiece, ...]:
    place = {piece.id: piece.cut_in for piece in plan.pieces}
    jobs = {piece.id: (piece.job, piece.revision) for piece in plan.pieces}
    return tuple(
        RackPiece(
            stock=offcut_stock(bar.stock, offcut, tag=f"{stem}-{bar.number}{letter}"),
            home=jobs[bar.pieces[0].piece][0],
            home_revision=jobs[bar.pieces[0].piece][1],
        )
        for bar in plan.bars
        for letter, offcut in zip(ascii_lowercase, bar.offcuts, strict=False)
        if offcut.holes and place[bar.pieces[0].piece] == cut_in
    )
