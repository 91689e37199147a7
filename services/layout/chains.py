"""The chain of marks nearest to the wished ones, each link of which is allowed.

Marks are whole numbers. All marks of one post from which the chain can still be finished
are the bits of one whole number, so that a whole row of posts is searched by shifting
and masking.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

Allowed = Callable[[int], bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class Links:
    """What a chain must keep to."""

    may_stand: Allowed
    """A mark by itself."""
    first: Allowed
    """The chain's first mark."""
    between: Allowed
    """Distance from a mark to the next."""
    last: Allowed
    """The chain's last mark."""


def nearest_chain(wished: Sequence[int], *, links: Links, farthest: int) -> tuple[int, ...] | None:
    """Find the allowed chain which moves its marks least.

    Least is the greatest single move; then the first mark's move, the second's and so on;
    of two marks equally far the lower one.

    Args:
        wished: Where the marks would best be, ascending, one or more.
        links: What is allowed.
        farthest: No mark moves by more. [marks, >= 0]

    Returns:
        The chain, or None where none exists within that distance.
    """
    known = Links(
        may_stand=cache(links.may_stand),
        first=cache(links.first),
        between=cache(links.between),
        last=cache(links.last),
    )
    least = _least_move(wished, links=known, farthest=farthest)
    return None if least is None else _first_come(wished, links=known, within=least)


def _least_move(wished: Sequence[int], *, links: Links, farthest: int) -> int | None:
    """The smallest greatest move: doubled until a chain exists, then halved in."""
    low, high = -1, 0
    while not _finishing(wished, links=links, within=high)[0]:
        if high == farthest:
            return None
        low, high = high, min(farthest, 2 * high or 1)
    while high - low > 1:
        middle = (low + high) // 2
        if _finishing(wished, links=links, within=middle)[0]:
            high = middle
        else:
            low = middle
    return high


def _finishing(wished: Sequence[int], *, links: Links, within: int) -> list[int]:
    """For every mark of the chain the places from which it can be finished.

    Bit b of a row is the place b - within past the wished one.
    """
    row = _row(wished[-1], within=within, allowed=links.may_stand)
    row &= _row(wished[-1], within=within, allowed=links.last)
    rows = [row]
    for there, here in pairwise(reversed(wished)):
        reached = 0
        for drift in range(-2 * within, 2 * within + 1) if row else ():
            if links.between(there - here + drift):
                reached |= row >> drift if drift >= 0 else row << -drift
        row = reached & _row(here, within=within, allowed=links.may_stand)
        rows.append(row)
    rows[-1] &= _row(wished[0], within=within, allowed=links.first)
    return rows[::-1]


def _row(wish: int, *, within: int, allowed: Allowed) -> int:
    marks = range(wish - within, wish + within + 1)
    return sum(1 << bit for bit, mark in enumerate(marks) if allowed(mark))


def _first_come(wished: Sequence[int], *, links: Links, within: int) -> tuple[int, ...]:
    """From the first on, each mark as near to its wish as the rest allows."""
    nearest = sorted(range(-within, within + 1), key=lambda move: (abs(move), move))
    chain: list[int] = []
    for wish, row in zip(wished, _finishing(wished, links=links, within=within), strict=True):
        chain.append(
            next(
                wish + move
                for move in nearest
                if row >> (move + within) & 1
                and (not chain or links.between(wish + move - chain[-1]))
            )
        )
    return tuple(chain)
