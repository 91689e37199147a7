"""What the office is asked about one thing it is asked once."""

import pytest

from schemas.site import Question
from services.pipeline import make_plan
from tests.builders import document, library, submission


@pytest.mark.parametrize("profile", ["us-ibc-2021", "ca-nbc-2020"])
def test_a_stair_too_low_for_a_doubtful_rule_is_one_question(profile: str) -> None:
    """Its stair height is from memory: it holds the job for the authority, and is asked once."""
    asked = _asked(profile)

    (height,) = [question for question in asked if question.key == "stair-height.S1"]
    assert height.severity == "hold"


def test_a_stair_too_low_for_its_places_rule_is_one_question() -> None:
    """The measure's check holds and the bay stops: the stop is asked, under the same key."""
    change = {
        "rule": "guard-stair-height",
        "limit": "42 in",
        "authority": "Alder Quay building office",
    }
    asked = _asked("us-irc-2021", change)

    (height,) = [question for question in asked if question.key == "stair-height.S1"]
    assert height.severity == "stop"


def _asked(profile: str, *changes: dict[str, str]) -> tuple[Question, ...]:
    """What the L deck with the 42 in section is asked, each thing under a key of its own."""
    tree = document("l-deck")
    tree["code"] = {"profile": profile, "local_changes": list(changes)}
    tree["rail"]["height"] = "42"

    asked = make_plan(submission(tree), library=library()).questions

    assert len({question.key for question in asked}) == len(asked)
    return asked
