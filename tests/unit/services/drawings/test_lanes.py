"""Labels side by side in their lanes."""

from __future__ import annotations

from itertools import pairwise
from random import Random

import numpy as np
import pytest
from scipy.optimize import isotonic_regression

from services.drawings.boxes import box_of, overlap
from services.drawings.lanes import Says, rows, spread


def test_places_with_room_stay() -> None:
    """Marks that are far enough apart are not moved."""
    assert spread([0, 20, 50], rooms=[18, 18, 18]) == (0, 20, 50)


def test_crowded_places_part_about_their_middle() -> None:
    """Three marks on one spot end up one room apart, the middle one where it was."""
    assert spread([10, 10, 10], rooms=[18, 18, 18]) == pytest.approx((-8, 10, 28))


@pytest.mark.parametrize("seed", range(20))
def test_moves_are_the_least_possible(seed: int) -> None:
    """The places are those of scipy's isotonic regression of what is left after the rooms."""
    rng = Random(seed)
    at = sorted(rng.uniform(0, 300) for _ in range(25))
    rooms = [rng.uniform(5, 25) for _ in at]
    offsets = np.concatenate([[0], np.cumsum([(a + b) / 2 for a, b in pairwise(rooms)])])
    expected = isotonic_regression(np.array(at) - offsets).x + offsets

    assert spread(at, rooms=rooms) == pytest.approx(expected, abs=1e-9)


def test_a_row_is_shared_until_it_is_full() -> None:
    """Texts with room between them share a row; one that would meet another opens the next."""
    lane = rows(
        [Says(x=0, text="12"), Says(x=60, text="24"), Says(x=5, text="13")], top=0, lane="t"
    )

    heights = [label.y for label in lane.labels]

    assert heights[0] == heights[1] > heights[2]
    assert not overlap(box_of(lane.labels[0]), box_of(lane.labels[2]))
