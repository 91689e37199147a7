"""Lengths are read as the trade writes them, exactly, or refused with the mend."""

from fractions import Fraction

import pytest

from schemas.lengths import FOOT, INCH, PER_64TH, PER_MM, Unit, read_length

READ = [
    ("12' 4 1/2\"", 148 * INCH + INCH // 2),
    ("12-4 1/2", 148 * INCH + INCH // 2),
    ("12-4", 148 * INCH),
    ("12'-4 1/2\"", 148 * INCH + INCH // 2),
    ("12 ft 4 1/2 in", 148 * INCH + INCH // 2),
    ("12'", 12 * FOOT),
    ("12′ 4½″", 148 * INCH + INCH // 2),
    ("148 1/2 in", 148 * INCH + INCH // 2),
    ('148.5"', 148 * INCH + INCH // 2),
    ("3/4 in", 3 * INCH // 4),
    ("-1 1/4 in", -(INCH + INCH // 4)),
    ("3772 mm", 3772 * PER_MM),
    ("377.2 cm", 3772 * PER_MM),
    ("3.772 m", 3772 * PER_MM),
]
REFUSED = [
    ("71/4 in", "space lost"),
    ("7-1/4", "two ways"),
    ("12' 14\"", "under 12"),
    ("3/7 in", "tape fraction"),
    ("148.5", "declared unit"),
    ("4 furlongs", "not a unit"),
    ("", "not a length"),
    ("twelve feet", "not a length"),
    ("401 ft", "400 ft"),
    ("9" * 60, "not a length"),
]


@pytest.mark.parametrize(("written", "inside"), READ)
def test_written_form_is_read_exactly(written: str, inside: int) -> None:
    """Every form the trade writes gives the same exact length."""
    assert read_length(written) == inside


@pytest.mark.parametrize(("written", "says"), REFUSED)
def test_doubtful_form_is_refused_with_its_reason(written: str, says: str) -> None:
    """A form that could be misread is not guessed at."""
    with pytest.raises(ValueError, match=says):
        read_length(written)


@pytest.mark.parametrize(
    ("unit", "inside"), [("in", 94 * INCH), ("ft", 94 * FOOT), ("mm", 94 * PER_MM)]
)
def test_bare_number_stands_in_the_declared_unit(unit: Unit, inside: int) -> None:
    """A number alone means the document's unit, as text and as a number."""
    assert read_length(94, unit) == inside
    assert read_length("94", unit) == inside


def test_every_64th_and_every_millimetre_is_a_whole_number() -> None:
    """The inside unit is exact for both rulers: 1 in is 25.4 mm (yard agreement of 1959)."""
    assert Fraction(INCH, PER_MM) == Fraction("25.4")
    assert [read_length(f"{n}/64 in") for n in range(1, 64)] == [PER_64TH * n for n in range(1, 64)]


def test_a_decimal_off_the_ruler_goes_to_the_nearest_unit() -> None:
    """A tenth of an inch is 812.8 units, which is not whole: it rounds by less than 0.002 mm."""
    assert read_length("0.1 in") == 813
    assert read_length("-0.1 in") == -813


def test_true_is_not_a_length() -> None:
    """A boolean under a numeric unit is refused, not read as one."""
    with pytest.raises(ValueError, match="not a length"):
        read_length(True, "in")  # noqa: FBT003 the wrong value is the point
