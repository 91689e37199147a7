"""The graspable handrail: how long, how high, and what goes on beyond the nosings."""

from __future__ import annotations

from functools import cache
from math import hypot

import pytest

from schemas.code_profile import CodeProfile, Rule
from schemas.job import Library
from schemas.lengths import INCH, PER_MM
from schemas.plan import Plan
from services.bays.handrail import planned_height
from services.compliance import load_profiles
from services.pipeline import make_plan
from services.recheck import recheck
from tests.bays_by_hand import inch
from tests.builders import document, job, library, submission
from tests.planned import plan

HIGH = 60 * INCH
"""A top rail far over any handrail."""
EXTENDED = ("handrail-top", "handrail-bottom")


def _profile(key: str, *, without: str = "", more: tuple[Rule, ...] = ()) -> CodeProfile:
    profile = load_profiles()[key]
    kept = tuple(rule for rule in profile.rules if not rule.measures.startswith(without or "-"))
    return profile.model_copy(update={"rules": (*kept, *more)})


@cache
def _extended() -> Plan:
    """The l-deck where a house code asks for extensions as the building code does."""
    more = tuple(r for r in load_profiles()["us-ibc-2021"].rules if r.id in EXTENDED)
    profile = _profile("us-irc-2021", more=more).model_copy(update={"key": "xx-town"})
    books = library().model_copy(update={"profiles": (*library().profiles, profile)})
    assert isinstance(books, Library)
    tree = document("l-deck")
    tree["code"] = {"profile": "xx-town"}
    made = make_plan(submission(tree), library=books)
    assert made.plan is not None, [question.says for question in made.questions]
    return made.plan


@pytest.mark.parametrize(
    ("profile", "height"),
    [
        ("us-irc-2021", 36 * INCH),
        ("ca-nbc-2020", 967 * PER_MM),
        ("uk-adk", 950 * PER_MM),
    ],
)
def test_planned_in_the_middle_of_the_recorded_window(profile: str, height: int) -> None:
    """As far from too low as from too high, on the tape's own mark."""
    step = INCH // 16 if profile.startswith("us-") else PER_MM
    one = job("l-deck").model_copy(update={"profile": load_profiles()[profile], "step": step})

    assert planned_height(one, top=HIGH) == height


@pytest.mark.parametrize(
    ("top", "height"),
    [("36 1/16", "36"), ("35 3/16", "35 3/16"), ("34 1/16", "34 1/16"), ("34", "36")],
)
def test_no_higher_than_the_top_rail_where_the_window_allows(*, top: str, height: str) -> None:
    """Beside a top rail under 36 in the handrail stands as high as it, but never under 34 1/16."""
    one = job("l-deck")

    assert planned_height(one, top=inch(top)) == inch(height)


def test_a_least_height_alone_gets_the_company_s_margin() -> None:
    """Australia records 865 mm and no upper end."""
    one = job("metric").model_copy(update={"profile": load_profiles()["au-ncc-2022"]})

    height = planned_height(one, top=HIGH)

    assert height is not None
    assert 0 <= height - 865 * PER_MM - one.company.height_margin < one.step


def test_without_a_rule_no_height_is_planned() -> None:
    """Nothing is made up: the step says so."""
    one = job("l-deck").model_copy(update={"profile": None})

    assert planned_height(one, top=HIGH) is None


def test_rules_that_leave_no_window_plan_no_height() -> None:
    """A least height over the greatest one of another rule."""
    rule = next(r for r in load_profiles()["us-irc-2021"].rules if r.id == "handrail-height")
    other = rule.model_copy(update={"id": "other", "limit": 39 * INCH, "upper": 42 * INCH})
    profile = _profile("us-irc-2021", more=(other,))

    assert planned_height(job("l-deck").model_copy(update={"profile": profile}), top=HIGH) is None


def test_nosing_to_nosing_where_no_extension_is_asked_for() -> None:
    """No level part, no elbow."""
    side = next(bay for bay in plan("l-deck").bays.stair if bay.handrail)

    assert (side.handrail_level, side.handrail_treads, side.handrail_elbows) == (0, 0, 0)


def test_extensions_are_added_at_both_ends() -> None:
    """12 in level at the top behind an elbow, a tread along the slope at the foot."""
    stair = _extended().job.stairs[0]
    side = next(bay for bay in _extended().bays.stair if bay.handrail)
    assert side.handrail is not None

    along = stair.risers * hypot(stair.riser, stair.tread)  # a tread more than between nosings

    assert side.handrail_level == 12 * INCH
    assert (side.handrail_treads, side.handrail_elbows) == (1, 1)
    assert 0 <= side.handrail - 12 * INCH - along < INCH // 16 + 1


def test_the_level_part_is_a_piece_of_its_own() -> None:
    """It is cut apart and joined by the elbow, which is loaded."""
    whole = _extended()
    pieces = {name: end - start for bar in whole.cuts.plain for name, start, end in bar.pieces}
    side = next(bay for bay in whole.bays.stair if bay.handrail)
    grip = whole.job.stair_system.handrail
    assert grip is not None

    own = {name: size for name, size in pieces.items() if "handrail" in name}

    assert own[f"{side.name} handrail level"] == 12 * INCH
    assert sum(own.values()) == side.handrail
    assert next(x for x in whole.takeoff.lines if x.item == grip.elbow_key).needed == 1


def test_a_shorter_extension_is_found_when_measured_again() -> None:
    """The rules that ask for it are read once more."""
    whole = _extended()
    side = next(n for n, bay in enumerate(whole.bays.stair) if bay.handrail)
    short = whole.bays.stair[side].model_copy(update={"handrail_level": 11 * INCH})
    stair = (*whole.bays.stair[:side], short, *whole.bays.stair[side + 1 :])
    spoilt = whole.model_copy(update={"bays": whole.bays.model_copy(update={"stair": stair})})

    assert recheck(whole) == ()
    assert any("runs level for 11.000 in" in says for says in recheck(spoilt))
