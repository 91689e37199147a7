"""Cut tickets in a grid: what a piece is and how long, large enough to read off a stack."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from schemas.pages import Ticket, Tickets
from services.paper.flow import BAR, Piece
from services.paper.frame import Frame
from services.paper.ink import WEIGHTS, Ink
from services.paper.letters import clean
from services.paper.type import ASCENT, BOLD, REGULAR, Face, Fitted, fit

HEIGHT = 72.0
"""Least of a ticket on plain paper: an inch. [pt]"""
_ABREAST = 2
_PAD = 5.0
_CUT_SHARE = 0.36
"""How much of a ticket's width its length may take."""
_END_SHARE = 0.5
"""How much of it the word at its left edge may take."""
_MOST = 4
"""Lines that one text of a ticket may break into; the grid leaves it the height."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _SetTicket:
    """A ticket's texts, fitted to its width."""

    head: Fitted
    end: Fitted
    piece: Fitted
    cut: Fitted
    lines: tuple[Fitted, ...]

    @property
    def height(self) -> float:
        """What it takes, its padding included. [pt]."""
        first = max(self.head.height, self.end.height)
        second = max(self.piece.height, self.cut.height)
        return _PAD + first + second + sum(line.height for line in self.lines)


def set_tickets(block: Tickets, frame: Frame) -> list[Piece]:
    """Rows of two tickets, each in a heavy frame to cut along."""
    rows = [block.tickets[i : i + _ABREAST] for i in range(0, len(block.tickets), _ABREAST)]
    return [_row(row, frame, gap=0 if i else 8) for i, row in enumerate(rows)]


def _row(row: Sequence[Ticket], frame: Frame, *, gap: float) -> Piece:
    wide = frame.width / _ABREAST
    high = max(HEIGHT, *(height_of(ticket, wide) for ticket in row))

    def paint(ink: Ink, top: float) -> None:
        for i, ticket in enumerate(row):
            left = frame.left + i * wide
            box = Frame(left=left, right=left + wide, top=top, bottom=top - high)
            ink.rect(left, box.bottom, wide, high, weight=WEIGHTS["heavy"])
            paint_ticket(ink, ticket, box)

    return Piece(height=high, paint=paint, gap=gap)


def height_of(ticket: Ticket, wide: float) -> float:
    """The height that a ticket takes at a width: nothing of it is ever left out. [pt].

    Args:
        ticket: What it says.
        wide: Of its place; at least 120. [pt]
    """
    return _set(ticket, wide - 2 * _PAD).height


def paint_ticket(ink: Ink, ticket: Ticket, box: Frame) -> None:
    """One ticket inside its box.

    Args:
        ink: The page's.
        ticket: What it says.
        box: Its place; at least as high as `height_of` says.
    """
    left, right = box.left + _PAD, box.right - _PAD
    done = _set(ticket, right - left)
    if ticket.changed:
        ink.rect(box.left, box.bottom, BAR, box.top - box.bottom, fill="black")
    top = box.top - _PAD
    _lines(ink, left, top, done.head, BOLD)
    _lines(ink, right - done.end.widest(BOLD), top, done.end, BOLD)
    top -= max(done.head.height, done.end.height)
    _lines(ink, left, top, done.piece, BOLD)
    _lines(ink, right - done.cut.widest(BOLD), top, done.cut, BOLD)
    top -= max(done.piece.height, done.cut.height)
    for line in done.lines:
        _lines(ink, left, top, line, REGULAR)
        top -= line.height


def _set(ticket: Ticket, room: float) -> _SetTicket:
    end = fit(clean(ticket.end), BOLD, size=10, floor=9, most=2, room=room * _END_SHARE)
    beside = room - end.widest(BOLD) - _PAD
    cut = fit(clean(ticket.cut), BOLD, size=16, floor=10, most=1, room=room * _CUT_SHARE)
    named = room - cut.widest(BOLD) - _PAD
    return _SetTicket(
        head=fit(clean(ticket.head), BOLD, size=10, floor=9, most=_MOST, room=beside),
        end=end,
        piece=fit(clean(ticket.piece), BOLD, size=16, floor=12, most=2, room=named),
        cut=cut,
        lines=tuple(
            fit(clean(text), REGULAR, size=10, floor=9, most=_MOST, room=room)
            for text in ticket.lines
        ),
    )


def _lines(ink: Ink, x: float, top: float, fitted: Fitted, face: Face) -> None:
    y = top - ASCENT * fitted.size
    for line in fitted.lines:
        ink.text(x, y, line, size=fitted.size, face=face)
        y -= fitted.leading
