"""The file as a file: sound, self-contained, with nothing in it that acts.

Source:
    ISO 32000-1: structure, fonts, outlines, viewer preferences; read by pikepdf (qpdf).
"""

from typing import Any

import pikepdf
import pytest

from services.paper.book import Printed, set_book
from services.paper.frame import PaperSize
from tests.paper.readers import fonts, opened
from tests.paper.sample_book import day_sheet, pack


@pytest.fixture(scope="module", params=["letter", "a4"])
def book(request: pytest.FixtureRequest) -> Printed:
    """A bundle of two parts, on either paper."""
    return set_book(parts=[day_sheet(), pack()], size=request.param)


def test_file_has_no_structural_fault(book: Printed) -> None:
    """The checker finds neither error nor warning."""
    assert book.pdf.startswith(b"%PDF-1.7")
    assert opened(book.pdf).check_pdf_syntax() == []


def test_pages_are_counted_right(book: Printed) -> None:
    """As many pages as are told, all of one size."""
    pages = opened(book.pdf).pages

    assert len(pages) == book.pages
    assert len({tuple(map(float, page.MediaBox)) for page in pages}) == 1


@pytest.mark.parametrize(("size", "wide", "high"), [("letter", 612, 792), ("a4", 595.28, 841.89)])
def test_paper_is_the_size_asked_for(size: PaperSize, wide: float, high: float) -> None:
    """ANSI A is 8.5 x 11 in, ISO A4 is 210 x 297 mm."""
    document = opened(set_book(parts=[day_sheet()], size=size).pdf)

    box = document.pages[0].obj.MediaBox

    assert [float(edge) for edge in box] == pytest.approx([0, 0, wide, high], abs=0.01)


def test_every_font_is_ours_and_travels_along(book: Printed) -> None:
    """Each is an embedded subset that maps back to text; no stock font is named."""
    found = fonts(book.pdf)

    assert set(found) == {"/AAAAAA+DejaVuSansCondensed", "/AAAAAA+DejaVuSansCondensed-Bold"}
    assert all({"/FontFile2", "/ToUnicode"} <= carried for carried in found.values())
    assert b"Helvetica" not in book.pdf


def test_nothing_in_the_file_acts_or_calls_out(book: Printed) -> None:
    """No action, script, address, attachment or picture anywhere."""
    forbidden = {
        "/URI", "/JavaScript", "/JS", "/Launch", "/EmbeddedFile", "/EmbeddedFiles",
        "/OpenAction", "/AA", "/GoToR", "/SubmitForm", "/RichMedia", "/Image",
    }  # fmt: skip

    document = opened(book.pdf)
    seen = {name for thing in document.objects for name in _names(thing)}

    assert "/Pages" in seen
    assert not seen & forbidden


def test_outline_leads_to_each_sheet_under_its_part(book: Printed) -> None:
    """Parts at the first level, their sheets below, on the pages of the index."""
    document = opened(book.pdf)
    numbers = {page.obj.objgen: i for i, page in enumerate(document.pages, 1)}

    with document.open_outline() as outline:
        parts = [item.title for item in outline.root]
        sheets = [
            (n, child.title, numbers[_page(document, child).objgen])
            for n, part in enumerate(outline.root, 1)
            for child in part.children
        ]

    assert parts == ["Crew B, Tue 12 May, run 1", "J-2041, rev 2"]
    assert sheets == [(entry.part, entry.title, entry.page) for entry in book.index]


def test_one_part_alone_needs_no_level_of_its_own() -> None:
    """A pack's outline is its sheets."""
    printed = set_book(parts=[pack()], size="letter")

    with opened(printed.pdf).open_outline() as outline:
        titles = [item.title for item in outline.root]

    assert titles == [entry.title for entry in printed.index]


def test_file_says_what_it_is(book: Printed) -> None:
    """Title, author, language, and that a viewer is not to scale it."""
    document = opened(book.pdf)
    preferences = document.Root.ViewerPreferences

    assert str(document.docinfo.Title) == "Crew B, Tue 12 May, run 1"
    assert str(document.docinfo.Author) == "Example Deckworks"
    assert str(document.Root.Lang) == "en-US"
    assert preferences.PrintScaling == pikepdf.Name("/None")
    assert bool(preferences.DisplayDocTitle) is True


def _names(thing: object) -> set[str]:
    """The names in one object, keys and values, at any depth short of references."""
    if isinstance(thing, pikepdf.Name):
        return {str(thing)}
    if isinstance(thing, pikepdf.Dictionary | pikepdf.Stream):
        return set(thing.keys()).union(*(_names(v) for v in thing.values() if not _far(v)))
    if isinstance(thing, pikepdf.Array):
        return set().union(*(_names(v) for v in thing if not _far(v)))
    return set()


def _far(thing: object) -> bool:
    return isinstance(thing, pikepdf.Object) and thing.is_indirect


def _page(document: pikepdf.Pdf, item: pikepdf.OutlineItem) -> Any:  # noqa: ANN401 as untyped as the file
    """The page an outline entry leads to, whether named or direct."""
    target: Any = item.destination
    if not isinstance(target, pikepdf.Array):
        target = document.Root.Dests[str(target)]
    return target[0] if isinstance(target, pikepdf.Array) else target.D[0]
