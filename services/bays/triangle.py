"""The opening of tread, riser and bottom rail at a stair: how high the rail may run."""

from __future__ import annotations

from schemas.errors import GeometryError
from schemas.lengths import INCH
from schemas.site import Stair
from services.geometry.incircle import touching_height

UNDER_TRIANGLE = INCH // 8
"""The rail is planned at least this far under the triangle's limit. Common practice: a
sphere that just touches is a doubt at the inspection."""
WIDEST_NOSING = INCH * 5 // 4
"""Taken where a nosing is unknown: the widest has the lowest limit.

Source: International Residential Code 2021, R311.7.5.3: nosing of 3/4 to 1 1/4 in.
"""


def triangle_limit(*, stair: Stair, sphere: int) -> float | None:
    """Most that the bottom rail's underside may stand plumb over the nosing line, unrounded.

    None where it is not a closed triangle of known shape: risers open or not known to be
    closed, an unknown nosing, or risers so low that the sphere rolls over them.

    Args:
        stair: Riser, tread, nosing and whether its risers are closed.
        sphere: That must not pass; at this height it just touches. [length, > 0]
    """
    if stair.open_risers is not False or stair.nosing is None:
        return None
    return _touching(stair, stair.nosing, sphere)


def highest_planned(*, stair: Stair, sphere: int, sphere_margin: int) -> float:
    """Most for the planned rail: 1/8 in under the limit, and under the company's own sphere's.

    Where the triangle is not known the rail is kept as low as over closed risers with the
    widest nosing, but never under the nosings themselves.
    """
    known = triangle_limit(stair=stair, sphere=sphere) is not None
    nosing = stair.nosing if known and stair.nosing is not None else WIDEST_NOSING
    recorded = _touching(stair, nosing, sphere)
    working = _touching(stair, nosing, sphere - sphere_margin)
    if recorded is None or working is None:
        return 0
    planned = min(recorded - UNDER_TRIANGLE, working - 1)
    return planned if known else max(0, planned)


def _touching(stair: Stair, nosing: int, sphere: int) -> float | None:
    try:
        exact = touching_height(
            rise=stair.riser, run=stair.tread, projection=nosing, diameter=sphere
        )
    except GeometryError:
        return None
    return round(exact, 6)  # or a float's last digit would take a whole mark away
