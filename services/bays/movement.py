"""Thermal movement of a rail against the gaps left at its ends."""

from __future__ import annotations

from fractions import Fraction

from schemas.bays import Movement
from schemas.errors import GeometryError
from schemas.rail_system import RailSystem
from services import tape


def free_movement(*, length: int, per_degf: float, degf: float) -> Fraction:
    """Change of length of an unheld part: length * coefficient * difference.

    Args:
        length: [length, >= 0]
        per_degf: Linear expansion. [1/degF, >= 0]
        degf: Difference of temperature. [degF, >= 0]

    Raises:
        GeometryError: A value under nothing.

    Source:
        Linear thermal expansion, as in any textbook of materials; coefficients are the rail
        maker's.
    """
    if min(length, per_degf, degf) < 0:
        msg = f"no such movement: {length=}, {per_degf=}, {degf=}"
        raise GeometryError(msg)
    return length * Fraction(str(per_degf)) * Fraction(str(degf))


def movement(*, system: RailSystem, cut: int, room: int, step: int) -> Movement:
    """The whole range from coldest to hottest, against both end gaps together.

    Args:
        system: For the coefficient and the range of temperature.
        cut: The longer rail of the bay. [length]
        room: Both end gaps of the tighter rail together, along the rail. [length]
        step: Graduation; the movement is printed rounded up to it.
    """
    free = free_movement(
        length=cut,
        per_degf=system.expansion_per_degf,
        degf=system.hottest_degf - system.coldest_degf,
    )
    return Movement(free=tape.up(free, step), room=room, fits=free <= room)
