"""Rules of places that changed the model text, put in as local changes with who says so.

Source:
    California Residential Code, as read on a legal-information page: guards 42 in.
    Ankeny, Iowa, municipal code: top and bottom riser may vary by up to 1 in.
    Philadelphia property maintenance code PM-307.1: handrail 30 to 42 in, on stairs with more
    than four risers; guards 30 in.
    Washington Administrative Code 246-359-520 (worker housing): handrail from three risers,
    riser 4 to 8 in, run 9 in.
    A town in Maine, code-enforcement page: railing where grade is 30 inches or more below.

These are examples of how places differ, each dated to its page; no profile of them ships.
"""

from __future__ import annotations

from typing import Any

import pytest

from schemas.code_profile import Rule
from schemas.lengths import INCH, read_length
from services.compliance import find
from services.compliance.findings import doubts
from tests.builders import document, job
from tests.planned import plan

LOCAL: list[tuple[str, dict[str, Any], dict[str, object]]] = [
    (
        "California Residential Code",
        {"rule": "guard-height", "limit": "42 in"},
        {"compare": ">=", "limit": "42 in"},
    ),
    (
        "Ankeny, Iowa",
        {"rule": "stair-riser-spread", "limit": "1 in", "says": "Top or bottom riser less others"},
        {"compare": "<=", "limit": "1 in", "says": "Top or bottom riser less others"},
    ),
    (
        "Philadelphia PM-307.1",
        {"rule": "handrail-height", "limit": "30 in", "upper": "42 in"},
        {"compare": "within", "limit": "30 in", "upper": "42 in"},
    ),
    (
        "Philadelphia PM-307.1",
        {"rule": "handrail-need", "number": 4, "compare": ">"},
        {"compare": ">", "number": 4},
    ),
    (
        "Philadelphia PM-307.1",
        {"rule": "guard-height", "limit": "30 in"},
        {"compare": ">=", "limit": "30 in"},
    ),
    (
        "WAC 246-359-520",
        {"rule": "handrail-need", "number": 3},
        {"compare": ">=", "number": 3},
    ),
    ("WAC 246-359-520", {"rule": "stair-tread", "limit": "9 in"}, {"limit": "9 in"}),
    (
        "Town in Maine",
        {"rule": "guard-drop", "compare": ">="},
        {"compare": ">=", "limit": "30 in"},
    ),
]


def changed(change: dict[str, Any], authority: str) -> Rule:
    """The rule as the job holds it once the office has put in the change."""
    tree = document("l-deck")
    tree["code"] = {
        "profile": "us-irc-2021",
        "local_changes": [{**change, "authority": authority}],
    }
    profile = job(tree).profile
    assert profile is not None
    return next(rule for rule in profile.rules if rule.id == change["rule"])


@pytest.mark.parametrize(("authority", "change", "want"), LOCAL)
def test_a_local_rule_can_be_put_in(
    authority: str, change: dict[str, Any], want: dict[str, object]
) -> None:
    """Figure, border and words of the place, with its name as the source."""
    rule = changed(change, authority)

    for name, value in want.items():
        is_length = name in {"limit", "upper"}
        assert getattr(rule, name) == (read_length(str(value)) if is_length else value), name
    assert rule.source.startswith(f"{authority} (local change;")


@pytest.mark.parametrize(("compare", "asked"), [(">", False), (">=", True)])
def test_thirty_inches_or_more_is_not_more_than_thirty(*, compare: str, asked: bool) -> None:
    """At a drop of exactly 30 in one place asks for a guard and the model text does not."""
    rule = changed({"rule": "guard-drop", "compare": compare}, "Town in Maine")

    assert rule.stands(30 * INCH) is asked
    assert rule.stands(30 * INCH + 1) is True


@pytest.mark.parametrize(("risers", "asked"), [(4, False), (5, True)])
def test_more_than_four_risers_is_not_four_or_more(*, risers: int, asked: bool) -> None:
    """Philadelphia's border stands one riser above the model text's."""
    rule = changed({"rule": "handrail-need", "number": 4, "compare": ">"}, "Philadelphia")

    assert rule.stands(risers) is asked


def test_the_findings_name_the_authority() -> None:
    """A height that another place asks for stands beside the plan under that place's name."""
    whole = plan("l-deck")
    tree = document("l-deck")
    change = {"rule": "guard-height", "limit": "42 in", "authority": "California Residential Code"}
    tree["code"] = {"profile": "us-irc-2021", "local_changes": [change]}

    found = find(job(tree), whole.layout, whole.bays)

    heights = [one for one in found.findings if one.rule == "guard-height"]
    assert {one.verdict for one in heights} == {"breaks"}
    assert all("California Residential Code (local change" in one.source for one in heights)
    assert "guard-height: changed by California Residential Code" in doubts(job(tree))
