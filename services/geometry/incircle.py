"""A circle in the corner of two square legs, closed by a sloping line.

The corner is at the origin: one leg stands up, one lies level. The sloping line
falls from above the upright leg to above the end of the level one.
"""

from __future__ import annotations

from math import hypot

from schemas.errors import GeometryError


def touching_height(*, rise: float, run: float, projection: float, diameter: float) -> float:
    """How far above its own foot a sloping line just touches a circle in the corner.

    The line of slope rise / run has its foot on the level leg, ``run + projection`` from
    the corner. Raised plumb by v it touches the circle which lies against both legs. With
    L = sqrt(rise**2 + run**2):

        v = L / run * (diameter / 2 * ((rise + run) / L + 1) - (run + projection) * rise / L)

    Raised by less, the circle does not go in. Negative: it goes in even with the line on
    its foot.

    Args:
        rise: Fall of the line over ``run``. [length, > 0]
        run: [length, > 0]
        projection: How much further than ``run`` the foot is from the upright leg.
            [length, >= 0]
        diameter: Of the circle. [length, > 0, at most 2 * rise so that it lies against
            the upright leg, and at most 2 * (run + projection)]

    Raises:
        GeometryError: A size outside its range.

    Source:
        Distance of a point from a line, set equal to the radius at the centre
        (diameter / 2, diameter / 2): derived; see tests/published/SOURCES.md.
    """
    radius = diameter / 2
    sizes = f"{rise=}, {run=}, {projection=}, {diameter=}"
    if min(rise, run, diameter) <= 0 or projection < 0:
        msg = f"not a corner with a circle: {sizes}"
        raise GeometryError(msg)
    if radius > rise or radius > run + projection:
        msg = f"the circle does not lie against both legs: {sizes}"
        raise GeometryError(msg)
    line = hypot(rise, run)
    apart = radius * ((rise + run) / line + 1) - (run + projection) * rise / line
    return apart * line / run
