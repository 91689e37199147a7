"""Which stock a rail comes from."""

from __future__ import annotations

from schemas.company import Company
from schemas.cut_plan import Bar, CutPlan, Piece, PlacedPiece
from schemas.wording import say
from services.wording.terms import term


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


def ready_words(rail: str) -> str:
    """What of it comes ready cut: one of a bay's rails, or a post's sleeve or core."""
    return term(rail) if rail in {"sleeve", "core"} else rails_words(rail)


def stock_words(bar: Bar, company: Company | None = None) -> str:
    """What a bar is cut from.

    Args:
        bar: The bar.
        company: For what the crew calls a kit; none: by its stock key.
    """
    kit = bar.stock.kit
    if kit is None:
        return say("offcut {offcut}", offcut=bar.stock.id)
    return company.called(kit) if company else kit
