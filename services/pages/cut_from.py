"""Which stock a bay's rails come from: bar, kit, first hole, start and end."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.cut_plan import Bar, Piece, PlacedPiece
from schemas.pages import Block, Column, Heading, Row, Table
from schemas.plan import Plan
from services.pages.wording import Ruler


def cut_from(plan: Plan, bays: Sequence[str]) -> tuple[Block, ...]:
    """A row for each piece of some bays.

    Args:
        plan: The finished plan.
        bays: Names of the bays.
    """
    ruler = Ruler(step=plan.job.step)
    columns = (
        Column(head="Piece", share=1.5, bold=True), Column(head="Rails", share=1.3),
        Column(head="Bar", share=0.6), Column(head="Stock", share=1.9),
        Column(head="First hole is its hole", share=1.3, align="right"),
        Column(head="Starts at", share=1.1, align="right"),
        Column(head="Ends at", share=1.1, align="right"),
    )  # fmt: skip
    rows = tuple(
        Row(
            cells=(
                piece.id, rails_words(piece.rails), str(bar.number), stock_words(bar),
                str(placed.first_hole), ruler.mark(placed.start), ruler.mark(placed.end),
            )
        )
        for bar in plan.cuts.bars
        for placed, piece in pieces_on(bar, plan)
        if piece.bay in bays
    )  # fmt: skip
    return (Heading(text="Cut from"), Table(columns=columns, rows=rows)) if rows else ()


def pieces_on(bar: Bar, plan: Plan) -> tuple[tuple[PlacedPiece, Piece], ...]:
    """The pieces of a bar, from its left end."""
    return tuple((placed, plan.cuts.piece(placed.piece)) for placed in bar.pieces)


def rails_words(rails: str) -> str:
    """Which rails a piece stands for."""
    return "top and bottom" if rails == "pair" else rails


def stock_words(bar: Bar) -> str:
    """What a bar is cut from."""
    return bar.stock.kit or f"offcut {bar.stock.id}"
