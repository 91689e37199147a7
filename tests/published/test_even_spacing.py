"""Even gaps, published by how-to guides, met by a rail routed to that pitch.

Source:
    How-to guides on baluster spacing (tests/published/SOURCES.md): gap = (R - N * w) / (N + 1).
    Laid out from a rail with pitch = gap + w, both ends show the gap of the middle.
    SP-4 (75 in) is a misprint in its source and is not used.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from schemas.lengths import INCH
from tests.bays_by_hand import LEVEL_RULE

LAST_DIGIT = 0.0001
ROWS = [  # row, R, w, sphere, N, gap
    ("SP-1", 72, Fraction(3, 2), Fraction(4), 13, 3.7500),
    ("SP-2", 68, Fraction(3), Fraction(4), 13, 2.0714),
    ("SP-3", 120, Fraction(3, 2), Fraction(4), 22, 3.7826),
    ("SP-5", 144, Fraction(3, 2), Fraction(4), 26, 3.8889),
    ("SP-6", 66, Fraction(5, 4), Fraction(63, 16), 12, 3.9231),
    ("SP-7", Fraction(185, 2), Fraction(3, 4), Fraction(31, 8), 20, 3.6905),
]


@pytest.mark.parametrize(("row", "clear", "width", "sphere", "count", "printed"), ROWS)
def test_rail_of_that_pitch_shows_the_printed_gap(
    row: str, clear: Fraction, width: Fraction, sphere: Fraction, count: int, printed: float
) -> None:
    """The count of the guide is legal, and end gap and regular gap are the printed one."""
    gap = (clear - count * width) / (count + 1)
    fine = 1  # a step of one inside unit: the guides do not round to a tape
    rule = replace(
        LEVEL_RULE,
        step=fine,
        pitch=round((gap + width) * INCH),
        width=int(width * INCH),
        left_least=0,
        right_least=0,
        greatest=round((gap + width) * INCH) - 1,
        longest=200 * INCH,
        limit=int(sphere * INCH),
    )

    fit = rule.fit(opening=int(clear * INCH), balusters=count)

    assert fit is not None, row
    assert fit.regular_gap / INCH == pytest.approx(printed, abs=LAST_DIGIT / 2 + 1 / INCH)
    assert fit.end_gap / INCH == pytest.approx(printed, abs=LAST_DIGIT / 2 + count / INCH)


def test_one_baluster_fewer_lets_the_sphere_through() -> None:
    """SP-3: 21 balusters in 120 in would stand 4.02 in apart."""
    gap = (120 - 21 * Fraction(3, 2)) / 22
    rule = replace(
        LEVEL_RULE,
        step=1,
        pitch=round((gap + Fraction(3, 2)) * INCH),
        width=INCH * 3 // 2,
        left_least=0,
        right_least=0,
        longest=200 * INCH,
        limit=4 * INCH,
    )

    assert gap > 4
    assert rule.fit(opening=120 * INCH, balusters=21) is None
