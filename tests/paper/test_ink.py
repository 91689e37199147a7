"""Batched ink against the canvas's own public calls: the same marks, page for page.

The canvas of the PDF library is the reference; ink is our quicker way to the same page.
"""

from collections.abc import Callable

import pytest
from PIL import ImageChops
from reportlab.pdfgen.canvas import Canvas

from schemas.drawings import Stroke
from services.paper.ink import Ink
from services.paper.type import BOLD, REGULAR
from tests.paper.readers import chars, operators, picture

SIZE = (300.0, 200.0)
Painted = Callable[[Canvas], None]


def page(paint: Painted) -> bytes:
    """One page painted by a function."""
    canvas = Canvas("", pagesize=SIZE, invariant=1, initialFontName=REGULAR.name)
    paint(canvas)
    canvas.showPage()
    pdf = canvas.getpdfdata()
    assert isinstance(pdf, bytes)
    return pdf


def inked(ink: Ink) -> bytes:
    """One page of ink."""
    return page(ink.write)


def assert_same_page(ours: bytes, theirs: bytes) -> None:
    """Both pages have the same letters in the same places, and look the same."""
    assert chars(ours, 0) == chars(theirs, 0)
    shown, wanted = picture(ours, 0, dpi=144), picture(theirs, 0, dpi=144)
    assert min(wanted.tobytes()) < 128
    assert max(ImageChops.difference(shown, wanted).tobytes()) <= 2


@pytest.mark.parametrize(
    "text",
    [
        "plain",
        r"brackets (a) \ and )",
        "Ñandú, Łódź 40 °F",
        "λ ≤ ж ✓ ⚠",
        "no\u00a0break",
        "ab" * 40,
    ],
)
@pytest.mark.parametrize("face", [REGULAR, BOLD], ids=["regular", "bold"])
def test_text_is_what_draw_string_draws(text: str, face: object) -> None:
    """Letters of any subset come out as the public call sets them."""
    chosen = BOLD if face is BOLD else REGULAR
    ink = Ink()

    ink.text(20, 100, text, size=12, face=chosen)

    def public(canvas: Canvas) -> None:
        canvas.setFont(chosen.name, 12)
        canvas.drawString(20, 100, text)

    assert_same_page(inked(ink), page(public))


def test_turned_text_turns_about_its_start() -> None:
    """Turning is anticlockwise about the anchor."""
    ink = Ink()

    ink.text(150, 60, "34 11/16", size=14, face=BOLD, turned=90)

    def public(canvas: Canvas) -> None:
        canvas.translate(150, 60)
        canvas.rotate(90)
        canvas.setFont(BOLD.name, 14)
        canvas.drawString(0, 0, "34 11/16")

    assert_same_page(inked(ink), page(public))


def test_white_text_stands_on_black() -> None:
    """White ends with the text it was asked for."""
    ink = Ink()

    ink.rect(10, 80, 120, 40, fill="black")
    ink.text(20, 90, "HOLD", size=20, face=BOLD, white=True)
    ink.text(20, 50, "after", size=20, face=BOLD)

    def public(canvas: Canvas) -> None:
        canvas.rect(10, 80, 120, 40, stroke=0, fill=1)
        canvas.setFont(BOLD.name, 20)
        canvas.setFillGray(1)
        canvas.drawString(20, 90, "HOLD")
        canvas.setFillGray(0)
        canvas.drawString(20, 50, "after")

    assert_same_page(inked(ink), page(public))


def test_later_fill_hides_earlier_lines_only() -> None:
    """Batching by weight never moves a line across a filled shape."""
    square = ((60.0, 60.0), (140.0, 60.0), (140.0, 140.0), (60.0, 140.0))
    ink = Ink()

    ink.strokes(
        (
            Stroke(points=((0, 100), (200, 100)), weight="heavy"),
            Stroke(points=((0, 110), (200, 110)), weight="wide", dashed=True),
            Stroke(points=square, weight="wide", closed=True, fill="light"),
            Stroke(points=((0, 90), (200, 90), (200, 20)), weight="heavy"),
        ),
        left=10,
        bottom=5,
        said="Lines and a square.",
    )

    def public(canvas: Canvas) -> None:
        canvas.translate(10, 5)
        canvas.setLineJoin(1)
        canvas.setLineWidth(1.4)
        canvas.line(0, 100, 200, 100)
        canvas.setLineWidth(1)
        canvas.setDash([6, 3])
        canvas.line(0, 110, 200, 110)
        canvas.setDash()
        canvas.setFillGray(0.88)
        canvas.rect(60, 60, 80, 80, fill=1)
        canvas.setLineWidth(1.4)
        path = canvas.beginPath()
        path.moveTo(0, 90)
        path.lineTo(200, 90)
        path.lineTo(200, 20)
        canvas.drawPath(path)

    assert_same_page(inked(ink), page(public))


def test_dashed_filled_shape_leaves_no_dash_behind() -> None:
    """A dash never leaks into the next stroke."""
    corners = ((20.0, 20.0), (80.0, 20.0), (80.0, 80.0))
    ink = Ink()

    ink.strokes(
        (
            Stroke(points=corners, weight="wide", dashed=True, closed=True, fill="white"),
            Stroke(points=((0, 100), (200, 100)), weight="wide"),
        ),
        left=0,
        bottom=0,
        said="A corner.",
    )
    dashes = [operands[0] for name, operands in operators(inked(ink), 0) if name == "d"]

    assert [len(dash) for dash in dashes] == [2, 0]


def test_lines_of_one_weight_are_one_path() -> None:
    """A thousand lines in two weights take two painting operators."""
    ink = Ink()

    for i in range(1000):
        ink.rule(0, i / 10, 100, i / 10, weight=(0.5, 1.0)[i % 2])
    painted = [name for name, _ in operators(inked(ink), 0) if name == "S"]

    assert len(painted) == 2


@pytest.mark.parametrize("said", ["plain (words)", "Łódź ≤ 4 in", "lone \ud800 half"])
def test_drawing_carries_its_sentence(said: str) -> None:
    """What a drawing shows is in the file for who cannot see it."""
    ink = Ink()

    ink.strokes((), left=0, bottom=0, said=said)
    found = [operands[1].Alt for name, operands in operators(inked(ink), 0) if name == "BDC"]

    assert [str(alt) for alt in found] == [said.replace("\ud800", "?")]
