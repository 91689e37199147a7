"""Random sites drawn: whatever is planned can be read, and its pack can be set."""

import json
from random import Random

import pytest

from schemas.drawings import TALLEST, WIDEST, Drawing
from schemas.plan import Plan
from schemas.submission import Submission
from services.drawings import draw
from services.drawings.boxes import outside, overlapping
from services.intake import read_document
from services.paper.label import boxes
from services.pipeline import make_pack, make_plan
from tests.builders import library
from tests.random_sites import random_site

SITES = (*range(40), 61, 288, 834, 852)
"""The last four once had labels that met, or a corner drawn wider than a sheet."""
PACKS = range(0, 60, 5)


def planned(number: int) -> Plan | None:
    """A random site's plan, unless something must be asked first."""
    raw = json.dumps(random_site(Random(number))).encode()
    return make_plan(read_document(raw, Submission), library=library()).plan


def inked_apart(drawing: Drawing) -> bool:
    """Whether the upright rectangles round the printed labels keep clear of each other."""
    upright = [
        (min(x for x, _ in c), max(x for x, _ in c), min(y for _, y in c), max(y for _, y in c))
        for label, c in boxes(drawing)
        if label.turned % 90 == 0
    ]
    return not any(
        a[0] < b[1] and b[0] < a[1] and a[2] < b[3] and b[2] < a[3]
        for i, a in enumerate(upright)
        for b in upright[:i]
    )


@pytest.mark.parametrize("number", SITES)
def test_no_label_of_a_random_site_covers_another(number: int) -> None:
    """By the room reckoned in drawing and by the ink of the faces; every drawing fits a sheet."""
    plan = planned(number)

    for drawing in draw(plan) if plan else ():
        assert not overlapping(drawing), drawing.name
        assert not outside(drawing), drawing.name
        assert inked_apart(drawing), drawing.name
        assert drawing.width <= WIDEST, drawing.name
        assert drawing.height <= TALLEST, drawing.name


def test_sites_that_are_drawn_are_not_few() -> None:
    """A third of them or more get a plan, so that the promises above are about something."""
    assert sum(planned(number) is not None for number in PACKS) >= len(PACKS) // 3


@pytest.mark.parametrize("number", PACKS)
def test_pack_of_a_random_site_can_be_set(number: int) -> None:
    """No drawing, table or text of it is refused, and it has a page at least for each sheet."""
    plan = planned(number)
    if plan is None:
        return  # it is asked about: see the random sites

    pack = make_pack(plan, issued="test")

    assert pack.pages >= len(pack.sheets)
