"""Cut tickets on label stock, and bundles printed on both sides.

Source:
    The sheet's own measures, as a label packet states them; read back by pdfium.
"""

from __future__ import annotations

import pytest

from schemas.errors import GeometryError, UnknownThing
from schemas.pages import Prose, Sheet, Ticket
from services.paper.book import Part, set_book
from services.paper.frame import SIZES
from services.paper.label_stock import Grid, set_labels
from services.pipeline import make_labels, make_pack
from tests.paper.readers import letters_of, opened, texts
from tests.paper.sample_book import imprint
from tests.planned import plan

GRID = Grid(
    size="letter", columns=2, rows=5, left=13.5, top=36, wide=288, high=144, across=297, down=144
)  # 4 x 2 in labels, 3/16 in from the left, 1/2 in from the top
TICKET = Ticket(
    head="J-2041 rev 2", piece="A1-A2 top rail", cut="84 3/4", lines=("left end 1 7/8", "saw 0"),
    end="left end",
)  # fmt: skip


def labels(*tickets: Ticket, grid: Grid = GRID) -> bytes:
    """A file of labels."""
    return set_labels(tickets, grid=grid, imprint=imprint()).pdf


def test_each_ticket_stands_inside_its_own_label() -> None:
    """Every letter is in the label whose number it has; the first says what the sheet is."""
    pdf = labels(*(TICKET.model_copy(update={"piece": f"ticket{i}"}) for i in range(1, 10)))
    (page,) = letters_of(pdf)
    high = SIZES["letter"][1]

    found: dict[tuple[int, int], str] = {}
    for char in page:
        column, row = int((char.left - 13.5) // 297), int((high - 36 - char.top) // 144)
        left, top = 13.5 + 297 * column, high - 36 - 144 * row
        assert left <= char.left
        assert char.right <= left + 288
        assert top - 144 <= char.bottom
        found[row, column] = found.get((row, column), "") + char.text

    assert "Labels" in found[0, 0]
    assert [i for i in range(1, 10) if f"ticket{i}" in found[divmod(i, 2)]] == [*range(1, 10)]


def test_every_label_carries_job_revision_and_code() -> None:
    """Eleven tickets take two sheets, the first label of each named; no label is anonymous."""
    pages = texts(labels(*[TICKET] * 11))

    assert len(pages) == 2
    assert "sheet 2 of 2" in pages[1]
    assert [page.count("J-2041 rev 2, 7K3Q-9X2M-0RTV") for page in pages] == [9, 2]


@pytest.mark.parametrize(
    ("change", "says"),
    [({"wide": 80.0}, "too small"), ({"left": 60.0}, "off the sheet"), ({"down": 100.0}, "over")],
)
def test_stock_that_cannot_be_is_refused(change: dict[str, float], says: str) -> None:
    """Labels off the sheet, over each other or too small for a ticket."""
    values = {edge: getattr(GRID, edge) for edge in Grid.__slots__} | change

    with pytest.raises(GeometryError, match=says):
        labels(TICKET, grid=Grid(**values))


def test_label_too_small_for_its_ticket_is_refused_by_name() -> None:
    """No line of a ticket is left out or cut: the stock of 1 x 2 5/8 in is told to be too small."""
    small = Grid(
        size="letter", columns=3, rows=10, left=13.5, top=36, wide=189, high=72, across=198, down=72
    )
    long = TICKET.model_copy(
        update={
            "lines": (
                "left end to first hole 1 13/16; holes face down",
                "saw: left 22.5° off square, right square; bar 12, hole 11",
                "long point of the left end: yard side",
            )
        }
    )

    with pytest.raises(GeometryError, match="too small for the ticket of A1-A2 top rail"):
        labels(long, grid=small)
    assert all(line in texts(labels(long))[0] for line in long.lines)


def test_a_job_has_a_label_for_every_rail_with_its_packs_code() -> None:
    """As many tickets as rails, each with the code of the pack that was made with them."""
    made = plan("porch")
    code = make_pack(made, issued="today").code

    said = " ".join(texts(make_labels(made, issued="today").content))

    rails = sum(2 if piece.rails == "pair" else 1 for piece in made.cuts.pieces)
    assert said.count(code) == rails + 1
    assert said.count("P-2042 rev 1") == rails + 1


def test_company_without_label_stock_is_told_where_to_name_it() -> None:
    """The message names the field."""
    made = plan("porch")
    company = made.job.company.model_copy(update={"labels": None})
    job = made.job.model_copy(update={"company": company})

    with pytest.raises(UnknownThing, match="labels"):
        make_labels(made.model_copy(update={"job": job}), issued="today")


def part(name: str, pages: int) -> Part:
    """Sheets of one page each."""
    sheets = (
        Sheet(key=f"s{i}", title=f"{name} {i}", blocks=(Prose(text="Text."),)) for i in range(pages)
    )
    return Part(imprint=imprint(job=name), sheets=tuple(sheets))


def test_each_job_begins_on_a_sheet_of_its_own_when_both_sides_are_printed() -> None:
    """An odd part leaves its last back empty and says so; no sheet is counted twice."""
    parts = [part("One", 3), part("Two", 2), part("Three", 1)]

    printed = set_book(parts=parts, size="letter", duplex=True)

    pages = texts(printed.pdf)
    assert [page for page in range(len(pages)) if "left empty" in pages[page]] == [3]
    assert [entry.page for entry in printed.index if entry.key == "s0"] == [1, 5, 7]
    assert len(opened(printed.pdf).pages) == printed.pages == 7
    assert "sheet 3 of 3" in pages[2]


def test_one_sided_bundles_have_no_empty_side() -> None:
    """Nothing is padded where nothing is turned over."""
    printed = set_book(parts=[part("One", 3), part("Two", 1)], size="letter")

    assert printed.pages == 4
