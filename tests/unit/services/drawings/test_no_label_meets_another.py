"""Labels of a drawing never meet and never leave it, whatever the size of the job."""

from __future__ import annotations

from functools import cache
from itertools import chain
from random import Random

import pytest
from shapely import polygons

from schemas.drawings import TALLEST, WIDEST, Drawing
from services.drawings.boxes import outside, overlapping
from services.drawings.corner_detail import corner_details
from services.drawings.level_elevation import level_elevation
from services.drawings.post_faces import post_faces
from services.drawings.running_strip import running_strips
from services.drawings.site_plan import key_plan
from services.drawings.stair_elevation import stair_drawings
from services.drawings.stock_bars import plain_bars, stock_bars
from services.paper.label import boxes as inked
from services.tape import is_metric
from tests import builders
from tests.unit.services.drawings import made_records as made

SEEDS = range(24)
JOBS = ("l-deck", "metric")


@cache
def drawn(seed: int, name: str) -> tuple[Drawing, ...]:
    """All drawings of a job of any size."""
    rng, job = Random(seed), builders.job(name)
    layout = made.layout_of(rng, job=job)
    job = job.model_copy(update={"stairs": (made.stair(rng, job=job),)})
    bays = made.bays_of(rng, layout, job=job)
    cuts = made.cuts_of(rng, bays, job=job)
    step, metric = job.step, is_metric(job.step)
    sides = [stair_drawings(group=(side,), job=job, bays=bays) for side in bays.stair]
    strips = [
        running_strips(layout=layout, leg=leg, step=step, metric=metric) for leg in layout.legs
    ]
    return (
        key_plan(job=job, layout=layout),
        *(post_faces(group=group, job=job) for group in bays.shared_posts),
        *corner_details(job=job, layout=layout),
        *chain.from_iterable(strips),
        *(level_elevation(group=(bay,), job=job, layout=layout) for bay in bays.level),
        *chain.from_iterable(sides),
        *stock_bars(cuts=cuts, step=step, metric=metric),
        *plain_bars(cuts=cuts, step=step, metric=metric),
    )


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("seed", SEEDS)
def test_labels_keep_apart(seed: int, name: str) -> None:
    """By the high reckoning of their width, no two labels share room and none is outside."""
    for drawing in drawn(seed, name):
        met = [(one.text, other.text) for one, other in overlapping(drawing)]

        assert met == [], drawing.name
        assert outside(drawing) == (), drawing.name


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("seed", SEEDS[::8])
def test_ink_keeps_apart(seed: int, name: str) -> None:
    """The paper's own figures for the ink, and a library's for overlap, find none either."""
    for drawing in drawn(seed, name):
        shapes = [(label.text, polygons(corners)) for label, corners in inked(drawing)]

        for i, (text, shape) in enumerate(shapes):
            for other_text, other in shapes[i + 1 :]:
                assert not shape.intersection(other).area > 0.01, (drawing.name, text, other_text)


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("seed", SEEDS)
def test_drawings_fit_a_sheet(seed: int, name: str) -> None:
    """No drawing is wider or taller than the room that every sheet has."""
    for drawing in drawn(seed, name):
        assert drawing.width <= WIDEST, (drawing.name, drawing.width)
        assert drawing.height <= TALLEST, (drawing.name, drawing.height)


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("seed", SEEDS[::8])
def test_nothing_is_small_or_grey_alone(seed: int, name: str) -> None:
    """Labels are 10 pt or more, and whatever is filled grey also has an outline."""
    for drawing in drawn(seed, name):
        assert min(label.size for label in drawing.labels) >= 10
        assert all(s.weight != "hair" for s in drawing.strokes if s.fill == "light")
