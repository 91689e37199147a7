"""What the office is asked about one thing it is asked once."""

import pytest

from services.pipeline import make_plan
from tests.builders import document, library, submission


@pytest.mark.parametrize("profile", ["us-ibc-2021", "ca-nbc-2020", "au-ncc-2022"])
def test_a_stair_too_low_for_its_rule_is_one_question(profile: str) -> None:
    """The measure's check holds and the bay stops: the stop is asked, under the same key."""
    tree = document("l-deck")
    tree["code"] = {"profile": profile}
    tree["rail"]["height"] = "42"

    asked = make_plan(submission(tree), library=library()).questions

    keys = [question.key for question in asked]
    assert len(set(keys)) == len(keys)
    (height,) = [question for question in asked if question.key == "stair-height.S1"]
    assert height.severity == "stop"
