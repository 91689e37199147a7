"""Where the brackets of a handrail stand along it.

Source:
    Common practice: one at each end, the others evenly between on tape marks.
"""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from schemas.lengths import FOOT, INCH
from services.bays.handrail import bracket_marks, handrail_brackets

STEP = INCH // 16


@given(length=st.integers(2 * FOOT, 40 * FOOT), apart=st.integers(16, 64 * 16))
def test_no_two_brackets_are_further_apart_than_allowed(length: int, apart: int) -> None:
    """From end to end, ascending, evenly to a mark but for the last space."""
    apart *= STEP
    count = handrail_brackets(length=length, apart=apart)

    marks = bracket_marks(length=length, count=count, apart=apart, step=STEP)

    spaces = [after - before for before, after in pairwise(marks)]
    assert (marks[0], marks[-1], len(marks)) == (0, length, count)
    assert 0 < min(spaces) <= max(spaces) <= apart
    assert len(set(spaces[:-1])) <= 1


def test_three_brackets_on_a_rail_of_seventy_inches() -> None:
    """In the middle, at 35 in."""
    marks = bracket_marks(length=70 * INCH, count=3, apart=48 * INCH, step=STEP)

    assert marks == (0, 35 * INCH, 70 * INCH)
