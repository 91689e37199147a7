"""What the elevation of a level bay says, and where."""

from __future__ import annotations

from random import Random

import pytest

from schemas.bays import LevelBay
from schemas.drawings import Drawing
from schemas.layout import Layout
from services.drawings.level_elevation import level_elevation
from services.drawings.scale import Scale
from services.tape import text
from tests import builders
from tests.planned import plan as planned
from tests.unit.services.drawings import made_records as made

JOB = builders.job("l-deck")


def bay_and_layout(seed: int = 3) -> tuple[LevelBay, Layout]:
    """A bay of at most fourteen balusters."""
    rng = Random(seed)
    layout = made.layout_of(rng, job=JOB)
    laid = next(bay for bay in layout.bays if bay.kind == "level")
    return made.level_bay(rng, job=JOB, laid=laid, most=14), layout


def scale_of(drawing: Drawing) -> Scale:
    """The scale that a drawing says it has."""
    number, unit = drawing.scale.removeprefix("1 in = ").split()
    return Scale(ratio=int(number) * (12 if unit == "ft" else 1), metric=False)


@pytest.mark.parametrize("seed", range(8))
def test_every_hole_centre_is_written_from_one_zero(seed: int) -> None:
    """Under the bay stand 0 and the plan's own running marks, in order, and nothing else."""
    bay, layout = bay_and_layout(seed)

    drawing = level_elevation(group=(bay,), job=JOB, layout=layout)

    holes = [label.text for label in drawing.labels if label.lane.startswith("holes")]
    assert holes == ["0", *(text(mark, JOB.step) for mark in bay.marks)]


def test_every_hole_has_its_arrowhead_to_scale() -> None:
    """Arrowheads point at the holes' places, measured on paper from the ring at zero."""
    bay, layout = bay_and_layout()
    drawing = level_elevation(group=(bay,), job=JOB, layout=layout)
    scale = scale_of(drawing)
    heads = [s for s in drawing.strokes if s.fill == "black" and len(s.points) == 3]
    rings = [s for s in drawing.strokes if len(s.points) == 12 and s.fill == "white"]
    zero = min(sum(x for x, _ in ring.points) / 12 for ring in rings)

    tips = [head.points[0][0] - zero for head in heads]

    for mark in bay.marks:
        assert min(abs(tip - scale.points(mark)) for tip in tips) < 0.02


def test_bays_built_alike_are_drawn_once() -> None:
    """The title names all of them with their count, and the posts are only left and right."""
    bay, layout = bay_and_layout()
    twin = bay.model_copy(update={"name": "Z1-Z2"})

    drawing = level_elevation(group=(bay, twin), job=JOB, layout=layout)

    assert drawing.title == f"{bay.name}, Z1-Z2: 2 off"
    assert {"left", "right"} <= {label.text for label in drawing.labels}


def test_lengths_to_cut_are_large() -> None:
    """Cuts and the clear opening are at 14 pt, each with its fraction stacked."""
    bay, layout = bay_and_layout()

    drawing = level_elevation(group=(bay,), job=JOB, layout=layout)

    cuts = [label for label in drawing.labels if label.text.startswith(("cut", "clear"))]
    assert text(bay.bottom_cut, JOB.step) in " ".join(label.text for label in cuts)
    assert all(label.size == 14 and label.stacked for label in cuts)


def test_a_post_that_stays_is_drawn_on_and_gets_no_cap() -> None:
    """Posts that are set have a cap each, as wide as the post and its overhang; those have none."""
    bay, layout = bay_and_layout()
    set_now, stays = (
        layout.model_copy(
            update={"posts": tuple(p.model_copy(update={"in_place": so}) for p in layout.posts)}
        )
        for so in (False, True)
    )

    ours, theirs = (
        caps(level_elevation(group=(bay,), job=JOB, layout=one)) for one in (set_now, stays)
    )

    ends = next(laid for laid in layout.bays if laid.name == bay.name)
    assert ours == sum(end.post is not None for end in (ends.left, ends.right))
    assert ours
    assert not theirs


def caps(drawing: Drawing) -> int:
    """White boxes with wide lines, which nothing else is."""
    return sum(
        (len(stroke.points), stroke.fill, stroke.weight) == (4, "white", "wide")
        for stroke in drawing.strokes
    )


def test_bays_that_end_at_other_things_do_not_share_a_sheet() -> None:
    """Built alike, but one meets a wall where the other meets a post."""
    whole = planned("l-deck")

    together = {bay.name: number for number, group in enumerate(whole.bays.alike(whole.layout))
                for bay in group}  # fmt: skip

    assert together["W-A1"] != together["A1-B1"]
    assert together["E1-E2"] != together["E2-W"]
