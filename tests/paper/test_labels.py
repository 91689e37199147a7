"""Labels in drawings: anchors, turning, stacked fractions, and what programs read.

Source:
    Stacked fractions: fraction figures about three quarters of the whole number, bar
    horizontal: US Navy Engineering Aid Basic, lettering of numerals and fractions.
    ActualText: ISO 32000-1, 14.9.4.
"""

from typing import Literal

import pytest

from schemas.drawings import Drawing, Label
from schemas.pages import Figure, Sheet
from services.paper.book import Part, set_book
from services.paper.label import boxes
from tests.paper.readers import Char, chars, segments, texts
from tests.paper.sample_book import elevation, imprint

SMALL, BAR = 24.8, 2.17
"""Fraction figures and bar of a 31 pt label. [pt]"""
Anchor = Literal["start", "middle", "end"]


def printed(*labels: Label) -> bytes:
    """Labels in a drawing of 200 by 200 pt."""
    drawing = Drawing(name="d", title="", said="Labels.", width=200, height=200, labels=labels)
    sheet = Sheet(key="f", title="Figure", blocks=(Figure(drawing=drawing),))
    return set_book(parts=[Part(imprint=imprint(), sheets=(sheet,))], size="letter").pdf


def letters(pdf: bytes, *sizes: float) -> list[Char]:
    """The letters of these type sizes; 31 pt and its fraction's 24.8 pt stand nowhere else."""
    return [c for c in chars(pdf, 0) if any(abs(c.size - size) < 0.01 for size in sizes)]


@pytest.mark.parametrize(
    ("text", "whole", "over", "under"),
    [
        ("3 13/16", "3", "13", "16"),
        ("13/16", "", "13", "16"),
        ("148 1/2 in", "148in", "1", "2"),
        ("12' 4 3/8\"", "12'4\"", "3", "8"),
    ],
)
def test_fraction_is_stacked_over_a_bar(text: str, whole: str, over: str, under: str) -> None:
    """Numerator over bar over denominator, centred, four fifths of the whole number's size."""
    pdf = printed(Label(x=20, y=100, text=text, size=31, stacked=True))
    bar = next(s for s in segments(pdf, 0) if s.weight == BAR)
    small = letters(pdf, SMALL)
    numerator = [c for c in small if c.bottom > bar.y0]
    denominator = [c for c in small if c.top < bar.y0]

    assert "".join(c.text for c in letters(pdf, 31)) == whole
    assert "".join(c.text for c in numerator) == over
    assert "".join(c.text for c in denominator) == under
    assert bar.y0 == bar.y1
    for part in (numerator, denominator):
        middle = (part[0].left + part[-1].right) / 2
        assert middle == pytest.approx((bar.x0 + bar.x1) / 2, abs=1.5)


def test_whole_number_keeps_clear_of_its_fraction() -> None:
    """At least a fifth of the type size lies between, so 8 3/8 is not read 83/8."""
    pdf = printed(Label(x=20, y=100, text="8 3/8", size=31, stacked=True))

    (eight,) = letters(pdf, 31)
    bar = next(s for s in segments(pdf, 0) if s.weight == BAR)

    assert bar.x0 - eight.right >= 0.2 * 31


@pytest.mark.parametrize("turned", [0, 90, -90, 30])
def test_program_reads_a_stacked_fraction_as_one_number(turned: float) -> None:
    """Extracted text has the number as it is spoken, whatever its angle."""
    pdf = printed(Label(x=100, y=100, text="34 11/16", size=12, stacked=True, turned=turned))

    assert "34 11/16" in texts(pdf)[0]


def test_unstacked_fraction_stays_flat() -> None:
    """Only labels that ask for it are stacked."""
    pdf = printed(Label(x=20, y=100, text="3 13/16", size=31))

    assert "".join(c.text for c in letters(pdf, 31)) == "313/16"


@pytest.mark.parametrize(("anchor", "share"), [("start", 0), ("middle", 0.5), ("end", 1)])
@pytest.mark.parametrize("stacked", [False, True])
def test_anchor_is_where_it_says(anchor: Anchor, share: float, *, stacked: bool) -> None:
    """The text's start, middle or end stands at its x."""
    left = (612 - 200) / 2
    pdf = printed(Label(x=100, y=100, text="HHHH 1/2", size=31, anchor=anchor, stacked=stacked))
    found = letters(pdf, 31, SMALL)
    start, end = min(c.left for c in found), max(c.right for c in found)

    assert start + share * (end - start) == pytest.approx(left + 100, abs=4)


def test_boxes_hold_the_ink_of_their_labels() -> None:
    """The corners told to drawing checks enclose every letter that is printed."""
    labels = (
        Label(x=100, y=100, text="34 11/16", size=31, stacked=True),
        Label(x=100, y=40, text="Hgf", size=31, anchor="end"),
    )
    pdf = printed(*labels)
    drawing = Drawing(name="d", title="", said="", width=200, height=200, labels=labels)
    ours = letters(pdf, 31, SMALL)
    left = (612 - 200) / 2

    for label, corners in boxes(drawing):
        xs, ys = zip(*corners, strict=True)
        anchored = [c for c in ours if (c.left - left >= 99) == (label.anchor == "start")]
        low = min(c.bottom for c in anchored)
        assert len(anchored) >= 3
        assert max(c.right for c in anchored) - left <= max(xs) + 1
        assert min(c.left for c in anchored) - left >= min(xs) - 1
        assert max(c.top for c in anchored) - low <= max(ys) - min(ys) + 1


def test_sample_elevation_has_no_label_on_another() -> None:
    """Upright boxes round turned labels keep clear of each other."""
    found = [corners for _, corners in boxes(elevation())]
    spans = [
        (min(x for x, _ in c), max(x for x, _ in c), min(y for _, y in c), max(y for _, y in c))
        for c in found
    ]

    assert not [
        (a, b)
        for i, a in enumerate(spans)
        for b in spans[:i]
        if a[0] < b[1] and b[0] < a[1] and a[2] < b[3] and b[2] < a[3]
    ]
