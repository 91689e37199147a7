"""Tape marks: limits round inward, and numbers read as a tape is read."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from schemas.lengths import INCH, PER_MM
from services import tape

SIXTEENTH = INCH // 16
LENGTHS = st.integers(0, 500 * INCH)
STEPS = st.sampled_from([INCH // 8, SIXTEENTH, INCH // 32, PER_MM])


@given(length=LENGTHS, step=STEPS)
def test_down_and_up_enclose_the_length(length: int, step: int) -> None:
    """An opening never grows and a minimum never shrinks by rounding."""
    low, high = tape.down(length, step), tape.up(length, step)

    assert low <= length <= high
    assert high - low in {0, step}
    assert low % step == 0


def test_half_a_sixteenth_goes_up() -> None:
    """The mark above is taken at exactly half a step, as the trade course has it."""
    assert tape.nearest(SIXTEENTH // 2, SIXTEENTH) == SIXTEENTH


def test_text_is_read_off_the_tape() -> None:
    """Whole inches, a reduced fraction, and no unit; millimetres whole."""
    assert tape.text(34 * INCH + 11 * SIXTEENTH, SIXTEENTH) == "34 11/16"
    assert tape.text(6 * SIXTEENTH, SIXTEENTH) == "3/8"
    assert tape.text(34 * INCH, SIXTEENTH) == "34"
    assert tape.text(-INCH - 4 * SIXTEENTH, SIXTEENTH) == "-1 1/4"
    assert tape.text(881 * PER_MM, PER_MM) == "881"
    assert tape.text_with_unit(881 * PER_MM, PER_MM) == "881 mm"


def test_long_lengths_show_feet_or_metres() -> None:
    """Feet and inches in brackets are a check on the inches."""
    assert tape.feet_and_inches(148 * INCH + INCH // 2, SIXTEENTH) == "12' 4 1/2\""
    assert tape.feet_and_inches(60 * INCH + INCH // 2, SIXTEENTH) == "5' 0 1/2\""
    assert tape.feet_and_inches(60 * INCH, SIXTEENTH) == "5' 0\""
    assert tape.feet_and_inches(7 * INCH, SIXTEENTH) == '7"'
    assert tape.feet_and_inches(3772 * PER_MM, PER_MM) == "3.772 m"


@given(length=st.integers(-(10**9), 10**9), step=st.sampled_from([127, 254, 508, 1016, 320]))
def test_whole_and_broken_lengths_round_alike(length: int, step: int) -> None:
    """The quick way for whole numbers is the exact one."""
    exact = Fraction(length)

    assert tape.down(length, step) == tape.down(exact, step)
    assert tape.up(length, step) == tape.up(exact, step)
    assert tape.nearest(length, step) == tape.nearest(exact, step)


@given(length=LENGTHS, step=STEPS)
def test_the_mark_under_a_length_never_reaches_it(length: int, step: int) -> None:
    """A height that itself fails is left by less than two marks, and by one where it is on one."""
    under = tape.under(length, step)

    assert length - step <= under < length
    assert under % step == 0
