"""Which single figure, put right, would make a row of measures agree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from schemas.lengths import FOOT, INCH, Length
from schemas.wording import say

_CLOSE = INCH // 8
_ALIKE = INCH
"""Openings of one leg that differ by no more are taken to be meant equal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A figure that may be wrong."""

    number: int
    """In the row, from 0."""
    should_be: Length
    alike: bool
    """With the correction it is like the others of its row, and without it is not."""


def slips(figures: Sequence[Length], *, missing: Length) -> tuple[Slip, ...]:
    """Every figure that the missing amount could be put to, the most likely first.

    Likely is a figure which then agrees with the rest of its row and now does not;
    then the one that comes nearest to the rest.

    Args:
        figures: Measured openings in order. [1/320 mm]
        missing: What the row lacks; negative where it is too long. [1/320 mm]
    """
    found = []
    for number, figure in enumerate(figures):
        should_be = figure + missing
        if should_be <= 0:
            continue
        others = [*figures[:number], *figures[number + 1 :]]
        rest = median(others) if others else should_be
        off = abs(should_be - rest)
        alike = bool(others) and off <= _ALIKE < abs(figure - rest)
        slip = Slip(number=number, should_be=should_be, alike=alike)
        found.append(((not alike, off, number), slip))
    return tuple(slip for _, slip in sorted(found, key=lambda pair: pair[0]))


def known_slip(missing: Length, *, sleeve: Length) -> str | None:
    """How tapes are misread by such an amount; none where the trade has no word for it."""
    size = abs(missing)
    if abs(size - FOOT) <= _CLOSE:
        return say("just a foot")
    if abs(size - INCH) <= _CLOSE:
        return say("just an inch")
    if abs(size - sleeve) <= _CLOSE:
        return say("just a sleeve, as if a post was counted twice or left out")
    if abs(size - INCH // 4) <= _CLOSE:
        return say("as when 3/8 is read for 5/8")
    if abs(size - 9 * INCH) <= _CLOSE:
        return say("as when two figures change places (67 for 76)")
    return None
