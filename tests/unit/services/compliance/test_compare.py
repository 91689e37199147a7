"""A figure beside a rule: the borders, and what is left to site and authority."""

from typing import Any

import pytest

from schemas.code_profile import Rule
from schemas.compliance import Finding
from schemas.lengths import INCH, PER_64TH, PER_MM
from services.compliance import load_profiles
from services.compliance.compare import compare, unrecorded
from services.compliance.measured import Measure

LEAST = 1
"""The smallest difference that exists inside Dawnpack: 1/320 mm."""
BORDER = {  # comparison: one below the limit, at it, one above
    "<": (True, False, False),
    "<=": (True, True, False),
    ">": (False, False, True),
    ">=": (False, True, True),
}
LENGTH_RULES = [
    pytest.param(rule, id=f"{key}-{rule.id}")
    for key, profile in load_profiles().items()
    for rule in profile.rules
    if rule.limit is not None and not rule.trigger and rule.upper is None
]
SPANS = [
    pytest.param(rule, id=f"{key}-{rule.id}")
    for key, profile in load_profiles().items()
    for rule in profile.rules
    if rule.upper is not None
]


def rule(name: str, *, profile: str = "us-irc-2021", **changed: Any) -> Rule:  # noqa: ANN401 any field
    """A shipped rule, changed where a test needs it."""
    rules = load_profiles()[profile].rules
    return next(r for r in rules if r.id == name).model_copy(update=changed)


def finding(against: Rule, *, inside: int = 0, asked: bool = True, **figure: Any) -> Finding:  # noqa: ANN401
    """A figure beside a rule."""
    measure = Measure(measures=against.measures, place="A1-A2", says="as found", **figure)
    return compare(measure, against, inside=inside, step=PER_64TH, asked=asked)


@pytest.mark.parametrize("against", LENGTH_RULES)
def test_each_limit_holds_on_its_own_side_only(against: Rule) -> None:
    """One 1/320 mm below, at and above every shipped limit."""
    assert against.limit is not None
    around = (against.limit - LEAST, against.limit, against.limit + LEAST)

    outside = tuple(finding(against, low=size).outside for size in around)

    assert outside == tuple(not inside for inside in BORDER[against.compare])


@pytest.mark.parametrize("against", SPANS)
def test_a_span_takes_in_both_its_ends(against: Rule) -> None:
    """At either end it stands inside, one 1/320 mm beyond either end outside."""
    assert against.limit is not None
    assert against.upper is not None
    beyond = (against.limit - LEAST, against.upper + LEAST)

    at_ends = [finding(against, low=end).outside for end in (against.limit, against.upper)]

    assert at_ends == [False, False]
    assert all(finding(against, low=size).outside for size in beyond)


def test_the_smallest_and_the_largest_both_stay_in_the_span() -> None:
    """Heights over the nosings are judged by the lowest and by the highest."""
    against = rule("guard-as-handrail")

    found = finding(against, low=35 * INCH, high=38 * INCH + LEAST)

    assert found.verdict == "breaks"
    assert found.margin == -LEAST


def test_a_sphere_that_just_fits_goes_through() -> None:
    """An opening equal to the sphere breaks; the least bit smaller does not."""
    against = rule("guard-opening")

    assert finding(against, low=4 * INCH).verdict == "breaks"
    assert finding(against, low=4 * INCH - LEAST).verdict == "meets"


def test_a_height_equal_to_its_minimum_stands() -> None:
    """36 in where 36 in is asked."""
    found = finding(rule("guard-height"), low=36 * INCH)

    assert (found.verdict, found.margin) == ("meets", 0)


def test_more_than_thirty_and_thirty_or_more_are_different_rules() -> None:
    """At exactly 30 in the first wording asks for nothing, the second for a guard."""
    more_than = rule("guard-drop")
    or_more = rule("guard-drop", compare=">=")

    unplanned = [finding(one, low=30 * INCH, planned=False) for one in (more_than, or_more)]

    assert [one.outside for one in unplanned] == [False, True]
    assert [one.required for one in unplanned] == ["more than 30 in", "30 in or more"]


def test_a_four_inch_opening_fails_where_a_hundred_millimetres_is_the_sphere() -> None:
    """4 in is 101.6 mm: one profile's figure is never used for another."""
    against = rule("guard-opening", profile="ca-nbc-2020")

    found = finding(against, low=4 * INCH - LEAST)

    assert found.verdict == "breaks"
    assert found.margin == 100 * PER_MM - (4 * INCH - LEAST)


@pytest.mark.parametrize(
    ("inches", "verdict", "working"),
    [
        (3 + 15 / 16, "meets", True),
        (3 + 31 / 32, "meets", False),
        (4, "breaks", False),
    ],
)
def test_two_limits_are_kept(*, inches: float, verdict: str, working: bool) -> None:
    """The company's stricter one is said beside the recorded one, and stops nothing."""
    against = rule("guard-opening")

    found = finding(against, inside=INCH // 16, low=int(inches * INCH))

    assert (found.verdict, found.working) == (verdict, working)
    assert found.required == "under 4 in; working limit 3 15/16"


def test_a_working_height_stands_above_the_recorded_one() -> None:
    """Minima are stricter upward."""
    found = finding(rule("guard-height"), inside=INCH // 8, low=36 * INCH + INCH // 8 - LEAST)

    assert (found.verdict, found.working) == ("meets", False)
    assert found.required == "36 in or more; working limit 36 1/8"


@pytest.mark.parametrize("confidence", ["secondary", "from memory"])
def test_a_doubtful_figure_is_left_to_the_authority(confidence: str) -> None:
    """Inside or outside: the finding says which, and never that it meets or breaks."""
    against = rule("guard-height", confidence=confidence)

    inside, outside = (finding(against, low=size * INCH) for size in (40, 30))

    assert inside.verdict == outside.verdict == "for the authority"
    assert (inside.outside, outside.outside) == (False, True)
    assert inside.note


def test_a_load_is_never_computed() -> None:
    """The point load is printed and left to the authority."""
    found = finding(rule("load-point"))

    assert (found.verdict, found.required) == ("for the authority", "200 lb or more")
    assert not found.outside


def test_what_was_not_measured_is_checked_on_site() -> None:
    """No figure, no verdict."""
    found = finding(rule("guard-triangle"))

    assert (found.verdict, found.margin, found.outside) == ("check on site", None, False)


def test_an_unsure_figure_is_checked_on_site_though_it_stands_inside() -> None:
    """A triangle is computed for closed risers; whether they are closed is another question."""
    found = finding(rule("guard-triangle"), low=5 * INCH, unsure="risers not recorded")

    assert found.verdict == "check on site"
    assert "risers not recorded" in found.note


def test_which_height_holds_is_read_on_site_where_the_drop_is_not_known() -> None:
    """Canada asks 900 mm up to a drop of 1800 mm and 1070 mm beyond."""
    against = rule("guard-height", profile="ca-nbc-2020")

    found = finding(against, low=1000 * PER_MM, drop=None)

    assert found.verdict == "check on site"


def test_a_guard_that_nobody_asked_for_breaks_nothing() -> None:
    """Below the drop that asks for a guard the authority says what holds."""
    found = finding(rule("guard-height"), low=30 * INCH, asked=False)

    assert (found.verdict, found.outside) == ("for the authority", True)


def test_a_missing_handrail_is_left_to_the_authority() -> None:
    """The top rail may serve; that it can be gripped is not ours to say."""
    against = rule("handrail-need")

    three, four = (finding(against, number=risers, planned=False) for risers in (3, 4))

    assert (three.verdict, three.outside) == ("meets", False)
    assert (four.verdict, four.outside) == ("for the authority", True)


def test_without_a_profile_nothing_meets_or_breaks() -> None:
    """The figure is printed and the authority says what holds."""
    measure = Measure(measures="guard.height", place="A1-A2", says="36 in", low=36 * INCH)

    found = unrecorded(measure)

    assert (found.rule, found.verdict) == ("guard-height", "for the authority")
    assert found.required == "no code profile is recorded"


def test_what_a_rule_only_says_is_looked_at_on_site() -> None:
    """No figure, no margin: a person looks."""
    said = finding(rule("post-notch"))

    assert (said.verdict, said.margin, said.outside) == ("check on site", None, False)
    assert said.required == "as the rule says"


def test_doubtful_words_are_left_to_the_authority() -> None:
    """As a doubtful figure is."""
    said = finding(rule("handrail-ends"))

    assert said.verdict == "for the authority"
    assert "from memory" in said.note
