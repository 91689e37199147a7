"""The room that labels are reckoned to take."""

from __future__ import annotations

from random import Random

import pytest
from shapely import polygons

from schemas.drawings import Drawing, Label
from services.drawings.boxes import Box, box_of, overlap, overlapping, text_width
from services.paper.label import boxes as inked
from services.paper.type import BOLD, REGULAR, width

READABLE = "".join(map(chr, range(0x20, 0x7F))) + "°½¼éüñÅØ…\N{MULTIPLICATION SIGN}±"


@pytest.mark.parametrize("bold", [False, True])
def test_no_character_is_wider_than_reckoned(*, bold: bool) -> None:
    """In the shipped faces every character is at most as wide as its class."""
    face = BOLD if bold else REGULAR

    too_wide = [c for c in READABLE if width(c, 10, face) > text_width(c, size=10, bold=bold)]

    assert too_wide == []


@pytest.mark.parametrize("says", ["34 11/16", "sleeve 45 5/16", "1/2", "cut both rails 70 1/4"])
def test_stacked_box_holds_the_ink(says: str) -> None:
    """The box of a stacked measure holds what the paper will draw of it."""
    label = Label(x=50, y=50, text=says, size=14, bold=True, stacked=True)
    drawing = Drawing(name="d", title="", said="", width=300, height=100, labels=(label,))

    ((_, corners),) = inked(drawing)

    assert polygons(box_of(label).corners).buffer(0.01).contains(polygons(corners))


def turned_box(rng: Random) -> Box:
    """A rectangle anywhere, turned by anything."""
    return box_of(
        Label(
            x=rng.uniform(0, 60), y=rng.uniform(0, 60), text="7" * rng.randint(1, 6),
            turned=rng.choice((0.0, 90.0, rng.uniform(-180, 180))),
        )
    )  # fmt: skip


def test_overlap_agrees_with_a_geometry_library() -> None:
    """Of two thousand pairs of boxes, overlap says what shapely's intersection says."""
    rng = Random(7)
    pairs = [(turned_box(rng), turned_box(rng)) for _ in range(2000)]

    for one, other in pairs:
        deep = (
            polygons(one.corners).buffer(-0.02).intersection(polygons(other.corners).buffer(-0.02))
        )
        wide = polygons(one.corners).intersection(polygons(other.corners))
        if not deep.is_empty:
            assert overlap(one, other)
        if wide.is_empty:
            assert not overlap(one, other)


def test_a_pair_is_named_once() -> None:
    """Two labels on one spot are reported as one pair; touching ones are not reported."""
    low = Label(x=0, y=0, text="12")
    labels = (low, low.model_copy(update={"x": 3.0}), low.model_copy(update={"y": 40.0}))
    drawing = Drawing(name="d", title="", said="", width=99, height=99, labels=labels)

    assert overlapping(drawing) == ((labels[0], labels[1]),)
