"""Lengths on a slope against the tables and examples of the carpentry courses.

Source:
    US Navy Builder course 14044: framing square, line length per foot of run, printed to
    0.01 in; rafter examples.
    US Army Carpentry EN5156 and EN0069A: rise 13 in per foot, run 10 ft 4 in, 182.79 in.
    I. S. Griffith, Carpentry: quarter pitch, span 25 ft, 12.5 x 13.42 = 167.75 in.
"""

import pytest

from schemas.lengths import FOOT, INCH
from services import tape
from services.geometry.slope import Slope

LAST_DIGIT = 0.01
RISE_AND_LENGTH = [
    (4, 12.65), (5, 13.00), (6, 13.42), (7, 13.89), (8, 14.42),
    (9, 15.00), (10, 15.62), (12, 16.97), (13, 17.69), (18, 21.63),
]  # fmt: skip


def line_length(*, rise: int, run: int) -> float:
    """Inches along a slope of so many inches a foot, over a level run."""
    return Slope(rise=rise * INCH, run=FOOT).floor_along(run) / INCH


@pytest.mark.parametrize(("rise", "printed"), RISE_AND_LENGTH)
def test_length_per_foot_is_the_printed_one(rise: int, printed: float) -> None:
    """Every row of the table comes out to its last printed digit."""
    found = line_length(rise=rise, run=FOOT)

    assert found == pytest.approx(printed, abs=LAST_DIGIT / 2)


def test_navy_rafter_comes_to_its_sixteenth() -> None:
    """RA-1: 7 in rise over 8 ft is cut at 111 1/8 in; the course multiplies its own 13.89."""
    sixteenth = INCH // 16

    found = Slope(rise=7 * INCH, run=FOOT).floor_along(8 * FOOT)

    assert tape.text(found, sixteenth) == "111 1/8"
    assert found / INCH == pytest.approx(111.12, abs=8 * LAST_DIGIT / 2)


def test_navy_rafter_by_the_right_triangle() -> None:
    """RA-2: 6 in rise over 12 ft 6 in rises 6 ft 3 in; the hypotenuse is 13.975 ft."""
    slope = Slope(rise=6 * INCH, run=FOOT)

    rise, length = 12.5 * slope.tan, slope.floor_along(25 * FOOT // 2)

    assert rise == 6.25
    assert length / FOOT == pytest.approx(13.975, abs=0.001 / 2)


def test_army_example_drifts_only_by_its_own_rounding() -> None:
    """RA-3: the book multiplies its two-decimal figure by the run; the exact length is 182.82."""
    run = 10 * FOOT + 4 * INCH

    found = line_length(rise=13, run=run)

    assert found == pytest.approx(182.79, abs=run / FOOT * LAST_DIGIT / 2)
    assert found == pytest.approx(182.82, abs=LAST_DIGIT / 2)


def test_quarter_pitch_drifts_only_by_its_own_rounding() -> None:
    """RA-4: 12.5 x 13.42 is printed as 167.75 in; the exact length is 167.71."""
    found = line_length(rise=6, run=25 * FOOT // 2)

    assert found == pytest.approx(167.75, abs=12.5 * LAST_DIGIT / 2)
    assert found == pytest.approx(167.71, abs=LAST_DIGIT / 2)
