"""Which figure of a row was misread."""

import pytest

from services.layout.slips import known_slip, slips
from tests.unit.services.layout.decks import inches

SLEEVE = inches("4")


def test_the_odd_one_is_the_first_suspect() -> None:
    """An opening an inch short among equals comes first, with what it should be."""
    row = [inches("70"), inches("70"), inches("67"), inches("70")]

    first, *others = slips(row, missing=inches("3"))

    assert (first.number, first.should_be, first.alike) == (2, inches("70"), True)
    assert not any(other.alike for other in others)


def test_no_figure_is_corrected_to_nothing() -> None:
    """An opening smaller than what is too much cannot be the culprit."""
    found = slips([inches("5"), inches("70")], missing=-inches("12"))

    assert [slip.number for slip in found] == [1]


@pytest.mark.parametrize(
    ("missing", "word"),
    [("12", "foot"), ("-12 1/8", "foot"), ("1", "inch"), ("1/4", "3/8"), ("9", "places"),
     ("4", "sleeve"), ("3", None), ("12 3/16", None)],
)  # fmt: skip
def test_known_slips_have_their_word(missing: str, word: str | None) -> None:
    """A foot, an inch, a sleeve, swapped eighths and swapped figures; an eighth of slack."""
    said = known_slip(inches(missing), sleeve=SLEEVE)

    assert (said is None) if word is None else word in str(said)
