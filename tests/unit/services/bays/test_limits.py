"""Recorded limits and the company's working limits inside them."""

from schemas.code_profile import CodeProfile, Measured, Rule
from schemas.lengths import PER_MM
from services.bays.limits import (
    HeightWindow,
    level_opening,
    needs_handrail,
    stair_height,
    stair_opening,
    triangle_sphere,
)
from tests.bays_by_hand import inch, job

MARGIN = job().company.sphere_margin
INSIDE = job().company.height_margin


def profile(*rules: Rule) -> CodeProfile:
    """A profile of those rules only."""
    return CodeProfile.model_construct(
        key="by-hand", title="-", edition="-", unit="in", scope="-", rules=rules
    )


def sphere(measures: Measured, limit: int) -> Rule:
    """A rule that a sphere must not pass."""
    return Rule.model_construct(  # type: ignore[call-arg]
        id=measures, measures=measures, compare="<", limit=limit, upper=None, number=None
    )


def test_model_code_limits_with_the_companys_margin() -> None:
    """4, 4 3/8 and 6 in of the residential code; the first two with the margin off."""
    at = job()

    assert level_opening(at) == inch("4") - MARGIN
    assert stair_opening(at) == inch("4 3/8") - MARGIN
    assert triangle_sphere(at) == inch("6")


def test_stair_without_a_rule_of_its_own_takes_the_general_one() -> None:
    """A code that makes no exception for stairs holds one sphere everywhere."""
    at = job({"profile": profile(sphere("guard.opening", 100 * PER_MM))})

    assert stair_opening(at) == 100 * PER_MM - MARGIN
    assert triangle_sphere(at) == 100 * PER_MM


def test_stricter_of_two_rules_holds() -> None:
    """Where a rule depends on the drop, the smaller sphere is kept everywhere."""
    two = profile(sphere("guard.opening", inch("8")), sphere("guard.opening", inch("4")))

    assert level_opening(job({"profile": two})) == inch("4") - MARGIN


def test_unknown_rules_are_the_strictest_in_use() -> None:
    """No profile: 100 mm, and a flight of any size needs its handrail."""
    at = job({"profile": None})

    assert level_opening(at) == 100 * PER_MM - MARGIN
    assert needs_handrail(at, risers=1)
    assert stair_height(at, as_handrail=True) == HeightWindow(least=None, greatest=None)


def test_height_window_depends_on_use_as_handrail() -> None:
    """A guard has a least height only; a handrail has a window."""
    guard, handrail = (stair_height(job(), as_handrail=grip) for grip in (False, True))

    assert guard == HeightWindow(least=inch("34") + INSIDE, greatest=None)
    assert handrail == HeightWindow(least=inch("34") + INSIDE, greatest=inch("38") - INSIDE)


def test_handrail_is_needed_from_four_risers() -> None:
    """Three risers need none."""
    assert not needs_handrail(job(), risers=3)
    assert needs_handrail(job(), risers=4)
