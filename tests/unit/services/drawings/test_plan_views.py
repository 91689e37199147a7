"""What the key plan, the strips and the stock bars say."""

from __future__ import annotations

from math import hypot
from random import Random

import pytest

from services.drawings.boxes import box_of
from services.drawings.running_strip import running_strips
from services.drawings.site_plan import key_plan
from services.drawings.stock_bars import stock_bars
from services.pipeline import make_plan
from services.tape import text
from tests import builders
from tests.unit.services.drawings import made_records as made

JOB = builders.job("l-deck")


def test_house_is_at_the_top() -> None:
    """Nothing is labelled above the house, and the looking arrow's words are the lowest."""
    drawing = key_plan(job=JOB, layout=made.layout_of(Random(1), job=JOB))
    tops = {label.text: box_of(label) for label in drawing.labels}

    assert max(tops, key=lambda t: tops[t].top) == "HOUSE"
    assert min(tops, key=lambda t: tops[t].bottom) == "looking from the yard"


def test_every_leg_and_post_is_named_once() -> None:
    """The plan carries each name, and no north, which nobody measured."""
    layout = made.layout_of(Random(4), job=JOB)

    drawing = key_plan(job=JOB, layout=layout)

    says = [label.text for label in drawing.labels]
    names = [leg.name for leg in layout.legs] + [post.name for post in layout.posts]
    assert all(says.count(name) == 1 for name in names)
    assert not {"N", "north", "North"} & set(says)


def test_gate_at_a_stair_head_hangs_in_the_stair_opening() -> None:
    """Its hinge stands at the opening's post, its swing is as wide, and it has its name."""
    tree = builders.document("l-deck")
    stair = tree["stairs"][0]
    tree["gates"] = [
        {"name": "G1", "leg": stair["leg"], "start": stair["start"], "width": stair["width"],
         "stair": "S1", "hinge": "right", "pool_barrier": False}
    ]  # fmt: skip
    made_plan = make_plan(builders.submission(tree), library=builders.library()).plan
    assert made_plan is not None
    drawing = key_plan(job=made_plan.job, layout=made_plan.layout)
    bare = key_plan(job=JOB, layout=made_plan.layout)

    (swing,) = [s for s in drawing.strokes if s.dashed and len(s.points) == 10]

    opening = 42 * 72 / 72  # 42 in at 1 in to 6 ft. [pt]
    (hx, hy) = swing.points[-1]
    (tx, ty) = swing.points[0]
    assert "gate G1" in {label.text for label in drawing.labels}
    assert "gate G1" not in {label.text for label in bare.labels}
    assert drawing.scale == "1 in = 6 ft"
    assert hypot(hx - tx, hy - ty) == pytest.approx(opening * 2**0.5, abs=0.1)


def test_a_strip_reads_every_face_and_centre() -> None:
    """All parts of a leg together carry each sleeve face and each post centre of the layout."""
    layout = made.layout_of(Random(9), job=JOB)
    for leg in layout.legs:
        drawings = running_strips(layout=layout, leg=leg, step=JOB.step, metric=False)
        read = {label.text for d in drawings for label in d.labels if label.lane == "faces"}
        bays = [bay for bay in layout.bays if bay.leg == leg.name]

        faces = {text(f, JOB.step) for b in bays for f in (b.left.face, b.right.face)}

        assert faces | {"0"} == read


def test_clear_openings_are_boxed_or_said() -> None:
    """Every bay's clear opening stands on its strip: in a box, or by name where it is too short."""
    layout = made.layout_of(Random(2), job=JOB)
    for leg in layout.legs:
        drawings = running_strips(layout=layout, leg=leg, step=JOB.step, metric=False)
        says = [label.text for d in drawings for label in d.labels]
        for bay in (b for b in layout.bays if b.leg == leg.name):
            size = text(bay.clear, JOB.step)

            assert size in says or f"{bay.name} clear {size}" in says


def test_bars_name_every_piece_with_its_revision() -> None:
    """Each piece of the cut plan is named once on the bars, with the job's revision."""
    rng = Random(6)
    bays = made.bays_of(rng, made.layout_of(rng, job=JOB), job=JOB)
    cuts = made.cuts_of(rng, bays, job=JOB)

    drawings = stock_bars(cuts=cuts, step=JOB.step, metric=False)

    says = [label.text for d in drawings for label in d.labels]
    assert all(says.count(f"{piece.id} r{JOB.revision}") == 1 for piece in cuts.pieces)


def test_rails_of_two_lengths_are_drawn_apart() -> None:
    """Where a bar's top and bottom rail are cut differently, each of the two is drawn."""
    rng = Random(6)
    bays = made.bays_of(rng, made.layout_of(rng, job=JOB), job=JOB)
    cuts = made.cuts_of(rng, bays, job=JOB)
    bar, pair = cuts.bars[0], cuts.piece(cuts.bars[0].pieces[0].piece)
    halves = [pair.model_copy(update={"id": f"X {r}", "rails": r}) for r in ("top", "bottom")]
    placed = tuple(bar.pieces[0].model_copy(update={"piece": half.id}) for half in halves)
    apart = bar.model_copy(update={"pieces": placed})
    cuts = cuts.model_copy(update={"pieces": tuple(halves), "bars": (apart,)})

    (drawing,) = stock_bars(cuts=cuts, step=JOB.step, metric=False)

    says = [label.text for label in drawing.labels]
    assert [s.split(":")[0] for s in says if s.startswith("Bar")] == [
        "Bar 1, top rail", "Bar 1, bottom rail",
    ]  # fmt: skip
    assert says.count(f"X top r{JOB.revision}") == says.count(f"X bottom r{JOB.revision}") == 1
