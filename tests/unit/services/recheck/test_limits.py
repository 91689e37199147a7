"""Which recorded limits the second measurement holds a plan to."""

from __future__ import annotations

from typing import Literal

import pytest

from schemas.lengths import INCH
from schemas.plan import Plan
from services.recheck.limits import stair_limits
from tests.planned import plan


def recorded(confidence: Literal["quoted", "from memory"]) -> Plan:
    """The deck with a stair, its rule for the stair's guard as sure as that."""
    made = plan("l-deck")
    assert made.job.profile is not None
    rules = tuple(
        rule.model_copy(update={"confidence": confidence})
        if rule.measures == "guard.stair_height"
        else rule
        for rule in made.job.profile.rules
    )
    profile = made.job.profile.model_copy(update={"rules": rules})
    return made.model_copy(update={"job": made.job.model_copy(update={"profile": profile})})


@pytest.mark.parametrize(("confidence", "least"), [("quoted", 34 * INCH), ("from memory", None)])
def test_an_unsure_stair_height_is_left_to_the_authority(
    confidence: Literal["quoted", "from memory"], least: int | None
) -> None:
    """The level guard's height is no rule of the stair while it has one of its own.

    Source:
        2021 IRC R312.1.2 exception 1: 34 in over the nosing line.
    """
    made = recorded(confidence)
    stair = made.job.stairs[0]

    found = stair_limits(made, place="S1-L", stair=stair)

    assert found.least == least
