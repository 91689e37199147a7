"""Drawings come out at the size they were drawn: read back from the file's own strokes.

Source:
    ISO 32000-1, 8.3.2.3: one unit of default user space is 1/72 in.
"""

import pytest

from schemas.drawings import LONGEST_BAR, TALLEST, WIDEST, Drawing, Label, Stroke
from schemas.errors import GeometryError
from schemas.pages import Figure, Sheet
from services.paper.book import Part, set_book
from services.paper.frame import PaperSize
from tests.paper.readers import opened, segments, texts
from tests.paper.sample_book import PITCH, elevation, imprint

HUNDREDTH = 0.0051
"""The file gives hundredths of a point. [pt]"""


def printed(drawing: Drawing) -> bytes:
    """A drawing alone on a sheet."""
    sheet = Sheet(key="f", title="Figure", blocks=(Figure(drawing=drawing),))
    return set_book(parts=[Part(imprint=imprint(), sheets=(sheet,))], size="letter").pdf


def test_marks_stand_at_their_true_spacing() -> None:
    """Twelve baluster marks come back at the pitch they were drawn at, each from the first."""
    pdf = printed(elevation())

    upright = [s for s in segments(pdf, 0) if s.x0 == s.x1 and s.weight == 0.5]
    marks = sorted(s.x0 for s in upright if abs(s.y1 - s.y0) == pytest.approx(8))

    assert len(marks) == 12
    for i, x in enumerate(marks):
        assert x - marks[0] == pytest.approx(i * PITCH, abs=2 * HUNDREDTH)


def test_check_bar_is_as_long_as_it_says() -> None:
    """144 pt are 2.00 in or 50.8 mm, and the words under the drawing say so."""
    pdf = printed(elevation())
    left, right = _bar_ends(pdf)

    assert right - left == pytest.approx(144, abs=2 * HUNDREDTH)
    assert "24 in: 2.00 in (50.8 mm) on paper" in texts(pdf)[0]


def test_page_is_not_scaled_by_another_door() -> None:
    """No user unit and no page rotation."""
    document = opened(printed(elevation()))

    assert "/UserUnit" not in document.pages[0].obj
    assert int(document.pages[0].obj.get("/Rotate", 0)) == 0


def test_weights_and_dashes_come_as_drawn() -> None:
    """Heavy 1.4, wide 1.0, narrow 0.5 pt; only what is thought is dashed."""
    strokes = (
        Stroke(points=((0, 10), (100, 10)), weight="heavy"),
        Stroke(points=((0, 20), (100, 20)), weight="wide", dashed=True),
        Stroke(points=((0, 30), (100, 30)), weight="narrow"),
    )
    pdf = printed(
        Drawing(name="d", title="D", said="Lines.", width=100, height=40, strokes=strokes)
    )

    found = sorted(
        (s.y0, s.weight, s.dashed) for s in segments(pdf, 0) if abs(s.x1 - s.x0 - 100) < HUNDREDTH
    )

    assert [(weight, dashed) for _, weight, dashed in found] == [
        (1.4, False),
        (1.0, True),
        (0.5, False),
    ]


@pytest.mark.parametrize(
    ("wide", "high", "strokes"),
    [
        (600, 100, ()),
        (100, 700, ()),
        (100, 100, (Stroke(points=((0, 0), (130, 0))),)),
        (100, 100, (Stroke(points=((0, -9), (50, 0))),)),
    ],
    ids=["too wide", "too tall", "out to the right", "out below"],
)
def test_drawing_that_does_not_fit_is_refused(
    wide: float, high: float, strokes: tuple[Stroke, ...]
) -> None:
    """It is never shrunk: its scale would be wrong."""
    drawing = Drawing(
        name="big", title="Big", said="Big.", width=wide, height=high, strokes=strokes
    )

    with pytest.raises(GeometryError, match="drawing big"):
        printed(drawing)


@pytest.mark.parametrize("size", ["letter", "a4"])
def test_largest_drawing_fits_under_the_longest_head_and_foot(size: PaperSize) -> None:
    """No long name of a customer can push a drawing off its sheet."""
    long = "a long word or two " * 99
    said = imprint(
        job=long, revision=long, site=long, crew=long, code=long, issued=long, replaces=long,
        company=long, notes=(long,),
    )  # fmt: skip
    drawing = Drawing(
        name="d", title=long, said="D.", width=WIDEST, height=TALLEST, scale=long, bar=LONGEST_BAR
    )
    sheet = Sheet(key="f", title=long, place=long, blocks=(Figure(drawing=drawing),))

    assert set_book(parts=[Part(imprint=said, sheets=(sheet,))], size=size).pages == 1


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
@pytest.mark.parametrize("turned", [0, 90, -90])
def test_measure_that_leaves_the_page_is_refused(anchor: str, turned: float) -> None:
    """A measure is never cut: half a number is worse than none."""
    label = Label.model_validate(
        {"x": 470, "y": 0, "text": "1234567890123456789 13/16", "size": 40.0, "stacked": True,
         "anchor": anchor, "turned": turned}
    )  # fmt: skip
    drawing = Drawing(name="d", title="D", said="D.", width=470, height=1, labels=(label,))

    with pytest.raises(GeometryError, match="a measure is never cut"):
        printed(drawing)


def _bar_ends(pdf: bytes) -> tuple[float, float]:
    """Where the ends of the check bar stand: the heavy stroke 144 pt long."""
    bars = [s for s in segments(pdf, 0) if s.weight == 1.4 and abs(s.x1 - s.x0 - 144) < 0.1]
    assert len(bars) == 1
    return bars[0].x0, bars[0].x1
