"""Cut tickets: one for each rail, to be cut out and taped to it."""

from __future__ import annotations

from schemas.cut_plan import Bar, CutPlan, Piece, PlacedPiece
from schemas.pages import Prose, Sheet, Ticket, Tickets
from schemas.plan import Plan
from schemas.wording import row, say
from services.pages.cut_from import pieces_on, rails_words
from services.pages.wording import Ruler, job_words, units_note
from services.tape import angle

_FACES = {"top": say("holes face down"), "bottom": say("holes face up")}
"""Where a rail's holes look once it is in place."""


def cut_tickets(plan: Plan) -> Sheet:
    """A ticket for every rail, in the order of the bars.

    Args:
        plan: The finished plan.
    """
    return Sheet(
        key="cut-tickets",
        title=say("Cut tickets"),
        place=say("Cut apart on the heavy lines; one to each rail"),
        blocks=(
            units_note(Ruler(step=plan.job.step)),
            Prose(text=say("Tape each on with its left edge toward the end it names. A rail whose "
"ticket carries another revision is held, not used.")),
            Tickets(tickets=tickets(plan)),
        ),
    )  # fmt: skip


def tickets(plan: Plan) -> tuple[Ticket, ...]:
    """A ticket for every rail, in the order of the bars."""
    return tickets_of(plan.cuts, Ruler(step=plan.job.step))


def tickets_of(cuts: CutPlan, ruler: Ruler) -> tuple[Ticket, ...]:
    """A ticket for every rail of a cut plan, whosever rails they are.

    Args:
        cuts: The plan.
        ruler: How lengths are printed.
    """
    return tuple(
        ticket
        for bar in cuts.bars
        for placed, piece in pieces_on(bar, cuts)
        for ticket in _tickets(bar, placed, piece, ruler)
    )


def _tickets(bar: Bar, placed: PlacedPiece, piece: Piece, ruler: Ruler) -> tuple[Ticket, ...]:
    rails = ("top", "bottom") if piece.rails == "pair" else (piece.rails,)
    left = say("lower end") if piece.orientation == "stair" else say("left end")
    return tuple(
        Ticket(
            head=_head(piece, at),
            piece=row((piece.bay, rails_words(rail)), " "),
            cut=ruler.mark(piece.length),
            lines=(_holes(piece, rail, left, ruler), _saw(bar, placed, piece)),
            end=say("← {end}", end=left),
        )
        for at, rail in enumerate(rails)
    )


def _head(piece: Piece, at: int) -> str:
    """Job and revision, and the last part of the ticket's number, which begins with both."""
    head = job_words(piece.job, piece.revision)
    if not piece.tickets:
        return head
    return say("{job}, no. {number}", job=head, number=piece.tickets[at].rpartition("-")[2])


def _holes(piece: Piece, rail: str, left: str, ruler: Ruler) -> str:
    margin = ruler.mark(piece.margin_left)
    return say(
        "{end} to first hole {margin}; {face}",
        end=left,
        margin=margin,
        face=_FACES[rail],
    )


def _saw(bar: Bar, placed: PlacedPiece, piece: Piece) -> str:
    saws = f"{angle(piece.saw_left_deg)}, {angle(piece.saw_right_deg)}"
    return say(
        "saw {saws}; bar {bar}, its hole {hole}",
        saws=saws,
        bar=bar.number,
        hole=placed.first_hole,
    )
