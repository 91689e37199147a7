"""The sphere that goes through the triangle of tread, riser and bottom rail of a stair."""

from __future__ import annotations

from math import isqrt

from schemas.errors import GeometryError


def triangle_sphere(*, riser: int, tread: int, nosing: int, over: int) -> int:
    """The largest sphere that passes under a stair's bottom rail, rounded up.

    With r the riser, t the tread, n the nosing's projection, v the rail's underside plumb
    over the nosing line and L = sqrt(r^2 + t^2), a sphere that rests on tread and riser and
    touches the rail has the diameter D = 2 (v t + (t + n) r) / (r + t + L), which is
    (v t + (t + n) r) (r + t - L) / (r t). For n = v = 0 that is r + t - L, the inscribed
    circle of a right triangle. The root is taken in whole numbers, so that a sphere which
    only just touches is never called smaller than it is.

    Args:
        riser: Height of one riser. [1/320 mm, > 0]
        tread: Run of one tread, nosing to nosing, level. [1/320 mm, > 0]
        nosing: Projection of a tread over the riser below. [1/320 mm, >= 0]
        over: The bottom rail's underside over the nosing line, plumb. [1/320 mm, >= 0]

    Raises:
        GeometryError: A size outside its range.

    Source:
        Euclid, Elements IV.4: the circle inscribed in a triangle.
    """
    if min(riser, tread) <= 0 or min(nosing, over) < 0:
        msg = f"not a closed stair triangle: {riser=}, {tread=}, {nosing=}, {over=}"
        raise GeometryError(msg)
    area = over * tread + (tread + nosing) * riser
    root = isqrt(area * area * (riser * riser + tread * tread))
    return -((root - area * (riser + tread)) // (riser * tread))
