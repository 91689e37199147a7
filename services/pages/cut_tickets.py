"""Cut tickets: one for each rail, to be cut out and taped to it."""

from __future__ import annotations

from schemas.cut_plan import Bar, Piece, PlacedPiece
from schemas.pages import Column, Prose, Row, Sheet, Table
from schemas.plan import Plan
from services.pages.cut_from import pieces_on
from services.pages.wording import Ruler, units_note
from services.tape import angle

_COLUMNS = (
    Column(head="Rail", share=1, bold=True),
    Column(head="Cut", share=1.1, align="right", bold=True),
    Column(head="Saw left, right", share=1.6),
    Column(head="Left end to first hole", share=1.3, align="right"),
    Column(head="Bar, hole", share=1), Column(head="Holes face", share=0.9),
    Column(head="Cut by", share=0.9, box=True),
)  # fmt: skip
_FACES = {"top": "down", "bottom": "up"}
"""Where a rail's holes look once it is in place."""


def cut_tickets(plan: Plan) -> Sheet:
    """A ticket for every rail, in the order of the bars.

    Args:
        plan: The finished plan.
    """
    ruler = Ruler(step=plan.job.step)
    rows = tuple(
        row
        for bar in plan.cuts.bars
        for placed, piece in pieces_on(bar, plan)
        for row in _tickets(bar, placed, piece, ruler)
    )
    return Sheet(
        key="cut-tickets",
        title="Cut tickets",
        place="Cut apart on the heavy lines; one to each rail",
        blocks=(
            units_note(ruler),
            Prose(text="A rail whose ticket carries another revision is held, not used. On a "
                  "stair, left is the lower end."),
            Table(columns=_COLUMNS, rows=rows, size="large"),
        ),
    )  # fmt: skip


def _tickets(bar: Bar, placed: PlacedPiece, piece: Piece, ruler: Ruler) -> tuple[Row, ...]:
    rails = ("top", "bottom") if piece.rails == "pair" else (piece.rails,)
    return tuple(
        Row(
            cells=(
                rail, ruler.mark(piece.length),
                f"{angle(piece.saw_left_deg)}, {angle(piece.saw_right_deg)}",
                ruler.mark(piece.margin_left), f"{bar.number}, {placed.first_hole}",
                _FACES[rail], "",
            ),
            group=f"{piece.job} rev {piece.revision}   {piece.bay}   {rail} rail",
        )
        for rail in rails
    )  # fmt: skip
