"""Cut tickets on label stock: one label a ticket, the first of each sheet says what it is of.

Nothing is printed between the labels, and nothing is scaled: the sheet must be printed at
its own size, or the texts leave their labels.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from schemas.errors import GeometryError
from schemas.pages import Imprint, Ticket
from services.paper.book import Printed, open_canvas
from services.paper.frame import SIZES, Frame, PaperSize
from services.paper.ink import Ink
from services.paper.ticket import height_of, paint_ticket
from services.wording import words_for

_LEAST_WIDE, _LEAST_HIGH = 120.0, 60.0
"""A label smaller than this has no room for a ticket. [pt]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Where the labels of a sheet lie, in points."""

    size: PaperSize
    columns: int
    rows: int
    left: float
    """Sheet's left edge to the first label."""
    top: float
    """Sheet's top edge to the first label."""
    wide: float
    high: float
    across: float
    """From label to label, left edges."""
    down: float
    """From label to label, top edges."""

    def place(self, number: int) -> Frame:
        """The label of that number, read by rows, counted from 0."""
        row, column = divmod(number, self.columns)
        left = self.left + column * self.across
        top = SIZES[self.size][1] - self.top - row * self.down
        return Frame(left=left, right=left + self.wide, top=top, bottom=top - self.high)


def set_labels(tickets: Sequence[Ticket], *, grid: Grid, imprint: Imprint) -> Printed:
    """Set tickets on label stock, each with the pack's code.

    Args:
        tickets: In order.
        grid: The stock.
        imprint: Of the pack they belong to.

    Raises:
        GeometryError: Labels too small for a ticket, off the sheet, or over each other.
        UnprintableText: A text that cannot be set.
    """
    _refuse_misfit(grid)
    named = [
        ticket.model_copy(update={"head": f"{ticket.head}, {imprint.code}"}) for ticket in tickets
    ]
    _refuse_long(named, grid)
    room = grid.columns * grid.rows - 1
    sheets = [named[i : i + room] for i in range(0, len(named), room)] or [[]]
    canvas = open_canvas(imprint, grid.size)
    for number, some in enumerate(sheets, 1):
        ink = Ink()
        paint_ticket(ink, _first(imprint, number, len(sheets)), grid.place(0))
        for i, ticket in enumerate(some, 1):
            paint_ticket(ink, ticket, grid.place(i))
        ink.write(canvas)
        canvas.showPage()
    return Printed(pdf=canvas.getpdfdata(), pages=len(sheets), index=())


def _first(imprint: Imprint, number: int, of: int) -> Ticket:
    """The label by which a sheet of labels is known."""
    words = words_for(imprint.language)
    return Ticket(
        head=f"{imprint.job} {imprint.revision}",
        piece=words.say("Labels"),
        cut=words.say("sheet {number} of {of}", number=number, of=of),
        lines=(
            words.say("Code {code}", code=imprint.code),
            words.say("Issued {when}", when=imprint.issued),
        ),
        end="",
    )


def _refuse_long(tickets: Sequence[Ticket], grid: Grid) -> None:
    """A label that would leave out a line of its ticket is no ticket."""
    for ticket in tickets:
        high = height_of(ticket, grid.wide)
        if high > grid.high:
            msg = (
                f"labels of {grid.wide:.0f} x {grid.high:.0f} pt are too small for the ticket of "
                f"{ticket.piece}, which is {high:.0f} pt high: use larger label stock"
            )
            raise GeometryError(msg)


def _refuse_misfit(grid: Grid) -> None:
    wide, _ = SIZES[grid.size]
    last = grid.place(grid.columns * grid.rows - 1)
    if grid.wide < _LEAST_WIDE or grid.high < _LEAST_HIGH:
        msg = f"labels of {grid.wide:.0f} x {grid.high:.0f} pt are too small for a cut ticket"
    elif last.right > wide or last.bottom < 0:
        msg = f"the last label ends at {last.right:.0f}, {last.bottom:.0f} pt, off the sheet"
    elif grid.across < grid.wide or grid.down < grid.high:
        msg = "labels of the company's stock lie over each other"
    else:
        return
    raise GeometryError(msg)
