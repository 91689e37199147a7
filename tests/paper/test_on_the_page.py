"""What stands on the pages: inside the margins, clear of each other, big and black enough.

Source:
    Filing edge 20 mm, border 10 mm: ISO 5457 (title block and borders). Type sizes: checklists not
    under 10 pt, NASA CR-177549 and CR-177605 (from memory). Contrast: WCAG 2.1, 1.4.3,
    relative luminance; 7:1 is its enhanced level.
"""

from itertools import combinations

import pytest
import zxingcpp

from schemas.pages import Block, Heading, Prose, Sheet
from services.paper.book import Part, Printed, set_book
from services.paper.header import CONTINUED
from tests.paper.readers import Char, chars, operators, picture, segments, squeezed, texts
from tests.paper.sample_book import day_sheet, imprint, pack

BOUND, EDGE = 20 / 25.4 * 72, 10 / 25.4 * 72
"""20 mm and 10 mm. [pt]"""
BAR = 7.0
"""How far the bar beside a changed row stands out. [pt]"""
SMALLEST = 9.0
SMALLEST_IN_FRACTION = 8.0
"""Figures of a stacked fraction are four fifths of the 10 pt of its whole number. [pt]"""


@pytest.fixture(scope="module", params=["letter", "a4"])
def book(request: pytest.FixtureRequest) -> Printed:
    """A bundle of two parts, on either paper."""
    return set_book(parts=[day_sheet(), pack()], size=request.param)


def overlapping(letters: list[Char]) -> list[tuple[Char, Char]]:
    """Pairs of letters that cover more than 35 % of the smaller one both ways."""
    return [(a, b) for a, b in combinations(letters, 2) if _share(a, b) > 0.35]


def test_text_keeps_to_the_margins(book: Printed) -> None:
    """20 mm stay free at either long edge, 10 mm above and below."""
    wide, high = picture(book.pdf, 0).size

    letters = [char for page in range(book.pages) for char in chars(book.pdf, page)]

    assert len(letters) > 5000
    assert min(char.left for char in letters) >= BOUND
    assert max(char.right for char in letters) <= wide - BOUND
    assert min(char.bottom for char in letters) >= EDGE
    assert max(char.top for char in letters) <= high - EDGE


def test_ink_keeps_the_bound_edge_free(book: Printed) -> None:
    """Nothing but the bar beside a changed row stands in the 20 mm, and that by 7 pt at most."""
    for page in range(book.pages):
        wide, _ = picture(book.pdf, page).size
        for stroke in segments(book.pdf, page):
            assert min(stroke.x0, stroke.x1) >= BOUND
            assert max(stroke.x0, stroke.x1) <= wide - BOUND
        dark = picture(book.pdf, page).point(lambda grey: 255 * (grey < 200)).getbbox()
        assert dark is not None
        assert dark[0] >= BOUND - BAR
        assert dark[2] <= wide - BOUND + 1


def test_no_letter_stands_on_another(book: Printed) -> None:
    """Letter boxes keep clear of each other on every page."""
    for page in range(book.pages):
        assert overlapping(chars(book.pdf, page)) == [], page


def test_overlap_check_sees_a_planted_fault() -> None:
    """Two words set on one spot are reported: the check above can fail."""
    here = Char(text="3", left=10, bottom=10, right=16, top=18, size=10)
    there = Char(text="8", left=12, bottom=11, right=18, top=19, size=10)

    assert overlapping([here, there]) == [(here, there)]


def test_no_type_is_smaller_than_promised(book: Printed) -> None:
    """9 pt at least; only the figures of stacked fractions are 8 pt."""
    letters = [char for page in range(book.pages) for char in chars(book.pdf, page)]

    small = {char.text for char in letters if char.size < SMALLEST}

    assert min(char.size for char in letters) >= SMALLEST_IN_FRACTION
    assert small <= set("0123456789")


def test_instructions_are_set_for_reading_at_arms_length(book: Printed) -> None:
    """Steps are 13 pt, messages 12 pt and more, titles over 20 pt."""
    letters = [char for page in range(book.pages) for char in chars(book.pdf, page)]

    lines = {
        size: squeezed("".join(c.text for c in letters if c.size == size)) for size in (12, 13, 22)
    }

    assert "Snapthepostline" in lines[13]
    assert "Keepthetemporaryguard" in lines[12]
    assert "Installsequence" in lines[22]


def test_page_is_black_white_and_one_light_grey(book: Printed) -> None:
    """No ink between black and the light fill, and text on that fill has contrast over 7:1."""
    steps = [step for page in range(book.pages) for step in operators(book.pdf, page)]
    greys = {float(operands[0]) for name, operands in steps if name in {"g", "G"}}
    colours = {"rg", "RG", "k", "K", "sc", "SC", "scn", "SCN", "gs", "sh"}

    assert greys == {0.0, 0.88, 1.0}
    assert not {name for name, _ in steps} & colours
    assert _contrast(0.0, 0.88) > 7


def test_sheets_count_within_their_part(book: Printed) -> None:
    """The day sheet is 1 of 1; the pack's sheets count from 1 to the last."""
    pages = texts(book.pdf)
    inside = book.pages - 1

    assert "sheet 1 of 1" in pages[0]
    for i, text in enumerate(pages[1:], 1):
        assert f"sheet {i} of {inside}" in text


def test_every_page_says_whose_it_is(book: Printed) -> None:
    """Job, revision, site, crew, code, issue, what it replaces and the notes."""
    job = imprint()

    for text in texts(book.pdf)[1:]:
        for said in (
            job.job, job.revision, job.site, job.crew, job.code, job.issued, job.replaces,
            job.company, *job.notes,
        ):  # fmt: skip
            assert squeezed(said) in squeezed(text)


def test_each_part_shows_its_own_code(book: Printed) -> None:
    """A page of the day sheet does not carry the job's code, nor the other way round."""
    first, second = texts(book.pdf)[:2]

    assert "55AA-0001-ZZTV" in first
    assert "7K3Q-9X2M-0RTV" not in first
    assert "55AA-0001-ZZTV" not in second


def test_scan_code_reads_as_the_address(book: Printed) -> None:
    """An independent reader finds the address on every page at 150 dots per inch."""
    for page in range(book.pages):
        found = zxingcpp.read_barcodes(picture(book.pdf, page, dpi=150))

        assert [code.text for code in found] == [imprint().check_at]


def test_scan_code_can_be_left_out() -> None:
    """Without an address there is no code, and the foot begins at the margin."""
    printed = set_book(
        parts=[Part(imprint=imprint(check_at=""), sheets=pack().sheets)], size="letter"
    )

    assert zxingcpp.read_barcodes(picture(printed.pdf, 0, dpi=150)) == []
    assert "Scan the code" not in texts(printed.pdf)[0]


def test_sheet_that_runs_on_repeats_its_title_and_says_so() -> None:
    """Every page has the title; all but the first say that they continue."""
    sheet = Sheet(
        key="long", title="Long sheet", blocks=tuple(Prose(text="word " * 400) for _ in range(5))
    )

    pages = texts(set_book(parts=[Part(imprint=imprint(), sheets=(sheet,))], size="letter").pdf)

    assert len(pages) > 2
    assert all("Long sheet" in text for text in pages)
    assert [CONTINUED in text for text in pages] == [False] + [True] * (len(pages) - 1)


def test_heading_goes_with_what_it_heads() -> None:
    """Whatever stands before it, a heading is never the last line of a page."""
    for lines in range(28, 50):
        blocks: tuple[Block, ...] = (
            *(Prose(text=f"line {i}") for i in range(lines)),
            Heading(text="Next part"),
            Prose(text="what follows"),
        )
        sheet = Sheet(key="s", title="Sheet", blocks=blocks)

        pages = texts(set_book(parts=[Part(imprint=imprint(), sheets=(sheet,))], size="a4").pdf)

        assert ["Next part" in page for page in pages] == ["what follows" in page for page in pages]


def _share(a: Char, b: Char) -> float:
    """How much two boxes cover each other, of the smaller side, the lesser of both ways."""
    across = min(a.right, b.right) - max(a.left, b.left)
    up = min(a.top, b.top) - max(a.bottom, b.bottom)
    if across <= 0 or up <= 0:
        return 0
    narrow = min(a.right - a.left, b.right - b.left)
    low = min(a.top - a.bottom, b.top - b.bottom)
    return min(across / max(narrow, 0.1), up / max(low, 0.1))


def _contrast(dark: float, light: float) -> float:
    """WCAG contrast of two greys given as in a PDF (sRGB shares)."""

    def luminance(grey: float) -> float:
        return grey / 12.92 if grey <= 0.04045 else ((grey + 0.055) / 1.055) ** 2.4

    return (luminance(light) + 0.05) / (luminance(dark) + 0.05)
