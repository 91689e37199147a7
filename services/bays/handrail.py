"""The continuous graspable rail beside a stair: its length and its brackets."""

from __future__ import annotations

from services import tape
from services.geometry.slope import Slope


def handrail_length(*, slope: Slope, risers: int, step: int) -> int:
    """Along the slope from above the top riser to above the lowest one, rounded up.

    (risers - 1) treads lie between the top and the lowest nosing.

    Source:
        International Residential Code 2021, R311.7.8.4: continuous for the full length of the
        flight, from above the top riser to above the lowest riser.
    """
    return tape.up(slope.ceil_along((risers - 1) * slope.run), step)


def handrail_brackets(*, length: int, apart: int) -> int:
    """Brackets no further apart than allowed, one at each end."""
    return -(-length // apart) + 1
