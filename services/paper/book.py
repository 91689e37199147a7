"""A book of sheets: counted part by part, then written straight into one PDF."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from reportlab.pdfgen.canvas import Canvas

from schemas.errors import GeometryError, UnprintableText
from schemas.pages import Block, Break, Imprint, Sheet
from services.paper import figure, message, scan_code, table, ticket, ticks, words
from services.paper.flow import Piece, flow
from services.paper.footer import Footer, set_footer
from services.paper.frame import SIZES, Frame, PaperSize, inside_margins
from services.paper.header import set_header
from services.paper.ink import Ink
from services.paper.letters import clean
from services.paper.scan_code import ScanCode
from services.paper.type import REGULAR, fit
from services.wording import words_for


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Sheets under one imprint, numbered on their own: a pack, or a bundle's day sheet."""

    imprint: Imprint
    sheets: tuple[Sheet, ...]


class Entry(NamedTuple):
    """Where a sheet begins."""

    part: int
    """Counted from 1."""
    key: str
    title: str
    page: int
    """Page of the file, counted from 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """A finished file."""

    pdf: bytes
    pages: int
    index: tuple[Entry, ...]
    """Each sheet in order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _SetPart:
    """A part whose pages are set but not yet written."""

    part: Part
    footer: Footer
    code: ScanCode | None
    sheets: tuple[tuple[Sheet, list[Ink]], ...]

    @property
    def pages(self) -> int:
        return sum(len(inks) for _, inks in self.sheets)


_LANGUAGES = {"en": "en-US", "es": "es-US"}
"""As BCP 47 writes them, for readers who listen."""

_SETTERS: dict[str, Callable[..., list[Piece]]] = {
    "heading": words.set_heading,
    "prose": words.set_prose,
    "facts": words.set_facts,
    "write_in": words.set_write_in,
    "table": table.set_table,
    "ticks": ticks.set_ticks,
    "tickets": ticket.set_tickets,
    "message": message.set_message,
    "figure": figure.set_figure,
}
"""By a block's kind."""


def set_book(*, parts: Sequence[Part], size: PaperSize, duplex: bool = False) -> Printed:
    """Set parts on paper.

    The same parts give the same bytes, in any process. Everything is set before the
    first byte is written, so a refusal leaves nothing half done.

    Args:
        parts: A pack is one; a bundle is its day sheet and each job's pack.
        size: Of the sheets.
        duplex: Printed on both sides: each part begins on a sheet of its own.

    Raises:
        UnprintableText: No sheets at all, or a text that cannot be set.
        GeometryError: A drawing or table that does not fit the sheet.
    """
    done = [_set_part(part, size) for part in parts]
    if not any(part.pages for part in done):
        msg = "no sheets to print"
        raise UnprintableText(msg)
    canvas = open_canvas(parts[0].imprint, size)
    index: list[Entry] = []
    page = 1
    for number, part in enumerate(done, 1):
        level = _open_part(canvas, part, number, alone=len(done) == 1)
        index += _write_part(canvas, part, number, page, level)
        page += part.pages
        if duplex and part.pages % 2 and number < len(done):
            _empty_side(part.part.imprint, size).write(canvas)
            canvas.showPage()
            page += 1
    return Printed(pdf=canvas.getpdfdata(), pages=page - 1, index=tuple(index))


def _empty_side(imprint: Imprint, size: PaperSize) -> Ink:
    """The back of a part's last sheet: it says that nothing is missing there."""
    frame, ink = inside_margins(size), Ink()
    says = words_for(imprint.language).say(
        "This side is left empty: what follows begins on a sheet of its own."
    )
    fitted = fit(clean(says), REGULAR, size=12, floor=9, most=3, room=frame.width)
    y = (frame.top + frame.bottom) / 2
    for line in fitted.lines:
        ink.text(frame.left, y, line, size=fitted.size, face=REGULAR)
        y -= fitted.leading
    return ink


def _set_part(part: Part, size: PaperSize) -> _SetPart:
    margins = inside_margins(size)
    footer = set_footer(part.imprint, margins)
    sheets = tuple(
        (sheet, _set_sheet(sheet, part.imprint, margins, footer)) for sheet in part.sheets
    )
    set_part = _SetPart(
        part=part, footer=footer, code=scan_code.encode(part.imprint.check_at), sheets=sheets
    )
    inks = [ink for _, pages in sheets for ink in pages]
    for i, ink in enumerate(inks, 1):
        footer.paint(ink, number=i, of=len(inks))
    return set_part


def _set_sheet(sheet: Sheet, imprint: Imprint, margins: Frame, footer: Footer) -> list[Ink]:
    try:
        header = set_header(imprint, sheet, margins)
        frame = replace(
            margins, top=margins.top - header.height, bottom=margins.bottom + footer.height
        )
        return flow(_pieces(sheet.blocks, frame), frame, header.opening)
    except (UnprintableText, GeometryError) as refused:
        msg = f"sheet {sheet.key}: {refused}"
        raise type(refused)(msg) from refused


def _pieces(blocks: Sequence[Block], frame: Frame) -> list[Piece]:
    pieces: list[Piece] = []
    opens = False
    for block in blocks:
        if isinstance(block, Break):
            opens = True
            continue
        made = _SETTERS[block.kind](block, frame)
        if opens and made:
            made[0] = replace(made[0], opens=True)
            opens = False
        pieces += made
    return pieces


def open_canvas(imprint: Imprint, size: PaperSize) -> Canvas:
    """A new document under an imprint: same content, same bytes; viewers are not to scale it."""
    canvas = Canvas(
        "",
        pagesize=SIZES[size],
        invariant=1,
        pageCompression=1,
        pdfVersion=(1, 7),
        initialFontName=REGULAR.name,
        lang=_LANGUAGES[imprint.language],
    )
    canvas.setTitle(clean(f"{imprint.job}, {imprint.revision}"))
    canvas.setAuthor(clean(imprint.company) or "Dawnpack")
    subject = words_for(imprint.language).say("Work pack, {site}", site=imprint.site)
    canvas.setSubject(clean(subject))
    canvas.setKeywords(clean(imprint.code))
    canvas.setCreator("Dawnpack")
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    return canvas


def _open_part(canvas: Canvas, part: _SetPart, number: int, *, alone: bool) -> int:
    """Write what a part needs once; tells the level of its sheets in the outline."""
    if part.code:
        part.code.define(canvas, f"scan{number}")
    if alone or not part.pages:
        return 0
    title = clean(f"{part.part.imprint.job}, {part.part.imprint.revision}")
    canvas.bookmarkPage(f"part{number}")
    canvas.addOutlineEntry(title, f"part{number}", level=0)
    return 1


def _write_part(canvas: Canvas, part: _SetPart, number: int, page: int, level: int) -> list[Entry]:
    index = []
    for i, (sheet, inks) in enumerate(part.sheets):
        name = f"part{number}-sheet{i}"
        canvas.bookmarkPage(name)
        canvas.addOutlineEntry(clean(sheet.title), name, level=level)
        index.append(Entry(part=number, key=sheet.key, title=sheet.title, page=page))
        for ink in inks:
            ink.write(canvas)
            if part.code:
                x, y = part.footer.code_at
                scan_code.show(canvas, f"scan{number}", x=x, y=y)
            canvas.showPage()
        page += len(inks)
    return index
