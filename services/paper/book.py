"""A book of sheets: counted part by part, then written straight into one PDF."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
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
    elsewhere: tuple[Imprint, ...] = ()
    """The same imprint in the languages of sheets that are for somebody else."""

    def imprint_of(self, sheet: Sheet) -> Imprint:
        """The imprint in the sheet's own language."""
        others = (one for one in self.elsewhere if one.language == sheet.language)
        return next(others, self.imprint)


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
    code: ScanCode | None
    sheets: tuple[tuple[Sheet, Footer, list[Ink]], ...]

    @property
    def pages(self) -> int:
        return sum(len(inks) for _, _, inks in self.sheets)


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
        duplex: Printed on both sides: each part begins on a leaf of its own, and so does each sheet
            that asks for it.

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
    press = _Press(canvas=canvas, empty=_empty_side(parts[0].imprint, size) if duplex else None)
    for number, part in enumerate(done, 1):
        press.turn(fresh=part.pages > 0)
        level = _open_part(canvas, part, number, alone=len(done) == 1)
        index += _write_part(press, part, number, level)
    return Printed(pdf=canvas.getpdfdata(), pages=press.pages, index=tuple(index))


@dataclass(slots=True, kw_only=True)
class _Press:
    """A file as it is printed page after page."""

    canvas: Canvas
    empty: Ink | None
    """What a back says that is left empty; none: one side only, there are no backs."""
    pages: int = 0
    """So many are done."""

    def turn(self, *, fresh: bool) -> None:
        """Leave the back empty, where what follows asks for a fresh leaf."""
        if fresh and self.empty and self.pages % 2:
            self.page(self.empty)

    def page(self, ink: Ink, over: Callable[[], None] = lambda: None) -> None:
        """A page, and what is shown over it."""
        ink.write(self.canvas)
        over()
        self.canvas.showPage()
        self.pages += 1


def _empty_side(imprint: Imprint, size: PaperSize) -> Ink:
    """A back on which nothing is printed: it says that nothing is missing there."""
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
    sheets = []
    for sheet in part.sheets:
        imprint = part.imprint_of(sheet)
        footer = set_footer(imprint, margins)
        sheets.append((sheet, footer, _set_sheet(sheet, imprint, margins, footer)))
    inks = [(footer, ink) for _, footer, pages in sheets for ink in pages]
    for i, (footer, ink) in enumerate(inks, 1):
        footer.paint(ink, number=i, of=len(inks))
    return _SetPart(part=part, code=scan_code.encode(part.imprint.check_at), sheets=tuple(sheets))


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


def _write_part(press: _Press, part: _SetPart, number: int, level: int) -> list[Entry]:
    def code(at: Footer) -> None:
        if part.code:
            x, y = at.code_at
            scan_code.show(press.canvas, f"scan{number}", x=x, y=y)

    index = []
    fresh = False
    for i, (sheet, footer, inks) in enumerate(part.sheets):
        name = f"part{number}-sheet{i}"
        press.turn(fresh=fresh or sheet.leaf != "shared")
        press.canvas.bookmarkPage(name)
        press.canvas.addOutlineEntry(clean(sheet.title), name, level=level)
        index.append(Entry(part=number, key=sheet.key, title=sheet.title, page=press.pages + 1))
        for ink in inks:
            press.turn(fresh=sheet.leaf == "each page")
            press.page(ink, partial(code, footer))
        fresh = sheet.leaf != "shared"
    return index
