"""What the drawings of a stair's side say."""

from __future__ import annotations

from math import atan2, degrees
from random import Random

import pytest

from schemas.drawings import Drawing
from schemas.site import Stair
from services.drawings import stair_elevation
from services.drawings.stair_elevation import stair_drawings
from services.tape import angle, text
from tests import builders
from tests.unit.services.drawings import made_records as made

JOB = builders.job("l-deck")


def drawn(seed: int = 5) -> tuple[Stair, tuple[Drawing, ...]]:
    """A flight and the drawings of its right side."""
    rng = Random(seed)
    flight = made.stair(rng, job=JOB)
    job = JOB.model_copy(update={"stairs": (flight,)})
    bays = made.bays_of(rng, made.layout_of(rng, job=job), job=job)
    side = next(bay for bay in bays.stair if bay.side == "right")
    return flight, stair_drawings(group=(side,), job=job, bays=bays)


def test_four_drawings_a_side() -> None:
    """Elevation, rail on the bench, plumb cuts, and those in full size where they find room."""
    _, drawings = drawn()

    assert [d.name for d in drawings] == [
        "stair-S1-R", "bench-S1-R", "plumb-cuts-S1-R", "template-S1-R",
    ]  # fmt: skip


@pytest.mark.parametrize("seed", range(6))
def test_nosing_line_has_the_slope_of_riser_and_tread(seed: int) -> None:
    """The wide dashed line rises as the flight's riser over its tread."""
    flight, (elevation, *_) = drawn(seed)
    (nosing,) = [s for s in elevation.strokes if s.dashed and s.weight == "wide"]
    (x0, y0), (x1, y1) = nosing.points

    assert degrees(atan2(y1 - y0, x1 - x0)) == pytest.approx(
        degrees(atan2(flight.riser, flight.tread)), abs=0.05
    )


def test_plumb_cut_leans_by_the_saw_setting() -> None:
    """A rail end on the saw leans from square by the saw's angle, and the angle is written."""
    flight, drawings = drawn()
    cuts = next(d for d in drawings if d.name.startswith("plumb-cuts"))
    slope = degrees(atan2(flight.riser, flight.tread))
    ends = [s for s in cuts.strokes if s.weight == "heavy" and len(s.points) == 4]

    for end in ends:
        (_, high), (short, _), (long, low), _ = end.points
        assert degrees(atan2(short - long, high - low)) == pytest.approx(slope, abs=0.05)
    assert len(ends) == 2
    assert sum(angle(slope) in label.text for label in cuts.labels) == 2


def test_height_stands_under_every_nosing() -> None:
    """With room for all, each nosing from the top has its number and its plumb height."""
    flight, (elevation, *_) = drawn()

    numbers = [label.text for label in elevation.labels if label.lane == "noses"]
    heights = [label.text for label in elevation.labels if label.lane == "nose-heights"]
    assert numbers == [str(i) for i in range(1, flight.risers + 1)]
    assert heights == [text(35 * 8128, JOB.step)] * flight.risers


def test_upper_post_stands_on_what_its_height_says() -> None:
    """An upper post two risers down the flight stands two risers lower than one on the deck."""
    rng = Random(5)
    flight = made.stair(rng, job=JOB)
    job = JOB.model_copy(update={"stairs": (flight,)})
    bays = made.bays_of(rng, made.layout_of(rng, job=job), job=job)
    whole = bays.stair[0]
    part = whole.model_copy(
        update={
            "name": "S1-L1",
            "heights": tuple(
                nose.model_copy(update={"from_upper_face": nose.from_upper_face - 2 * flight.tread})
                for nose in whole.heights[2:]
            ),
            "clear": whole.clear - 2 * flight.tread,
        }
    )
    posts = {}
    for bay in (whole, part):
        view = stair_elevation.view_of(bay=bay, job=job, bays=bays)
        posts[bay.name] = view.upper_foot

    assert posts["S1-L"] - posts["S1-L1"] == pytest.approx(2 * flight.riser)
