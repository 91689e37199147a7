"""A fixed hole pattern between two posts: counts and end gaps.

Source:
    Routed rails on centre pitch p: end gap = (R - (N - 1) * p - w) / 2, N whole; common
    practice. Rows FX-1 to FX-5 are worked out by this rule with whole fractions; they are
    derived, no book prints them. See tests/published/SOURCES.md.
"""

from dataclasses import replace

import pytest

from schemas.lengths import INCH
from tests.bays_by_hand import LEVEL_RULE, inch

ROWS = [  # row, R, w, p, {N: end gap}
    ("FX-1", "68", "1 1/4", "4 1/2", {15: 1.875}),
    ("FX-2", "91 1/2", "3/4", "4 1/2", {20: 2.625, 21: 0.375}),
    ("FX-3", "66 1/2", "1 1/4", "5", {13: 2.625, 14: 0.125}),
    ("FX-4", "72", "1 1/4", "5", {14: 2.875, 15: 0.375}),
    ("FX-5", "70 3/4", "3/4", "4 1/2", {15: 3.5, 16: 1.25}),
]


@pytest.mark.parametrize(("row", "clear", "width", "pitch", "expected"), ROWS)
def test_valid_counts_are_those_of_the_table(
    row: str, clear: str, width: str, pitch: str, expected: dict[int, float]
) -> None:
    """Every count whose end gap is nothing or more and under 4 in, and no other."""
    rule = replace(
        LEVEL_RULE,
        width=inch(width),
        pitch=inch(pitch),
        left_least=inch(width) // 2,
        right_least=inch(width) // 2,
        greatest=inch(pitch) - 1,
        limit=4 * INCH,
    )

    found = {fit.balusters: fit.end_gap / INCH for fit in rule.fits(opening=inch(clear))}

    assert found == expected, row


def test_too_little_room_for_a_bracket_leaves_one_count() -> None:
    """FX-3: 1/8 in at the end holds no bracket; thirteen balusters stay."""
    rule = replace(LEVEL_RULE, pitch=5 * INCH, greatest=inch("4 15/16"), limit=4 * INCH)

    found = [fit.balusters for fit in rule.fits(opening=inch("66 1/2"))]

    assert found == [13]


def test_inner_gap_is_pitch_less_baluster() -> None:
    """FX-1: 4 1/2 less 1 1/4 is 3 1/4, and the sphere sees that gap too."""
    rule = replace(LEVEL_RULE, limit=inch("3 1/4"))

    assert not rule.fits(opening=inch("68"))
    assert replace(rule, limit=inch("3 1/4") + 1).fit(opening=inch("68"), balusters=15)
