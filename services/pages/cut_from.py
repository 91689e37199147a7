"""Which stock a rail comes from."""

from __future__ import annotations

from schemas.cut_plan import Bar, Piece, PlacedPiece
from schemas.plan import Plan


def pieces_on(bar: Bar, plan: Plan) -> tuple[tuple[PlacedPiece, Piece], ...]:
    """The pieces of a bar, from its left end."""
    return tuple((placed, plan.cuts.piece(placed.piece)) for placed in bar.pieces)


def rails_words(rails: str) -> str:
    """Which rails a piece stands for."""
    return "both rails" if rails == "pair" else f"{rails} rail"


def stock_words(bar: Bar) -> str:
    """What a bar is cut from."""
    return bar.stock.kit or f"offcut {bar.stock.id}"
