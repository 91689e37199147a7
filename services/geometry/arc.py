"""Straight chords in a circular arc."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, degrees, pi, sin

from schemas.errors import GeometryError


@dataclass(frozen=True, slots=True, kw_only=True)
class Chords:
    """Equal chords that part an arc."""

    count: int
    length: float
    """Each chord. [length]"""
    turn_deg: float
    """From one chord to the next. [degrees]"""
    inside: float
    """Middle of a chord to the arc: the sagitta. [length]"""


def chords_of(*, arc: float, radius: float, count: int) -> Chords:
    """Part an arc into equal chords.

    With a = arc / (radius * count): chord = 2 r sin(a / 2), turn = a,
    sagitta = r (1 - cos(a / 2)), which is c**2 / 8r for flat arcs.

    Args:
        arc: Along the curve. [length, > 0, up to the full circle]
        radius: [length, > 0]
        count: Chords. [>= 1]

    Raises:
        GeometryError: No such arc.

    Source:
        Plane geometry of the circle.
    """
    if min(arc, radius) <= 0 or count < 1 or arc > 2 * pi * radius:
        msg = f"not an arc: {arc=}, {radius=}, {count=}"
        raise GeometryError(msg)
    angle = arc / radius / count
    return Chords(
        count=count,
        length=2 * radius * sin(angle / 2),
        turn_deg=degrees(angle),
        inside=radius * (1 - cos(angle / 2)),
    )
