"""Which stock a rail comes from."""

from __future__ import annotations

from schemas.cut_plan import Bar, CutPlan, Piece, PlacedPiece
from schemas.wording import say


def pieces_on(bar: Bar, cuts: CutPlan) -> tuple[tuple[PlacedPiece, Piece], ...]:
    """The pieces of a bar, from its left end."""
    return tuple((placed, cuts.piece(placed.piece)) for placed in bar.pieces)


def rails_words(rails: str) -> str:
    """Which rails a piece stands for."""
    return (
        say("both rails")
        if rails == "pair"
        else say("top rail")
        if rails == "top"
        else say("bottom rail")
    )


def stock_words(bar: Bar) -> str:
    """What a bar is cut from."""
    return bar.stock.kit or say("offcut {offcut}", offcut=bar.stock.id)
