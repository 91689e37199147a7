"""The smallest shift of settled posts, against trying every shift of all of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import product
from random import Random

import pytest

from services.layout.shifts import smallest_shifts


def _holes(clear: int) -> Callable[[int], bool]:
    """An opening of so many marks; of every ten the last three are dead."""
    return lambda wider: clear + wider > 0 and (clear + wider) % 10 < 7


def _best_of_all(
    works: Sequence[Callable[[int], bool]], may_move: Sequence[bool], farthest: int
) -> int | None:
    """The smallest greatest shift, by trying all."""
    moves = [range(-farthest, farthest + 1) if one else range(1) for one in may_move]
    legal = (
        max(map(abs, shifts))
        for shifts in product(*moves)
        if all(ask(b - a) for ask, a, b in zip(works, shifts, shifts[1:], strict=False))
    )
    return min(legal, default=None)


@pytest.mark.parametrize("seed", range(60))
def test_no_smaller_shift_makes_every_bay_legal(seed: int) -> None:
    """Two to four openings, the ends and now and then a post standing fast."""
    dice = Random(seed)
    clears = [dice.randint(20, 60) for _ in range(dice.randint(2, 4))]
    inner = [dice.random() < 0.8 for _ in clears[1:]]
    may_move = [False, *inner, dice.random() < 0.3]
    works = [_holes(clear) for clear in clears]

    found = smallest_shifts(works, may_move=may_move, farthest=5)

    best = _best_of_all(works, may_move, 5)
    assert (None if found is None else max(map(abs, found))) == best
    if found is not None:
        assert all(ask(b - a) for ask, a, b in zip(works, found, found[1:], strict=False))
        assert all(one or shift == 0 for one, shift in zip(may_move, found, strict=True))


def test_nothing_shifts_where_all_is_legal() -> None:
    """Three sound openings."""
    works = [_holes(clear) for clear in (20, 31, 42)]

    assert smallest_shifts(works, may_move=[False, True, True, False], farthest=5) == (0, 0, 0, 0)


def test_two_ends_that_stand_fast_leave_one_opening_as_it_is() -> None:
    """A single dead opening between a wall and a corner."""
    assert smallest_shifts([_holes(28)], may_move=[False, False], farthest=5) is None
