"""Stair bays: where the lower posts stand and how long the level opening is."""

from typing import Any

import pytest

from schemas.layout import Layout
from services.intake import corrected
from tests import builders
from tests.unit.services.layout.decks import (
    WALL,
    inches,
    job_of,
    laid_out,
    layout_of,
    leg,
    line,
    stair,
)


def _layout(**more: Any) -> Layout:  # noqa: ANN401 fields of a stair
    return layout_of(job_of(line(leg("A", "180"), start=WALL), stairs=[stair(**more)]))


def test_each_side_with_a_rail_is_a_bay() -> None:
    """Left and right as seen going up: left is nearer the leg's zero."""
    layout = _layout()

    left, right = (bay for bay in layout.bays if bay.kind == "stair")
    assert (left.name, right.name) == ("S1-L", "S1-R")
    assert layout.post(str(left.right.post)).at < layout.post(str(right.right.post)).at
    assert layout.post(str(left.right.post)).where == "stair-upper"
    assert left.left.post == "S1-L"


def test_one_sided_stair_has_one_bay() -> None:
    """A rail on the right side only."""
    layout = _layout(rails=["right"])

    assert [bay.name for bay in layout.bays if bay.kind == "stair"] == ["S1-R"]
    assert "S1-L" not in {post.name for post in layout.posts}


@pytest.mark.parametrize(
    ("upper", "clear"),
    [(None, "45 1/4"), ("2", "42"), ("-2", "46")],
)
def test_clear_runs_from_post_face_to_post_face(upper: str | None, clear: str) -> None:
    """Four treads of 10 1/2 and 2 beyond, from the upper face as it was measured.

    Else that face is half a sleeve of 4 1/2 less the inset of 3 1/2 from the top nosing.
    """
    more: dict[str, Any] = {"upper_post": {"from_top_nose": upper}} if upper else {}

    layout = _layout(**more)

    assert next(bay for bay in layout.bays if bay.kind == "stair").clear == inches(clear)


def test_lower_posts_stand_straight_out_from_the_upper_ones() -> None:
    """Away from the deck, by the opening and a sleeve."""
    layout = _layout()
    upper = next(post for post in layout.posts if post.where == "stair-upper")
    lower = layout.post("S1-L")

    assert lower.point.x == upper.point.x
    assert upper.point.y - lower.point.y == inches("45 1/4") + upper.sleeve


def test_rail_on_a_wall_side_is_asked_about() -> None:
    """An opening that begins at the wall has no post for the left rail."""
    job = job_of(line(leg("A", "150"), start=WALL), stairs=[stair(start="0")])

    (question,) = laid_out(job).questions

    assert question.key == "stair-rail.S1.left"
    assert [(put.pointer, put.value) for put in question.options[0].sets] == [
        ("/stairs/0/rails", ("right",))
    ]


def test_answer_of_the_wall_side_leaves_the_other_rail() -> None:
    """The option's list of sides is put in like any other figure."""
    tree = builders.document("l-deck") | {
        "lines": [line(leg("A", "150"), start=WALL)], "stairs": [stair(start="0")],
        "remove_feet": 0,
    }  # fmt: skip
    asked = laid_out(builders.job(tree)).questions[0]

    changed = corrected(builders.submission(tree), asked.options[0].sets)

    assert changed.stairs[0].rails == ("right",)


def test_wall_side_without_a_rail_is_fine() -> None:
    """The same stair with a rail on the open side only."""
    job = job_of(line(leg("A", "150"), start=WALL), stairs=[stair(start="0", rails=["right"])])

    assert laid_out(job).questions == ()


def test_posts_without_room_between_are_asked_about() -> None:
    """One riser, both posts at one place."""
    one = stair(risers=1, lower_post={"from_last_nose": "0"}, upper_post={"from_top_nose": "1"})

    job = job_of(line(leg("A", "180"), start=WALL), stairs=[one])

    assert "stair-clear.S1" in {question.key for question in laid_out(job).questions}
