"""The nearest chain against trying every chain."""

from itertools import pairwise, product

import pytest

from services.layout.chains import Links, nearest_chain

CASES = [
    # wished, forbidden distances, forbidden marks, allowed first, allowed last
    ([10], set(), {10, 11}, range(100), range(100)),
    ([10, 20], {9, 10, 11}, set(), range(100), range(100)),
    ([10, 20, 30], {10}, {20}, range(8, 100), range(32)),
    ([10, 20, 30], {8, 9, 10, 11, 12}, set(), range(11), range(30, 100)),
    ([7, 13, 22, 29], {6, 7, 9}, {22, 23}, range(5, 9), range(27, 32)),
    ([10, 20], set(range(-50, 50)), set(), range(100), range(100)),
]


def _links(distances: set[int], marks: set[int], first: range, last: range) -> Links:
    return Links(
        may_stand=lambda mark: mark not in marks,
        first=lambda mark: mark in first,
        between=lambda apart: apart not in distances,
        last=lambda mark: mark in last,
    )


@pytest.mark.parametrize(("wished", "distances", "marks", "first", "last"), CASES)
def test_nearest_chain_is_the_best_of_all(
    wished: list[int], distances: set[int], marks: set[int], first: range, last: range
) -> None:
    """Trying every chain finds none that moves less: greatest move, then mark by mark."""
    farthest = 4
    links = _links(distances, marks, first, last)
    every = product(*(range(wish - farthest, wish + farthest + 1) for wish in wished))

    def moves(chain: tuple[int, ...]) -> list[int]:
        return [abs(a - b) for a, b in zip(chain, wished, strict=True)]

    allowed = [
        chain
        for chain in every
        if all(map(links.may_stand, chain))
        and links.first(chain[0])
        and links.last(chain[-1])
        and all(links.between(b - a) for a, b in pairwise(chain))
    ]
    best = min(allowed, key=lambda chain: (max(moves(chain)), moves(chain), chain), default=None)

    found = nearest_chain(wished, links=links, farthest=farthest)

    assert found == best


def test_no_chain_further_than_allowed() -> None:
    """A mark which is allowed just beyond the limit is not taken."""
    links = _links(set(), set(range(5, 15)), range(100), range(100))

    assert nearest_chain([10], links=links, farthest=4) is None
    assert nearest_chain([10], links=links, farthest=5) == (15,)
