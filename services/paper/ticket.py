"""Cut tickets in a grid: what a piece is and how long, large enough to read off a stack."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.pages import Ticket, Tickets
from services.paper.flow import Piece
from services.paper.frame import Frame
from services.paper.ink import WEIGHTS, Ink
from services.paper.letters import clean
from services.paper.type import ASCENT, BOLD, REGULAR, Face, Fitted, fit, width

HEIGHT = 72.0
"""Of a ticket on plain paper: an inch. [pt]"""
_ABREAST = 2
_PAD = 5.0
_CUT_SHARE = 0.36
"""How much of a ticket's width its length may take."""
_MOST_LINES = 2


def set_tickets(block: Tickets, frame: Frame) -> list[Piece]:
    """Rows of two tickets, each in a heavy frame to cut along."""
    rows = [block.tickets[i : i + _ABREAST] for i in range(0, len(block.tickets), _ABREAST)]
    return [_row(row, frame, gap=0 if i else 8) for i, row in enumerate(rows)]


def _row(row: Sequence[Ticket], frame: Frame, *, gap: float) -> Piece:
    wide = frame.width / _ABREAST

    def paint(ink: Ink, top: float) -> None:
        for i, ticket in enumerate(row):
            left = frame.left + i * wide
            box = Frame(left=left, right=left + wide, top=top, bottom=top - HEIGHT)
            ink.rect(left, box.bottom, wide, HEIGHT, weight=WEIGHTS["heavy"])
            paint_ticket(ink, ticket, box)

    return Piece(height=HEIGHT, paint=paint, gap=gap)


def paint_ticket(ink: Ink, ticket: Ticket, box: Frame) -> None:
    """One ticket inside its box.

    Args:
        ink: The page's.
        ticket: What it says.
        box: Its place; at least 40 pt tall and 120 pt wide.
    """
    left, right = box.left + _PAD, box.right - _PAD
    room = right - left
    top = box.top - _PAD
    head = fit(clean(ticket.head), BOLD, size=10, floor=9, most=1, room=room * 0.6)
    end = fit(clean(ticket.end), BOLD, size=10, floor=9, most=1, room=room * 0.4)
    _line(ink, left, top, head, BOLD)
    _line(ink, right - end.widest(BOLD), top, end, BOLD)
    top -= head.leading
    cut = fit(clean(ticket.cut), BOLD, size=16, floor=10, most=1, room=room * _CUT_SHARE)
    piece = fit(
        clean(ticket.piece), BOLD, size=16, floor=10, most=1, room=room * (1 - _CUT_SHARE) - 6
    )
    _line(ink, left, top, piece, BOLD)
    _line(ink, right - width(cut.lines[0], cut.size, BOLD), top, cut, BOLD)
    top -= max(cut.leading, piece.leading)
    for text in ticket.lines[:_MOST_LINES]:
        small = fit(clean(text), REGULAR, size=10, floor=9, most=1, room=room)
        if top - small.leading < box.bottom:
            return
        _line(ink, left, top, small, REGULAR)
        top -= small.leading


def _line(ink: Ink, x: float, top: float, fitted: Fitted, face: Face) -> None:
    ink.text(x, top - ASCENT * fitted.size, fitted.lines[0], size=fitted.size, face=face)
