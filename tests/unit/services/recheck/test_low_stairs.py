"""A stair too low to need a guard is still a stair: its own sizes are judged as on any."""

from __future__ import annotations

import pytest

from services.pipeline import make_plan
from services.recheck import recheck
from tests.builders import document, library, submission


@pytest.mark.parametrize(("risers", "rise"), [(4, "24"), (6, "36")])
def test_short_treads_break_their_rule_at_any_rise(risers: int, rise: str) -> None:
    """International Residential Code 2021, R311.7.5.2: 10 in; 30 in is the guard's border only."""
    tree = document("l-deck")
    tree["stairs"][0] |= {
        "risers": risers, "riser": "6", "tread": "9", "total_rise": rise, "total_run": None,
        "slope_deg": None,
    }  # fmt: skip

    plan = make_plan(submission(tree), library=library()).plan

    assert plan is not None
    (finding,) = (f for f in plan.compliance.findings if f.rule == "stair-tread")
    assert finding.verdict == "breaks"
    assert recheck(plan) == ()
