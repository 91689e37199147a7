"""A deck that falls: bays short enough that no sphere passes under their low side."""

from __future__ import annotations

from typing import Any

import pytest

from schemas.lengths import INCH
from schemas.pack import Outcome
from schemas.site import Answer
from services.pipeline import make_plan
from tests.builders import document, library, submission
from tests.unit.services.layout.decks import leg, line


def _planned(fall: str, *answers: Answer, **more: object) -> Outcome:
    """12 ft of railing; the spacer is 3 3/4, so a bay may fall 1/8 under a limit of 3 15/16."""
    tree: dict[str, Any] = document("l-deck") | {"stairs": [], "gates": [], "remove_feet": 0}
    deck = line(leg("A", "151", fall=fall, **more))
    return make_plan(submission(tree | {"lines": [deck]}), library=library(), answers=answers)


@pytest.mark.parametrize(("fall", "bays"), [("0", 2), ("1/4", 2), ("5/16", 3), ("3/8", 3)])
def test_bays_share_the_fall(fall: str, bays: int) -> None:
    """As many as leave each an eighth of it at most."""
    plan = _planned(fall).plan
    assert plan is not None

    assert len(plan.bays.level) == bays
    assert max(bay.sweep_low for bay in plan.bays.level) <= 3.875 * INCH
    assert ("does not fall too far" in plan.layout.legs[0].reason) == (bays == 3)


def test_a_fall_that_would_take_stubs_is_asked_about() -> None:
    """Bays under 3 ft are not made for it; the answer says how much the bays bear."""
    asked = {q.key: q for q in _planned("1").questions}

    assert asked["sweep.A1-A2"].severity == "stop"
    (option,) = asked["sweep.A1-A2"].options
    assert option.sets[0].pointer == "/lines/0/legs/0/fall"
    answer = Answer(question="sweep.A1-A2", option=option.key, by="T. Alder", why="shimmed")
    assert _planned("1", answer).plan is not None
