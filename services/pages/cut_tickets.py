"""Cut tickets: one for each rail and each stick cut ahead, to be cut out and taped to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Final

from schemas.cut_plan import Bar, CutPlan, Piece, PlacedPiece
from schemas.lengths import Length
from schemas.pages import Prose, Sheet, Ticket, Tickets
from schemas.plan import Plan
from schemas.wording import row, say
from services.pages.cut_from import pieces_on, rails_words
from services.pages.wording import Ruler, job_words, units_note
from services.wording.terms import long_points, piece_name, saw_setting, term

_FACES = {"top": say("holes face down"), "bottom": say("holes face up")}
"""Where a rail's holes look once it is in place."""
_LONG = {"top": say("on the hole face"), "bottom": say("on the plain face")}
"""Face of a stair rail on which its lower end's long point is: its underside."""
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
    ) + tuple(_stick_tickets(cuts, ruler))


def _stick_tickets(cuts: CutPlan, ruler: Ruler) -> Iterator[Ticket]:
    """Sleeves and cores that are cut ahead; the others are cut where they are used."""
    pieces = {piece.id: piece for piece in cuts.plain_pieces}
    for bar in cuts.plain:
        for name, start, _ in bar.pieces:
            piece = pieces.get(name)
            if piece is None or piece.ticket is None:
                continue
            post = name.removesuffix(f" {piece.what}").rpartition(" ")[2]
            head = job_words(str(piece.job), piece.revision)
            over = say("{over} long: trim it once its post stands", over=ruler.mark(piece.over))
            yield Ticket(
                head=say("{job}, no. {number}", job=head, number=piece.ticket.rpartition("-")[2]),
                piece=row((piece_name(post), term(piece.what)), " "),
                cut=ruler.mark(piece.length),
                lines=(
                    say("stick {number}, from {start}", number=bar.number, start=ruler.mark(start)),
                    *([over] if piece.over else []),
                ),
                end=say("either end"),
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
            "lower long point ({side}) to first hole {long}; {face}",
            side=_LONG[rail],
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
