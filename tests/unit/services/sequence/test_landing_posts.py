"""A landing's post that ends a flight stays long until that flight's line is proved.

Source:
    common practice: a stair's bottom post is cut last, to a line taken from the top.
"""

from __future__ import annotations

from functools import cache

from schemas.plan import Plan
from schemas.sequence import Step
from services.pipeline import make_plan
from tests.builders import library, submission
from tests.landings import two_flights
from tests.planned import plan


@cache
def _plan() -> Plan:
    made = make_plan(submission(two_flights()), library=library())
    assert made.plan is not None, [question.says for question in made.questions]
    return made.plan


def _steps(whole: Plan) -> dict[str, Step]:
    return {step.key: step for step in whole.sequence.steps}


def test_shared_posts_are_not_cut_with_the_others() -> None:
    """F1 and H2 carry the feet of S1: both are named as left long, not at a height."""
    cores = _steps(_plan())["cores"].text

    cut_now, _, left_long = cores.rpartition(": left long")[0].rpartition(". ")

    assert set(left_long.split(", ")) == {"F1", "H2", "S2-L", "S2-R"}
    assert not {"F1", "H2"} & set(cut_now.replace(",", "").split())


def test_shared_posts_are_cut_once_their_line_is_proved() -> None:
    """With the other lower posts of that flight, after its line."""
    steps = _steps(_plan())

    assert "F1 core" in steps["lower-S1"].text
    assert "H2 core" in steps["lower-S1"].text
    assert steps["line-S1"].number < steps["lower-S1"].number


def test_the_landing_s_rails_wait_for_its_posts() -> None:
    """No rail is fixed to a sleeve that is still to be cut; the deck's rails do not wait."""
    whole = _plan()
    steps = _steps(whole)
    landing = [bay.name for bay in whole.bays.level if bay.leg in {"F", "G", "H"}]
    deck = [bay.name for bay in whole.bays.level if bay.leg == "A"]

    at_posts = [name for name in landing if {"F1", "H2"} & set(name.split("-"))]

    assert at_posts
    assert all(steps[f"bay-{name}"].number > steps["lower-S1"].number for name in at_posts)
    assert all(steps[f"bay-{name}"].number < steps["line-S1"].number for name in deck)


def test_flights_are_proved_from_the_top_down() -> None:
    """The lower flight's line starts from a post that is cut already."""
    steps = _steps(_plan())

    assert steps["lower-S1"].number < steps["line-S2"].number


def test_a_stair_without_a_landing_keeps_its_order() -> None:
    """Level bays first, then the line, then the lower posts."""
    whole = plan("l-deck")
    steps = _steps(whole)

    last = max(steps[f"bay-{bay.name}"].number for bay in whole.bays.level)

    assert last < steps["line-S1"].number < steps["lower-S1"].number
