"""Units and rounding against their definitions.

Source:
    International yard and pound agreement (1959): 1 in = 25.4 mm, 1 ft = 0.3048 m exactly.
    US Navy Builder course 14044: to the nearest 1/16 in, half a sixteenth goes up;
    0.12 in x 16 = 1.92, read as 2/16 = 1/8 in.
    IRC 2021 prints metric equivalents in brackets; those of 7 3/4, 31 1/2 and 27 in are
    truncated or wrong there (196, 787, 698 mm) and stand in SOURCES.md as misprints.
"""

import pytest

from schemas.lengths import FOOT, INCH, PER_MM, read_length
from services import tape
from services.compliance import load_profiles

SIXTEENTH = INCH // 16
EXACT_MM = [  # in, mm, mm printed in the code or None where it is a misprint
    ("4 in", "101.6 mm", 102), ("4 3/8 in", "111.125 mm", 111), ("30 in", "762 mm", 762),
    ("34 in", "863.6 mm", 864), ("36 in", "914.4 mm", 914), ("38 in", "965.2 mm", 965),
    ("42 in", "1066.8 mm", 1067), ("7 3/4 in", "196.85 mm", None),
    ("31 1/2 in", "800.1 mm", None), ("27 in", "685.8 mm", None), ("10 in", "254 mm", 254),
    ("80 in", "2032 mm", 2032), ("6 in", "152.4 mm", 152), ("3/8 in", "9.525 mm", 10),
]  # fmt: skip


def test_inch_and_foot_are_exact() -> None:
    """An inch is 25.4 mm and a foot 0.3048 m, without rounding."""
    assert INCH * 10 == 254 * PER_MM
    assert FOOT * 10_000 == 3048 * 1000 * PER_MM
    assert read_length("0.3048 m") == FOOT


@pytest.mark.parametrize(("inches", "exact", "printed"), EXACT_MM)
def test_code_sizes_are_their_millimetres(inches: str, exact: str, printed: int | None) -> None:
    """Sizes in inches are the same length as their exact millimetres."""
    size = read_length(inches)

    assert size == read_length(exact)
    assert printed is None or tape.nearest(size, PER_MM) == printed * PER_MM


@pytest.mark.parametrize(
    ("decimal", "read"),
    [(0.12, "1/8"), (0.5 / 16, "1/16"), (0.49 / 16, "0"), (7.2308, "7 1/4"), (7.1333, "7 1/8")],
)
def test_decimal_goes_to_the_nearest_sixteenth(decimal: float, read: str) -> None:
    """UN-3, UN-4: the course's 0.12 is 1/8, half a sixteenth goes up, less goes down."""
    assert tape.text(decimal * INCH, SIXTEENTH) == read


def test_convert_first_and_round_last() -> None:
    """UN-2 (federal metrology page): 36 in is 914 mm; by 34 in and 2 in rounded apart it is 915."""
    at_once = tape.nearest(36 * INCH, PER_MM)
    apart = tape.nearest(34 * INCH, PER_MM) + tape.nearest(2 * INCH, PER_MM)

    assert (at_once, apart) == (914 * PER_MM, 915 * PER_MM)
    assert read_length("36 in") == 36 * INCH


def test_printed_millimetres_are_not_the_limit() -> None:
    """864 mm is over 34 in and 102 mm over 4 in: what is compared are the inches."""
    assert read_length("864 mm") > read_length("34 in")
    assert read_length("102 mm") > read_length("4 in")
    assert read_length("787 mm") == pytest.approx(31 * INCH, abs=PER_MM / 2)
    assert read_length("698 mm") == pytest.approx(27.5 * INCH, abs=PER_MM)


@pytest.mark.parametrize(("profile", "limit"), [("us-irc-2021", "4 in"), ("uk-adk", "100 mm")])
def test_an_opening_equal_to_the_sphere_fails(profile: str, limit: str) -> None:
    """UN-6: a sphere that must not pass just passes where the opening is its own size."""
    rule = next(r for r in load_profiles()[profile].rules if r.id == "guard-opening")
    sphere = read_length(limit)

    assert rule.stands(sphere) is False
    assert rule.stands(sphere - 1) is True


def test_a_limit_rounds_inward() -> None:
    """A greatest opening loses what the tape cannot show, a least height gains it."""
    between = INCH * 36 + SIXTEENTH // 2

    assert tape.down(between, SIXTEENTH) == 36 * INCH
    assert tape.up(between, SIXTEENTH) == 36 * INCH + SIXTEENTH
