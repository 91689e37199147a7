"""What stands on the sheets: final words, tables and drawings, top to bottom.

In: a finished plan. Out: sheets that paper only has to set; painting decides nothing.
A sheet may run over several printed pages; each repeats its heading.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from schemas.drawings import Drawing
from schemas.record import Record
from schemas.wording import Language, SheetText, say

Signal = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
"""Signal words, each as ANSI Z535 means it: NOTICE is never about injury."""


class Heading(Record):
    """A line that opens a part of a sheet."""

    kind: Literal["heading"] = "heading"
    text: SheetText


class Prose(Record):
    """A paragraph, wrapped to the measure."""

    kind: Literal["prose"] = "prose"
    text: SheetText
    role: Literal["body", "strong", "small", "lead"] = "body"
    """Body 11 pt, strong the same in bold, small 9 pt (never for instructions), lead 14 pt bold."""
    changed: bool = False
    """A bar in the margin: differs from the pack it replaces."""


class Fact(Record):
    """A labelled value."""

    label: SheetText
    value: SheetText
    big: bool = False
    """Printed large: the figures the crew acts on."""
    changed: bool = False
    """A bar in the margin: differs from the pack it replaces."""


class Facts(Record):
    """Labelled values in a grid."""

    kind: Literal["facts"] = "facts"
    facts: tuple[Fact, ...]
    columns: Annotated[int, Field(ge=1, le=4)] = 3


class Column(Record):
    """A column of a table."""

    head: SheetText
    share: Annotated[float, Field(gt=0)] = 1
    """Width relative to the other columns."""
    align: Literal["left", "right", "centre"] = "left"
    box: bool = False
    """An empty box to write in; cell text is ignored."""
    bold: bool = False
    rule: bool = False
    """A rule at its left: a new set of columns begins."""


class Row(Record):
    """A row of a table."""

    cells: tuple[SheetText, ...]
    strong: bool = False
    """Set off by weight: a total, or a row that needs attention."""
    changed: bool = False
    """A bar in the margin: differs from the pack it replaces."""
    group: SheetText = ""
    """A line of text over the row, with a rule, when it differs from the row before."""


class Table(Record):
    """Rows under heads; heads repeat on every page it runs over."""

    kind: Literal["table"] = "table"
    columns: Annotated[tuple[Column, ...], Field(min_length=1)]
    rows: tuple[Row, ...]
    size: Literal["small", "dense", "normal", "large"] = "normal"
    """Type: 9, 10 with its rows close together, 10.5 or 13 pt."""


class Tick(Record):
    """A line with a box to tick or initial."""

    text: SheetText
    mark: SheetText = ""
    """Number or hold-point name before it."""
    hold: bool = False
    """A hold point: heavy frame, room for initials and time."""
    under: tuple[SheetText, ...] = ()
    """Lines in smaller type below: people, tool, wait, the usual slip."""
    changed: bool = False
    """A bar in the margin: differs from the pack it replaces."""


class Ticks(Record):
    """A list to work through with a pencil."""

    kind: Literal["ticks"] = "ticks"
    ticks: tuple[Tick, ...]
    abreast: Literal[1, 2] = 1
    """Columns; two for short lines, none of them a hold."""
    sign: tuple[SheetText, SheetText, SheetText] = (say("HOLD"), say("initials"), say("time"))
    """Words of a hold point: over its name, and at the two lines it is signed on."""


class Ticket(Record):
    """What is taped to a cut piece."""

    head: SheetText
    """Job and revision: a piece whose ticket carries another revision is held."""
    piece: SheetText
    """What it is, large: bay and rail."""
    cut: SheetText
    """Its length, large."""
    lines: tuple[SheetText, ...]
    """What else the saw and the installer need, a line each."""
    end: SheetText
    """Word at the ticket's left edge, which is taped toward that end of the piece."""
    changed: bool = False
    """A bar at its left edge: differs from the pack it replaces."""


class Tickets(Record):
    """Tickets in a grid, to be cut apart or printed on label stock."""

    kind: Literal["tickets"] = "tickets"
    tickets: tuple[Ticket, ...]


class Message(Record):
    """A safety message: signal word, hazard, consequence, how to avoid it."""

    kind: Literal["message"] = "message"
    signal: Signal
    word: SheetText = ""
    """The signal word as printed; empty: as it stands."""
    hazard: SheetText
    consequence: SheetText
    avoid: SheetText
    source: SheetText = ""
    more: bool = False
    """Under the signal word of the message before it, which is of the same level."""
    goes_on: SheetText = say("continued")
    """Said beside the signal word where it is printed again on a new page."""


class Figure(Record):
    """A drawing in its place."""

    kind: Literal["figure"] = "figure"
    drawing: Drawing
    check: SheetText = say("on paper, or go by the figures")
    """Said after what the check bar measures."""
    changed: bool = False
    """A bar in the margin: differs from the pack it replaces."""


class WriteIn(Record):
    """Lines for the pencil."""

    kind: Literal["write_in"] = "write_in"
    labels: tuple[SheetText, ...]


class Break(Record):
    """What follows starts a new page."""

    kind: Literal["break"] = "break"


Block = Annotated[
    Heading | Prose | Facts | Table | Ticks | Tickets | Message | Figure | WriteIn | Break,
    Field(discriminator="kind"),
]


class Sheet(Record):
    """One kind of page of a pack, complete in itself: crews separate them."""

    key: str
    """Short name, e.g. ``cut-list``; opens a bookmark."""
    title: SheetText
    """Printed large at the top of each of its pages."""
    language: Language | None = None
    """Where it is not the crew's: a sheet for somebody else."""
    leaf: Literal["shared", "own", "each page"] = "shared"
    """Where both sides are printed. Own: no other sheet on its leaves, since it is given away. Each
    page: nothing on their backs at all, since they are cut apart."""
    place: SheetText = ""
    """What part of the job it is for, e.g. ``Stair S1, left side going up``."""
    blocks: tuple[Block, ...]


class Imprint(Record):
    """What every printed page carries so that two versions are never confused."""

    job: SheetText
    """Job number; the crew's day for a bundle."""
    language: Language = "en"
    """In which paper says its own words: the number of the sheet, that it goes on."""
    revision: SheetText
    """Revision in words, e.g. ``rev 2``."""
    site: SheetText
    """Customer and street, one line."""
    crew: SheetText
    code: SheetText
    """Content code: same content, same code."""
    issued: SheetText
    """When and by which run, in words."""
    replaces: SheetText
    """What is to be destroyed; empty is nothing."""
    check_at: SheetText
    """Address behind the printed machine-readable code: is this sheet still current?"""
    company: SheetText = ""
    """Who issues the pack; also the document's author."""
    notes: tuple[SheetText, ...] = ()
    """Lines printed in the foot of every page: the standard disclaimer, the unit of length."""
