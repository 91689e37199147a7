"""Equal bays: how few, and on which marks."""

import pytest

from schemas.errors import GeometryError
from services.layout.equal_bays import equal_marks, fewest_bays
from tests.unit.services.layout.decks import inches

SLEEVE = inches("4")


@pytest.mark.parametrize(
    ("clear", "bays"), [("94", 1), ("94 1/16", 2), ("192", 2), ("192 1/16", 3), ("1", 1)]
)
def test_no_bay_is_longer_than_allowed_and_none_too_many(clear: str, bays: int) -> None:
    """An opening of just the longest is one bay; a sixteenth more is two."""
    assert fewest_bays(clear=inches(clear), longest=inches("94"), sleeve=SLEEVE) == bays


def test_nothing_to_divide_is_refused() -> None:
    """A stretch of nothing is no stretch."""
    with pytest.raises(GeometryError, match="clear=0"):
        fewest_bays(clear=0, longest=inches("94"), sleeve=SLEEVE)


def test_remainder_is_spread_and_the_sum_exact() -> None:
    """100 1/16 in three bays: openings differ by a mark and fill the stretch exactly."""
    step, right = inches("1/16"), inches("100 1/16")

    marks = equal_marks(left=0, right=right, bays=3, sleeve=SLEEVE, step=step)

    first, second = (mark * step for mark in marks)
    half = SLEEVE // 2
    clears = (first - half, second - first - SLEEVE, right - second - half)
    assert sum(clears) + 2 * SLEEVE == right
    assert max(clears) - min(clears) <= step
