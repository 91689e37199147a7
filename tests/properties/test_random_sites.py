"""Random sites: each is planned and holds when measured again, or is asked about in words."""

import json
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from schemas.submission import Submission
from services.intake import read_document
from services.pipeline import make_plan
from services.recheck import recheck
from tests.builders import document, library, submission
from tests.random_sites import Tree, random_site

SITES = st.randoms(use_true_random=False).map(random_site)


def line_of_job(*legs: dict[str, Any], **more: object) -> Tree:
    """The first demo job with one line of these legs and nothing else."""
    line = {"measured": "post-centre", "heading": "back", "legs": list(legs), **more}
    return document("l-deck") | {"lines": [line], "stairs": [], "gates": []}


@settings(
    max_examples=200,
    deadline=None,
    phases=(Phase.explicit, Phase.reuse, Phase.generate),  # shrinking a site takes minutes
    suppress_health_check=list(HealthCheck),
)
@given(SITES)
def test_a_site_is_planned_whole_or_asked_about(tree: Tree) -> None:
    """No exception, no plan that breaks a limit, no stop without words; no mark under the deck."""
    made = make_plan(read_document(json.dumps(tree).encode(), Submission), library=library())

    if made.plan is None:
        stops = [question for question in made.questions if question.severity == "stop"]
        assert stops
        assert all(question.says and question.ask for question in stops)
    else:
        assert recheck(made.plan) == ()
        assert all(bay.bottom_at_upper > 0 for bay in made.plan.bays.stair)


@pytest.mark.parametrize("number", range(0, 60, 5))
def test_the_same_dice_give_the_same_site(number: int) -> None:
    """A failing site can be named by its number."""
    assert random_site(Random(number)) == random_site(Random(number))


def test_chance_reaches_every_part_of_a_site() -> None:
    """Among five hundred sites all kinds of ends, corners, openings and rules occur."""
    sites = [random_site(Random(number)) for number in range(500)]
    lines = [line for site in sites for line in site["lines"]]
    legs = [leg for line in lines for leg in line["legs"]]

    assert {line["measured"] for line in lines} == {"deck-edge", "post-centre"}
    assert {line.get("closed", False) for line in lines} == {True, False}
    assert {
        end["kind"] for line in lines for end in (line.get("start"), line.get("end")) if end
    } == {
        "wall",
        "post",
    }
    assert {len(line["legs"]) for line in lines} == {1, 2, 3, 4, 5, 6}
    assert {site["rail"]["system"] for site in sites} == {"cove", "tern"}
    assert {site["unit"] for site in sites} == {"in", "mm"}
    assert len({site["code"]["profile"] for site in sites}) > 8
    for part in ("clears", "keep_out", "fixed_posts", "joists", "fall", "corner", "board"):
        assert any(leg.get(part) for leg in legs), part
    shapes = {len(line["legs"]) for line in lines if line.get("closed")}
    hands = {leg["corner"]["hand"] for line in lines if line.get("closed") for leg in line["legs"]}
    assert {4, 5, 6} <= shapes
    assert hands == {"inside", "outside"}
    stairs = [stair for site in sites for stair in site["stairs"]]
    assert any(stair.get("from_landing") for stair in stairs)
    assert any(gate.get("stair") for site in sites for gate in site["gates"])
    assert {2, 16} <= {stair["risers"] for stair in stairs}
    assert any(site["gates"] for site in sites)


def test_a_line_may_turn_more_than_full_circle() -> None:
    """Round a deck from the middle of one side to the middle of the same side again."""
    corner = {"turn_deg": 90, "hand": "outside"}
    legs = [
        {"name": name, "length": long, "drop": "40", "corner": corner}
        for name, long in (("A", "40"), ("B", "96"), ("C", "96"), ("D", "96"))
    ]
    last = {"name": "E", "length": "48", "drop": "40"}

    made = make_plan(submission(line_of_job(*legs, last)), library=library())

    assert made.plan is not None
    assert made.plan.layout.legs[-1].heading_deg % 360 == 90


@pytest.mark.parametrize(
    ("turn", "post", "asked"),
    [(127.8, "square", []), (136.7, "square", ["corner.A"]), (95.7, "turned", ["corner.A"])],
)
def test_two_rails_never_meet_a_post_on_one_face(turn: float, post: str, asked: list[str]) -> None:
    """Where the post would show both rails the same face, the corner is asked about."""
    corner = {"turn_deg": turn, "hand": "inside", "post": post}
    legs = ({"name": "A", "length": "72", "corner": corner}, {"name": "B", "length": "72"})

    made = make_plan(submission(line_of_job(*legs)), library=library())

    assert [q.key for q in made.questions if q.severity == "stop"] == asked


@pytest.mark.parametrize("number", [5167, 5285, 5374])
def test_a_corner_post_that_is_replaced_is_known_on_both_legs(number: int) -> None:
    """It is noted on the leg that starts there, and the bay before it is to be measured anew."""
    raw = json.dumps(random_site(Random(number))).encode()

    made = make_plan(read_document(raw, Submission), library=library()).plan

    assert made is not None
    assert recheck(made) == ()
