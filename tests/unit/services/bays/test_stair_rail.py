"""Stair rails: what the slope adds to a length it takes from the level gap."""

from dataclasses import replace

from services.geometry.slope import Slope
from tests.bays_by_hand import SIXTEENTH, STAIR_RULE, inch

OPENING = inch("63")  # 78 3/4 along a slope of 0.8


def test_level_opening_grows_along_the_slope() -> None:
    """63 in level is 78 3/4 along; both clearances come off along the slope."""
    fit = STAIR_RULE.fits(opening=OPENING)[0]

    assert fit.cut == inch("78 1/2")


def test_margins_lie_along_the_slope() -> None:
    """Fifteen balusters at 5 in along the rail leave 4 1/4 in at each end."""
    fit = STAIR_RULE.fits(opening=OPENING)[0]

    assert (fit.balusters, fit.margins.left, fit.margins.right) == (
        15,
        inch("4 1/4"),
        inch("4 1/4"),
    )


def test_sphere_sees_the_level_gap() -> None:
    """5 in along is 4 in level: 2 3/4 between balusters of 1 1/4."""
    assert STAIR_RULE.level_gap() == inch("2 3/4")


def test_gap_grows_as_the_stair_gets_flatter() -> None:
    """The same rail that is legal on a steep stair lets the sphere through on a gentle one."""
    steep = replace(
        STAIR_RULE,
        pitch=inch("6 1/4"),
        width=inch("1 1/2"),
        greatest=inch("6"),
        limit=inch("4"),
    )
    gentle = replace(steep, slope=Slope(rise=inch("6"), run=inch("12")))

    assert steep.fits(opening=OPENING)
    assert gentle.level_gap() > inch("4")
    assert not gentle.fits(opening=OPENING)
    assert replace(gentle, limit=inch("4 3/8")).fits(opening=OPENING)


def test_level_gap_equal_to_the_limit_fails() -> None:
    """4 in level pitch less 1 1/4 against a limit of just that."""
    equal = replace(STAIR_RULE, limit=inch("2 3/4"), least=inch("1/2"))
    narrow = inch("58")  # 72 1/4 cut: 15 balusters with end gaps well under it

    assert not equal.fits(opening=narrow)
    assert replace(equal, limit=inch("2 3/4") + 1).fits(opening=narrow)


def test_end_gap_equal_to_the_limit_fails() -> None:
    """Face to baluster, level: (1/8 + 4 1/4) * 0.8 - 5/8 is 2 7/8."""
    equal = replace(STAIR_RULE, limit=inch("2 7/8"))

    assert equal.fit(opening=OPENING, balusters=15) is None
    assert replace(equal, limit=inch("2 7/8") + 1).fit(opening=OPENING, balusters=15) is not None


def test_gaps_pitches_and_balusters_add_up_to_the_opening() -> None:
    """On a slope that is never whole the rounded-up gaps overshoot by under two units."""
    rule = replace(STAIR_RULE, slope=Slope(rise=inch("7"), run=inch("11")))
    fit = rule.fits(opening=OPENING)[0]

    gaps = rule.end_gaps(opening=OPENING, fit=fit)

    level_pitches = (fit.balusters - 1) * rule.pitch * rule.slope.cos
    found = gaps.left + level_pitches + rule.width + gaps.right
    assert 0 <= found - OPENING < 3


def test_length_along_the_slope_is_what_the_system_limits() -> None:
    """63 in level passes a limit of 78 3/4 along the slope and no less."""
    at, under = (replace(STAIR_RULE, longest=inch(longest)) for longest in ("78 3/4", "78 11/16"))

    assert at.fits(opening=OPENING)
    assert not under.fits(opening=OPENING)


def test_bracket_needs_its_margin_along_the_slope() -> None:
    """4 1/4 in is room for a bracket of 4 1/4, not for one of a mark more."""
    exact = replace(STAIR_RULE, least=inch("4 1/4"))

    assert exact.fit(opening=OPENING, balusters=15)
    assert (
        replace(exact, least=inch("4 1/4") + SIXTEENTH).fit(opening=OPENING, balusters=15) is None
    )
