"""Equal bays: how few, and where their posts stand on the tape."""

from __future__ import annotations

from fractions import Fraction

from schemas.errors import GeometryError
from schemas.lengths import Length
from services.tape import nearest


def fewest_bays(*, clear: Length, longest: Length, sleeve: Length) -> int:
    """The fewest bays, none with an opening over the longest allowed.

    n = ceil((clear + sleeve) / (longest + sleeve))

    Args:
        clear: Between the stretch's outer faces. [1/320 mm, > 0]
        longest: Greatest opening of a bay. [1/320 mm, > 0]
        sleeve: Of the posts between. [1/320 mm, > 0]

    Raises:
        GeometryError: A size outside its range.

    Source:
        Common practice: bays = run over the greatest spacing, rounded up.
    """
    if min(clear, longest, sleeve) <= 0:
        msg = f"not a stretch: {clear=}, {longest=}, {sleeve=}"
        raise GeometryError(msg)
    return -(-(clear + sleeve) // (longest + sleeve))


def equal_marks(
    *, left: Length, right: Length, bays: int, sleeve: Length, step: Length
) -> tuple[int, ...]:
    """Post centres that make equal openings, each put on its nearest tape mark.

    Each centre is rounded by itself from its own running place, so that no error
    piles up and the openings still fill the stretch exactly.

    Args:
        left: The stretch's first face, from the leg's zero. [1/320 mm]
        right: Its last face. [1/320 mm]
        bays: How many. [1 or more]
        sleeve: Of the posts between. [1/320 mm]
        step: The tape's graduation. [1/320 mm]

    Returns:
        Centres from the leg's zero, counted in tape marks.
    """
    pitch = Fraction(right - left + sleeve, bays)
    first = left - Fraction(sleeve, 2)
    return tuple(nearest(first + number * pitch, step) // step for number in range(1, bays))
