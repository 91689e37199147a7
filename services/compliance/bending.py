"""The two sums of a guard post: bending at its foot and tension in its hold-down.

US customary throughout: inches, pounds, psi. These are screens with shown arithmetic; the
joint turns before the post breaks, and only a designer or an approved detail speaks to that.
"""

from __future__ import annotations

from schemas.errors import GeometryError
from services.compliance.wood import Species, Wood


def section_modulus(*, width: float, depth: float, hole: float = 0.0) -> float:
    """Section modulus of a rectangle, S = (b - hole) d^2 / 6.

    Args:
        width: Across the load. [in, > 0]
        depth: Along the load. [in, > 0]
        hole: Diameter of a bolt hole along the load, taken off the width. [in, >= 0]

    Returns:
        S. [in3]

    Raises:
        GeometryError: A size outside its range, or a hole that leaves nothing.
    """
    if min(width, depth) <= 0 or hole < 0 or hole >= width:
        msg = f"not a post section: {width=}, {depth=}, {hole=}"
        raise GeometryError(msg)
    return (width - hole) * depth**2 / 6


def bending_stress(*, load: float, lever: float, modulus: float) -> float:
    """Bending stress fb = P L / S.

    Args:
        load: Level load at the top. [lb, > 0]
        lever: Load to the section looked at, plumb. [in, > 0]
        modulus: Section modulus. [in3, > 0]

    Returns:
        fb. [psi]

    Raises:
        GeometryError: A value outside its range.
    """
    if min(load, lever, modulus) <= 0:
        msg = f"not a loaded post: {load=}, {lever=}, {modulus=}"
        raise GeometryError(msg)
    return load * lever / modulus


def allowable_bending(species: Species, wood: Wood, *, duration: float) -> float:
    """Fb' = Fb CD CM CF Ci, wet service.

    Args:
        species: Reference value and size factor.
        wood: Wet-service and incising factors.
        duration: Load duration factor; which one a guard takes is disputed. [0.9 to 2.0]

    Returns:
        Fb'. [psi]

    Raises:
        GeometryError: A duration factor outside its range.

    Source:
        National Design Specification for Wood Construction, adjustment factors.
    """
    if not 0.9 <= duration <= 2.0:
        msg = f"not a load duration factor: {duration=}"
        raise GeometryError(msg)
    dry = species.bending * species.size_factor
    wet = wood.wet_factor if dry > wood.wet_factor_from else 1.0
    cut = wood.incised_factor if species.incised else 1.0
    return dry * wet * cut * duration


def hold_down_tension(*, load: float, lever: float, apart: float) -> float:
    """Tension in the upper of two bolts, T = P (H + s) / s.

    Args:
        load: Level load at the top. [lb, > 0]
        lever: H, load to the top bolt, plumb. [in, > 0]
        apart: s, bolt to bolt, plumb. [in, > 0]

    Returns:
        T. [lb]

    Raises:
        GeometryError: A value outside its range.

    Source:
        Statics: moments about the lower bolt.
    """
    if min(load, lever, apart) <= 0:
        msg = f"not a bolted post: {load=}, {lever=}, {apart=}"
        raise GeometryError(msg)
    return load * (lever + apart) / apart
