"""Posts in place: the tape's openings are the bays, and must add up to the leg."""

from typing import Any

import pytest

from schemas.lengths import INCH
from schemas.site import Correction
from tests import builders
from tests.unit.services.layout.decks import (
    WALL,
    gate,
    inches,
    job_of,
    laid_out,
    layout_of,
    leg,
    line,
)

SLEEVE = builders.system("cove").sleeve.outside / INCH


def _porch(*clears: str, off: float = 0, **more: object) -> dict[str, Any]:
    """A porch between two walls, measured so much longer than its openings and sleeves."""
    total = sum(inches(clear) for clear in clears) / INCH + (len(clears) - 1) * SLEEVE
    row = [{"bottom": clear} for clear in clears]
    return line(leg("A", f"{total + off}", clears=row, **more), start=WALL, end=WALL)


def test_openings_are_taken_as_measured() -> None:
    """Each clear is the tape's own figure and the posts stand where it puts them."""
    layout = layout_of(job_of(_porch("68 1/2", "71 1/4", "68 7/16")))

    assert [bay.clear for bay in layout.bays] == [
        inches(c) for c in ("68 1/2", "71 1/4", "68 7/16")
    ]
    assert all(bay.measured for bay in layout.bays)
    assert all(post.in_place for post in layout.posts)
    assert layout.bays[1].left.face == inches("68 1/2") + SLEEVE * INCH


@pytest.mark.parametrize(("off", "asked"), [(0.25, False), (-0.25, False), (0.3125, True)])
def test_a_quarter_inch_is_the_most_that_may_be_missing(off: float, asked: bool) -> None:  # noqa: FBT001
    """Just 1/4 in is within measuring tolerance; a sixteenth more stops the job."""
    out = laid_out(job_of(_porch("68", "70", off=off)))

    assert [question.key for question in out.questions] == (["clears.A"] if asked else [])
    assert (out.layout is None) == asked


def test_opening_a_foot_short_is_named() -> None:
    """Two openings of 70 and one of 58 in a leg that has room for three of 70."""
    question = laid_out(job_of(_porch("70", "58", "70", off=12))).questions[0]

    assert "12 short. That is just a foot." in question.says
    assert "Opening 2 looks wrong: with 70 for 58" in question.says
    assert question.options[0].key == "opening-2"
    assert question.options[0].sets == (
        Correction(pointer="/lines/0/legs/0/clears/1/bottom", value="70 in"),
    )


def test_three_eighths_read_for_five_eighths_is_known() -> None:
    """A misreading that the trade knows is said; here the row is also a sixteenth off."""
    question = laid_out(job_of(_porch("68 3/8", "70", off=0.3125))).questions[0]

    assert "as when 3/8 is read for 5/8" in question.says


def test_leg_itself_may_be_wrong() -> None:
    """The last answer puts the leg to what its openings make."""
    question = laid_out(job_of(_porch("70", "70", off=5))).questions[0]

    assert question.options[-1].key == "length"
    assert question.options[-1].sets[0].pointer == "/lines/0/legs/0/length"


def test_each_correction_makes_the_measure_agree() -> None:
    """Put into the submission, any answer leaves nothing to ask."""
    line_of = _porch("70", "58", "70", off=12)
    question = laid_out(job_of(line_of)).questions[0]

    for option in question.options:
        tree = job_of(line_of).lines[0]
        length, clears = tree.legs[0].length, [c.bottom for c in tree.legs[0].clears]
        for put in option.sets:
            if put.pointer.endswith("/length"):
                length = inches(str(put.value))
            else:
                clears[int(put.pointer.split("/")[-2])] = inches(str(put.value))
        assert length == sum(clears) + 2 * SLEEVE * INCH


def test_gate_is_one_of_the_openings() -> None:
    """A gate is found by its place and width among the measured openings."""
    job = job_of(_porch("60", "36", "50"), gates=[gate(start=f"{60 + SLEEVE}", width="36")])

    layout = layout_of(job)

    assert [bay.kind for bay in layout.bays] == ["level", "gate-opening", "level"]
    assert {post.where for post in layout.posts} == {"gate"}


def test_gate_that_is_none_of_the_openings_is_asked_about() -> None:
    """A width that no opening has stops the job and lists what there is."""
    job = job_of(_porch("60", "36", "50"), gates=[gate(start=f"{60 + SLEEVE}", width="40")])

    question = laid_out(job).questions[0]

    assert question.key == "opening.G1"
    assert "60 from 0, 36 from 64 1/2, 50 from 105" in question.says


def test_top_opening_is_the_measured_one() -> None:
    """Where the tape read both heights, both are kept."""
    porch = _porch("68", "70")
    porch["legs"][0]["clears"][0]["top"] = "68 1/8"

    layout = layout_of(job_of(porch))

    assert layout.bays[0].clear_top == inches("68 1/8")
    assert layout.bays[1].clear_top == inches("70")


def test_corner_post_of_a_standing_leg_stands_too() -> None:
    """The corner belongs to the next leg, whose posts are to be set, but stands already."""
    reach = SLEEVE / 2
    standing = leg("A", f"{70 + reach + 3.5}", clears=[{"bottom": "70"}])
    standing["corner"] = {"turn_deg": 90}

    layout = layout_of(job_of(line(standing, leg("B", "150"), start=WALL)))

    assert layout.post("B1").in_place
    assert not layout.post("B2").in_place
