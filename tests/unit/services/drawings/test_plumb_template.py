"""The full-size lower ends of a stair's rails, in the drawing and on paper.

Source:
    An inch is 72 points (ISO 32000-1, 8.3.2.3), so one to one needs no other figure.
"""

from __future__ import annotations

from math import atan2, degrees

import pytest

from schemas.drawings import Drawing, Stroke
from schemas.lengths import INCH
from services.drawings import draw
from services.pipeline import make_pack
from tests.paper.readers import segments, texts
from tests.planned import plan

THOUSANDTH = 0.072
"""A thousandth of an inch. [pt]"""


def template(name: str) -> Drawing:
    """The first stair bay's."""
    return next(d for d in draw(plan(name)) if d.name.startswith("template-"))


def heavy(drawing: Drawing) -> list[Stroke]:
    """Its edge, plumb cut and hole marks."""
    return [s for s in drawing.strokes if s.weight == "heavy"]


@pytest.mark.parametrize("name", ["l-deck", "two-stair-sides", "metric"])
def test_plumb_cut_stands_at_the_saw_setting(name: str) -> None:
    """A bevel laid on the cut reads the angle off square that the sheet prints."""
    bay = plan(name).bays.stair[0]
    _, cut, *_ = heavy(template(name))
    (x0, y0), (x1, y1) = cut.points

    assert degrees(atan2(x1 - x0, y1 - y0)) == pytest.approx(bay.saw_deg, abs=0.01)


@pytest.mark.parametrize("name", ["l-deck", "two-stair-sides", "metric"])
def test_holes_are_as_far_from_the_long_point_on_paper_as_on_the_rail(name: str) -> None:
    """Read off the page, to 0.001 in: both first holes, from the zero of the plumb cut."""
    made = plan(name)
    bay = made.bays.stair[0]
    pack = make_pack(made, issued="test")
    first = next(page for key, _, page in pack.sheets if key.startswith("stair-"))
    full = "1 mm = 1 mm" if name == "metric" else "1 in = 1 in"
    page = next(i for i, said in enumerate(texts(pack.pdf)) if full in said and i >= first - 1)
    strokes = [s for s in segments(pack.pdf, page) if s.weight == 1.4]
    cut = next(s for s in strokes if s.x0 != s.x1 and s.y0 != s.y1)
    marks = [s.x0 - cut.x0 for s in strokes if s.x0 == s.x1]

    for hole in (bay.top_first_hole_to_long, bay.bottom_first_hole_to_long):
        assert min(abs(mark - hole / INCH * 72) for mark in marks) < THOUSANDTH


def test_template_is_left_out_where_it_finds_no_room() -> None:
    """A rail whose first hole is a foot from its long point has no full-size drawing."""
    made = plan("l-deck")
    far = made.bays.stair[0].model_copy(update={"top_first_hole_to_long": 12 * INCH})
    bays = made.bays.model_copy(update={"stair": (far,)})

    names = [d.name for d in draw(made.model_copy(update={"bays": bays}))]

    assert "plumb-cuts-S1-L" in names
    assert "template-S1-L" not in names
