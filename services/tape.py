"""Tape marks: rounding to the company's graduation and the text of a length.

A piece is rounded once, when its length is decided; what follows from it is
exact. A limit rounds inward: openings and maxima down, minima up.
The step is the company's graduation in inside units: 1/16 in is 508, 1 mm is 320.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

from schemas.lengths import FOOT, INCH, PER_MM


def down(length: float | Fraction, step: int) -> int:
    """The tape mark at or below a length: for openings and maxima. [1/320 mm]."""
    if isinstance(length, int):  # nearly always, and asked millions of times in a post search
        return length // step * step
    return floor(Fraction(length) / step) * step


def under(length: float | Fraction, step: int) -> int:
    """The last tape mark under a length that itself is too much. [1/320 mm]."""
    return up(length, step) - step


def up(length: float | Fraction, step: int) -> int:
    """The tape mark at or above a length: for minima. [1/320 mm]."""
    if isinstance(length, int):
        return -(-length // step) * step
    return ceil(Fraction(length) / step) * step


def nearest(length: float | Fraction, step: int) -> int:
    """The nearest tape mark, half a step going up.

    Source:
        US Navy Builder course 14044: to the nearest 1/16 in, half a sixteenth goes up.
    """
    if isinstance(length, int):
        return (2 * length + step) // (2 * step) * step
    return floor(Fraction(length) / step + Fraction(1, 2)) * step


def is_metric(step: int) -> bool:
    """Whether a graduation is one of whole millimetres."""
    return step % PER_MM == 0


def text(length: float | Fraction, step: int) -> str:
    """A length as it is read off the tape: ``34 11/16``, ``3/8``, ``0`` or ``881``.

    Inches to the graduation, or whole millimetres, without the unit, which
    stands once on the sheet. A length between two marks shows the nearest.
    """
    size = nearest(length, step)
    sign, size = ("-", -size) if size < 0 else ("", size)
    if is_metric(step):
        return f"{sign}{size // PER_MM}"
    whole, part = divmod(size, INCH)
    fraction = Fraction(part, INCH)
    if not fraction:
        return f"{sign}{whole}"
    return f"{sign}{whole} {fraction}" if whole else f"{sign}{fraction}"


def text_with_unit(length: float | Fraction, step: int) -> str:
    """A length with its unit, for running prose: ``34 11/16 in`` or ``881 mm``."""
    return f"{text(length, step)} {'mm' if is_metric(step) else 'in'}"


def feet_and_inches(length: float | Fraction, step: int) -> str:
    """A long length as feet and inches beside the inches: ``12' 4 1/2"``; metres in metric."""
    size = nearest(length, step)
    if is_metric(step):
        return f"{size / PER_MM / 1000:.3f} m"
    feet, rest = divmod(size, FOOT)
    inches = text(rest, step)
    if not feet:
        return f'{inches}"'
    return f"{feet}' 0 {inches}\"" if 0 < rest < INCH else f"{feet}' {inches}\""


def angle(degrees: float) -> str:
    """A saw setting or slope as it is set: ``22.5°``, ``45°``; to a tenth of a degree."""
    return f"{round(degrees, 1) + 0.0:g}°"


def as_written(length: int, step: int) -> str:
    """A length as an office would write it in a submission, exact to the inside unit."""
    if length % step == 0:
        return text_with_unit(length, step)
    if is_metric(step):
        return f"{length / PER_MM:.6g} mm"
    return f"{length / INCH:.6f} in"
