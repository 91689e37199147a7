"""Offcuts: what is left of a bar, and an offcut as stock again."""

from __future__ import annotations

from schemas.cut_plan import Offcut, Piece, StockRail
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

    Its trims are those of the stock it came from.
    """
    return stock.model_copy(
        update={
            "id": tag,
            "kit": None,
            "length": offcut.length,
            "first_hole": offcut.first_hole,
            "holes": offcut.holes,
            "cents": 0,
            "supply": 1,
        }
    )
