"""The smallest shift of settled posts that makes every bay of a leg legal.

Between two stretches stands what is settled: a post in place, a fixed post, an opening with its
two posts. Each may shift along the leg; what lies between must then be legal.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache

from schemas.lengths import INCH
from services.layout.chains import Links, nearest_chain

SHIFT = 6 * INCH
"""Nothing settled is shifted further. Source: common practice."""


def smallest_shifts(
    works: Sequence[Callable[[int], bool]], *, may_move: Sequence[bool], farthest: int
) -> tuple[int, ...] | None:
    """How far each settled thing shifts, the greatest shift as small as can be.

    Args:
        works: For each stretch whether it can be built so many marks wider.
        may_move: For each thing around and between them; one more than stretches.
        farthest: Nothing shifts by more. [marks, >= 0]

    Returns:
        Shifts in marks, away from the leg's zero; None where no shift makes all legal.
    """
    apart = 4 * farthest + 2  # so far apart that a distance tells which stretch it is
    places = [apart * number * (number + 1) // 2 for number in range(len(may_move))]
    stays = {place for place, moves in zip(places, may_move, strict=True) if not moves}
    near = [range(place - farthest, place + farthest + 1) for place in places]

    def may_stand(mark: int) -> bool:
        return mark in stays or not any(
            mark in row for place, row in zip(places, near, strict=True) if place in stays
        )

    @cache
    def between(marks: int) -> bool:
        number = round(marks / apart)
        return works[number - 1](marks - number * apart)

    chain = nearest_chain(
        places,
        links=Links(
            may_stand=may_stand,
            first=lambda _: True,
            between=between,
            last=lambda _: True,
        ),
        farthest=farthest,
    )
    return chain and tuple(mark - place for mark, place in zip(chain, places, strict=True))
