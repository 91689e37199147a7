"""Which stock a bay's rails come from: bar, kit, first hole, start and end."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.cut_plan import Bar, Piece, PlacedPiece
from schemas.pages import Block, Prose
from schemas.plan import Plan
from services.pages.wording import Ruler


def cut_from_lines(plan: Plan, bays: Sequence[str]) -> tuple[Block, ...]:
    """A line for each piece of some bays.

    Args:
        plan: The finished plan.
        bays: Names of the bays.
    """
    ruler = Ruler(step=plan.job.step)
    return tuple(
        Prose(
            text=f"{piece.id}, {rails_words(piece.rails)}: bar {bar.number} ({stock_words(bar)}), "
            f"first hole is its hole {placed.first_hole}, from {ruler.mark(placed.start)} to "
            f"{ruler.mark(placed.end)}."
        )
        for bar in plan.cuts.bars
        for placed, piece in pieces_on(bar, plan)
        if piece.bay in bays
    )


def pieces_on(bar: Bar, plan: Plan) -> tuple[tuple[PlacedPiece, Piece], ...]:
    """The pieces of a bar, from its left end."""
    return tuple((placed, plan.cuts.piece(placed.piece)) for placed in bar.pieces)


def rails_words(rails: str) -> str:
    """Which rails a piece stands for."""
    return "both rails" if rails == "pair" else f"{rails} rail"


def stock_words(bar: Bar) -> str:
    """What a bar is cut from."""
    return bar.stock.kit or f"offcut {bar.stock.id}"
