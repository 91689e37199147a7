"""The chain of marks nearest to the wished ones, each link of which is allowed.

Marks are whole numbers. All marks of one post that can still be reached are the bits of
one whole number, so that a whole row of posts is searched by shifting and masking.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
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

    Least is the greatest single move first, then the sum of all moves; among equals the
    lower mark wins, from the first on.

    Args:
        wished: Where the marks would best be, ascending, one or more.
        links: What is allowed.
        farthest: No mark moves by more. [marks, >= 0]

    Returns:
        The chain, or None where none exists within that distance.
    """
    least = _least_move(wished, links=links, farthest=farthest)
    return None if least is None else _least_sum(wished, links=links, within=least)


def _least_move(wished: Sequence[int], *, links: Links, farthest: int) -> int | None:
    """The smallest greatest move: doubled until a chain exists, then halved in."""
    low, high = -1, 0
    while not _exists(wished, links=links, within=high):
        if high == farthest:
            return None
        low, high = high, min(farthest, 2 * high or 1)
    while high - low > 1:
        middle = (low + high) // 2
        if _exists(wished, links=links, within=middle):
            high = middle
        else:
            low = middle
    return high


def _exists(wished: Sequence[int], *, links: Links, within: int) -> bool:
    """Whether a chain exists; bit b of a row is the mark b - within past the wished one."""
    row = _row(wished[0], within=within, allowed=links.may_stand)
    row &= _row(wished[0], within=within, allowed=links.first)
    for here, there in pairwise(wished):
        reached = 0
        for drift in range(-2 * within, 2 * within + 1):
            if links.between(there - here + drift):
                reached |= row << drift if drift >= 0 else row >> -drift
        row = reached & _row(there, within=within, allowed=links.may_stand)
        if not row:
            return False
    return bool(row & _row(wished[-1], within=within, allowed=links.last))


def _row(wish: int, *, within: int, allowed: Allowed) -> int:
    marks = range(wish - within, wish + within + 1)
    return sum(1 << bit for bit, mark in enumerate(marks) if allowed(mark))


def _least_sum(wished: Sequence[int], *, links: Links, within: int) -> tuple[int, ...] | None:
    """Of all chains within the distance the one with the least sum of moves."""
    best: dict[int, tuple[int, tuple[int, ...]]] = {}
    for number, wish in enumerate(wished):
        marks = [m for m in range(wish - within, wish + within + 1) if links.may_stand(m)]
        if not number:
            best = {m: (abs(m - wish), (m,)) for m in marks if links.first(m)}
            continue
        grown: dict[int, tuple[int, tuple[int, ...]]] = {}
        for mark in marks:
            reached = [
                (moved + abs(mark - wish), (*chain, mark))
                for before, (moved, chain) in best.items()
                if links.between(mark - before)
            ]
            if reached:
                grown[mark] = min(reached)
        best = grown
    ended = [found for mark, found in best.items() if links.last(mark)]
    return min(ended)[1] if ended else None
