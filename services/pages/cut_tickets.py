"""Cut tickets: one for each rail, to be cut out and taped to it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from schemas.cut_plan import Bar, CutPlan, Piece, PlacedPiece
from schemas.lengths import Length
from schemas.pages import Prose, Sheet, Ticket, Tickets
from schemas.plan import Plan
from schemas.wording import row, say
from services.pages.cut_from import pieces_on, rails_words
from services.pages.wording import Ruler, job_words, units_note
from services.wording.terms import long_points, saw_setting

_FACES = {"top": say("holes face down"), "bottom": say("holes face up")}
"""Where a rail's holes look once it is in place."""
_NONE: Final[Mapping[str, Mapping[str, Length]]] = MappingProxyType({})


def cut_tickets(plan: Plan) -> Sheet:
    """A ticket for every rail, in the order of the bars.

    Args:
        plan: The finished plan.
    """
    return Sheet(
        key="cut-tickets",
        title=say("Cut tickets"),
        leaf="each page",
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
    lower = {
        bay.name: {"top": bay.top_first_hole_to_long, "bottom": bay.bottom_first_hole_to_long}
        for bay in plan.bays.stair
    }
    return tickets_of(plan.cuts, Ruler(step=plan.job.step), lower=lower)


def tickets_of(
    cuts: CutPlan, ruler: Ruler, *, lower: Mapping[str, Mapping[str, Length]] = _NONE
) -> tuple[Ticket, ...]:
    """A ticket for every rail of a cut plan, whosever rails they are.

    Args:
        cuts: The plan.
        ruler: How lengths are printed.
        lower: For stair bays, by name and rail: lower end's long point to the first hole.
    """
    return tuple(
        ticket
        for bar in cuts.bars
        for placed, piece in pieces_on(bar, cuts)
        for ticket in _tickets(bar, placed, piece, ruler, lower.get(piece.bay, {}))
    )


def _tickets(
    bar: Bar, placed: PlacedPiece, piece: Piece, ruler: Ruler, lower: Mapping[str, Length]
) -> tuple[Ticket, ...]:
    rails = ("top", "bottom") if piece.rails == "pair" else (piece.rails,)
    left = say("lower end") if piece.orientation == "stair" else say("left end")
    return tuple(
        Ticket(
            head=_head(piece, at),
            piece=row((piece.bay, rails_words(rail)), " "),
            cut=ruler.mark(piece.length),
            lines=tuple(
                filter(
                    None,
                    (
                        _holes(piece, rail, left, ruler, lower.get(rail)),
                        _saw(bar, placed, piece),
                        long_points(piece.long_left, piece.long_right),
                    ),
                )
            ),
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


def _holes(piece: Piece, rail: str, left: str, ruler: Ruler, long: Length | None) -> str:
    if long is not None:
        return say(
            "lower long point to first hole {long}; {face}",
            long=ruler.mark(long),
            face=_FACES[rail],
        )
    return say(
        "{end} to first hole {margin}; {face}",
        end=left,
        margin=ruler.mark(piece.margin_left),
        face=_FACES[rail],
    )


def _saw(bar: Bar, placed: PlacedPiece, piece: Piece) -> str:
    return say(
        "{saws}; bar {bar}, hole {hole}",
        saws=saw_setting(piece.saw_left_deg, piece.saw_right_deg),
        bar=bar.number,
        hole=placed.first_hole,
    )
