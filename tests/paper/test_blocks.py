"""Each kind of block as it is printed: tables, ticks, hold points, messages, facts.

Source:
    Ticks in gloves: box 6 mm, row 9 mm (own judgement). Signal words: ANSI Z535.4,
    the alert triangle never with NOTICE (from memory).
"""

from itertools import pairwise

import pytest

from schemas.errors import GeometryError, UnprintableText
from schemas.pages import (
    Block,
    Break,
    Column,
    Fact,
    Facts,
    Message,
    Prose,
    Row,
    Sheet,
    Signal,
    Table,
    Tick,
    Ticks,
    WriteIn,
)
from services.paper.book import Part, set_book
from tests.paper.readers import Char, chars, operators, picture, segments, texts
from tests.paper.sample_book import cut_list, imprint

MM = 72 / 25.4


def printed(*blocks: Block) -> bytes:
    """Blocks on a sheet of their own."""
    sheet = Sheet(key="s", title="Sheet", blocks=blocks)
    return set_book(parts=[Part(imprint=imprint(), sheets=(sheet,))], size="letter").pdf


def body(pdf: bytes, page: int = 0) -> list[Char]:
    """The letters between head and foot."""
    return [char for char in chars(pdf, page) if 130 < char.bottom < 700]


def lengths(*cells: str) -> bytes:
    """A table with one column of lengths, set right."""
    rows = tuple(Row(cells=(cell,)) for cell in cells)
    return printed(Table(columns=(Column(head="x", align="right"),), rows=rows))


def test_table_heads_and_group_stand_on_every_page() -> None:
    """A row is never read without knowing its columns and its set-up."""
    pages = texts(printed(cut_list()))

    assert len(pages) >= 3
    assert all("Mark Where it goes Piece Length in Saw Cut" in page for page in pages)
    assert all("Saw s" in page for page in pages)


def test_every_row_is_printed_once_and_whole() -> None:
    """No row is lost or cut at a page's end."""
    pages = texts(printed(cut_list(rows=60)))

    for i in range(1, 61):
        assert sum(f" C{i} " in page for page in pages) == 1


def test_row_has_as_many_cells_as_heads() -> None:
    """A cell too many or too few is refused, not dropped."""
    with pytest.raises(GeometryError, match="sheet s: a row of 2 cells under 1 heads"):
        printed(Table(columns=(Column(head="a"),), rows=(Row(cells=("1", "2")),)))


def test_words_end_at_the_edge_and_fractions_stand_in_their_column() -> None:
    """A word set right ends where fractions end; a fraction alone stands among fractions."""
    columns = (Column(head="Piece"), Column(head="Cut", align="right"))
    rows = tuple(Row(cells=("x", cell)) for cell in ("8 13/16", "3/8", "CALL"))
    letters = body(printed(Table(columns=columns, rows=rows)))
    ends = {text: max(c.right for c in letters if c.text == text) for text in ("t", "L", "6")}
    slashes = [c.left for c in letters if c.text == "/"]

    assert ends["t"] == pytest.approx(ends["6"], abs=1.5)
    assert ends["L"] == pytest.approx(ends["6"], abs=1.5)
    assert min(slashes) > ends["6"] - 30


def test_whole_numbers_stand_under_each_other() -> None:
    """The last figure of the whole number has one place, with or without a fraction."""
    cells = ("7", "34 11/16", "148 1/2", "9 3/4")
    shown = body(lengths(*cells))
    ends, at = [], 1  # after the head's own letter
    for cell in cells:
        whole = cell.split(" ")[0]
        assert "".join(c.text for c in shown[at : at + len(whole)]) == whole
        ends.append(shown[at + len(whole) - 1].right)
        at += len(cell.replace(" ", ""))

    assert max(ends) - min(ends) < 1.5


def test_changed_row_has_a_bar_in_the_margin() -> None:
    """And a row that did not change has none."""
    rows = (Row(cells=("same",)), Row(cells=("new",), changed=True))
    pdf = printed(Table(columns=(Column(head="a"),), rows=rows))
    left = 20 * MM

    bars = [
        [float(o) for o in operands]
        for name, operands in operators(pdf, 0)
        if name == "re" and float(operands[0]) < left
    ]

    assert len(bars) == 1
    x, y, wide, high = bars[0]
    new = next(c for c in body(pdf) if c.text == "n")
    assert y < new.bottom < y + high
    assert left - 7 < x < x + wide < left


def test_box_to_write_in_is_empty_and_large_enough() -> None:
    """At least 6 mm high in a row of 9 mm; its cell's text is ignored."""
    columns = (Column(head="a"), Column(head="b", box=True))
    pdf = printed(Table(columns=columns, rows=(Row(cells=("x", "secret")),)))

    boxes = [o for name, o in operators(pdf, 0) if name == "re" and float(o[0]) > 300]

    assert len(boxes) == 1
    assert float(boxes[0][3]) >= 6 * MM
    assert "secret" not in texts(pdf)[0]


def test_ticks_can_be_hit_with_a_glove() -> None:
    """Boxes are 6 mm at least, rows 9 mm at least, and nothing stands in a box."""
    pdf = printed(Ticks(ticks=tuple(Tick(text=f"step {i}", mark=str(i)) for i in range(6))))

    boxes = [
        [float(v) for v in o] for name, o in operators(pdf, 0) if name == "re" and float(o[2]) < 30
    ]
    pitches = [a[1] - b[1] for a, b in pairwise(boxes)]

    assert len(boxes) == 6
    assert all(min(wide, high) >= 6 * MM for _, _, wide, high in boxes)
    assert min(pitches) >= 9 * MM
    for x, y, wide, high in boxes:
        assert not [c for c in body(pdf) if x < c.left < x + wide and y < c.bottom < y + high]


def test_hold_point_stands_out_and_can_be_signed() -> None:
    """HOLD, its mark, a heavy frame, and lines for initials and time."""
    pdf = printed(Ticks(ticks=(Tick(text="Pull every post", mark="H1", hold=True),)))
    text = texts(pdf)[0]

    assert all(word in text for word in ("HOLD", "H1", "Pull every post", "initials", "time"))
    assert max(s.weight for s in segments(pdf, 0)) >= 2.5
    lines = [s for s in segments(pdf, 0) if s.weight == 1 and 50 < s.x1 - s.x0 < 100]
    assert len(lines) == 2


def test_order_of_steps_stays() -> None:
    """A hold point stands where it was put."""
    ticks = tuple(Tick(text=f"step{i}x", mark=f"{i}", hold=i == 2) for i in range(5))
    text = texts(printed(Ticks(ticks=ticks)))[0]

    places = [text.index(f"step{i}x") for i in range(5)]

    assert places == sorted(places)


@pytest.mark.parametrize("signal", ["DANGER", "WARNING", "CAUTION", "NOTICE"])
def test_message_says_all_of_it(signal: Signal) -> None:
    """Word, hazard, consequence, avoidance and source, in that order."""
    pdf = printed(
        Message(signal=signal, hazard="hazz", consequence="cons", avoid="avoi", source="sour")
    )
    text = texts(pdf)[0]

    places = [text.index(word) for word in (signal, "hazz", "cons", "avoi", "sour")]

    assert places == sorted(places)


def test_levels_are_told_apart_without_colour() -> None:
    """Frame heavier with each level; black panel and triangle where they belong."""
    weights, panels, triangles = [], [], []
    for signal in ("NOTICE", "CAUTION", "WARNING", "DANGER"):
        pdf = printed(
            Message.model_validate(
                {"signal": signal, "hazard": "h", "consequence": "c", "avoid": "a"}
            )
        )
        weights.append(max(s.weight for s in segments(pdf, 0) if s.y0 < 700))
        word = next(c for c in body(pdf) if c.text == signal[0])
        grey = picture(pdf, 0).getpixel((400, int(792 - word.bottom - 3)))
        panels.append(grey)
        triangles.append(sum(name == "h" for name, _ in operators(pdf, 0)))

    assert weights == sorted(set(weights))
    assert panels == [255, 255, 224, 0]
    assert triangles == [0, 2, 2, 2]


def test_big_facts_are_big() -> None:
    """The figures the crew acts on are 20 pt."""
    pdf = printed(
        Facts(facts=(Fact(label="Rail", value="42 in", big=True), Fact(label="k", value="v")))
    )
    sizes = {char.text: char.size for char in body(pdf)}

    assert sizes["4"] == 20
    assert sizes["v"] == 12


def test_there_is_room_to_write() -> None:
    """Lines to write on are 9 mm apart and as wide as the label leaves."""
    pdf = printed(WriteIn(labels=("Lead", "Customer saw the work")))
    lines = sorted(
        (s for s in segments(pdf, 0) if s.weight == 1 and 100 < s.y0 < 720), key=lambda s: -s.y0
    )

    assert len(lines) == 2
    assert lines[0].y0 - lines[1].y0 >= 9 * MM
    assert lines[0].x1 == lines[1].x1
    assert lines[1].x1 - lines[1].x0 > 300


def test_break_opens_a_page_but_never_an_empty_one() -> None:
    """Breaks at the start, in a row and at the end leave no blank sheet."""
    blocks = (Break(), Prose(text="one"), Break(), Break(), Prose(text="two"), Break())

    pages = texts(printed(*blocks))

    assert len(pages) == 2
    assert "one" in pages[0]
    assert "two" in pages[1]


def test_book_without_sheets_is_refused() -> None:
    """There is nothing to print."""
    with pytest.raises(UnprintableText, match="no sheets"):
        set_book(parts=[Part(imprint=imprint(), sheets=())], size="letter")


def test_refusal_names_the_sheet() -> None:
    """The office reads where the text stands that cannot be set."""
    with pytest.raises(UnprintableText, match=r"sheet s: U\+0928"):
        printed(Prose(text="नम"))


def test_address_too_long_to_scan_is_refused() -> None:
    """A code holds so much and no more."""
    with pytest.raises(UnprintableText, match="too long for a code"):
        set_book(parts=[Part(imprint=imprint(check_at="x" * 9000), sheets=())], size="letter")
