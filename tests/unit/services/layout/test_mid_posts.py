"""Mid posts of a long flight: on which treads, how few, and when they cannot stand."""

from __future__ import annotations

from typing import Any

import pytest

from schemas.job import Job
from schemas.layout import Bay, Layout
from tests.unit.services.layout.decks import inches, job_of, laid_out, layout_of, leg, line, stair


def _job(**more: object) -> Job:
    """Fourteen risers of 7 1/2 on 10 1/2; faces 1 1/4 back on the deck and 2 beyond the foot."""
    plain: dict[str, Any] = {"risers": 14, "rails": ["left"], "mid_posts": "auto"}
    return job_of(line(leg("A", "180")), stairs=[stair(**plain | more)])


def _bays(layout: Layout) -> list[Bay]:
    return [bay for bay in layout.bays if bay.kind == "stair"]


def test_posts_and_bays_are_named_from_the_lower_end_up() -> None:
    """S1-L1 starts at the lower post, S1-L2 ends at the upper one, S1-LM1 is between."""
    layout = layout_of(_job())

    first, second = _bays(layout)
    assert (first.name, first.left.post, first.right.post) == ("S1-L1", "S1-L", "S1-LM1")
    assert (second.name, second.left.post) == ("S1-L2", "S1-LM1")
    assert layout.post(str(second.right.post)).where == "stair-upper"
    assert layout.post("S1-LM1").where == "stair-mid"


def test_bays_and_sleeves_fill_the_flight() -> None:
    """13 treads of 10 1/2, 2 beyond and 1 1/4 behind make 139 3/4; a sleeve of 4 1/2 is in it."""
    layout = layout_of(_job())

    first, second = _bays(layout)
    assert first.clear + second.clear == inches("139 3/4") - inches("4 1/2")
    assert second.left.face - first.right.face == inches("4 1/2")
    assert second.right.face == inches("139 3/4")


def test_mid_post_stands_whole_on_one_tread() -> None:
    """Its sleeve crosses no nosing: nosings lie at every 10 1/2."""
    centre = layout_of(_job()).post("S1-LM1").at

    half, tread = inches("2 1/4"), inches("10 1/2")
    assert (centre - half) // tread == (centre + half - 1) // tread
    assert centre % inches("1/16") == 0


def test_plan_shows_it_straight_out_from_the_upper_post() -> None:
    """Its centre lies as far from the upper one's as the bay and a sleeve."""
    layout = layout_of(_job())

    second = _bays(layout)[1]
    upper, mid = layout.post(str(second.right.post)), layout.post("S1-LM1")
    assert mid.point.x == pytest.approx(upper.point.x)
    assert upper.point.y - mid.point.y == pytest.approx(second.clear + inches("4 1/2"))


def test_no_mid_post_where_one_bay_reaches() -> None:
    """Left to us, a short flight stays one bay with its plain name."""
    layout = layout_of(_job(risers=6))

    assert [bay.name for bay in _bays(layout)] == ["S1-L"]
    assert not [post for post in layout.posts if post.where == "stair-mid"]


@pytest.mark.parametrize(("risers", "bays"), [(14, 2), (16, 3)])
def test_as_few_as_the_rail_needs(risers: int, bays: int) -> None:
    """95 in along 7 1/2 on 10 1/2 is 77.3 level: two such and a sleeve of 4 1/2 make 159.1.

    Thirteen treads with 3 1/4 about them are 139 3/4; fifteen are 160 3/4.
    """
    layout = layout_of(_job(risers=risers))

    assert len(_bays(layout)) == bays


@pytest.mark.parametrize(
    ("at", "stands"),
    [
        ("68 1/4", True),
        ("65 1/4", True),  # sleeve just off the nosing at 63
        ("65 3/16", False),
        ("71 1/4", True),  # sleeve just up to the nosing at 73 1/2
        ("71 5/16", False),
        ("31 1/2", False),
    ],
)
def test_given_place_stands_on_a_tread_or_is_asked_about(at: str, stands: bool) -> None:  # noqa: FBT001
    """Nosings lie at 63 and 73 1/2 and the sleeve is 4 1/2: centres from 65 1/4 to 71 1/4."""
    out = laid_out(_job(mid_posts=[at]))

    assert (out.layout is not None) == stands, [question.says for question in out.questions]
    if not stands:
        (question,) = out.questions
        assert (question.key, question.severity) == ("mid-post.S1", "stop")
        assert [o.sets[0].value for o in question.options] == ["auto"]
        assert question.options[0].sets[0].pointer == "/stairs/0/mid_posts"


def test_treads_narrower_than_a_sleeve_carry_no_mid_post() -> None:
    """Left to us and impossible: the question offers nothing that was tried."""
    out = laid_out(_job(tread="4", riser="3", risers=40))

    assert out.layout is None
    (question,) = out.questions
    assert question.key == "mid-post.S1"
    assert question.options == ()


def test_given_places_are_kept_to_the_mark() -> None:
    """Two posts where the measure says, from the top one down."""
    layout = layout_of(_job(mid_posts=["47 1/4", "89 1/4"]))

    assert [layout.post(f"S1-LM{n}").at for n in (1, 2)] == [inches("89 1/4"), inches("47 1/4")]
    assert [bay.name for bay in _bays(layout)] == ["S1-L1", "S1-L2", "S1-L3"]
