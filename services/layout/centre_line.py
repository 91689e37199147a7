"""From the measured line to the line of post centres.

The deck edge is offset toward the deck by the inset: a leg loses inset * tan(turn / 2)
at an outside corner, gains it at an inside one, loses the end inset at a free end and
nothing at a wall. A negative inset, of posts on the face of the rim, turns gain and loss at
corners round; a free end is then never longer than its edge, since there is no rim beyond it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import fmod

from schemas.lengths import Length
from schemas.record import Degrees
from schemas.site import Corner, GuardLine, Leg, LineEnd
from services.geometry.polyline import headings, setback

FIRST_DEG = {"out": -90.0, "along": 0.0, "back": 90.0}
"""Direction in plan of a line's first leg. [degrees]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class CentreLeg:
    """A leg along post centres."""

    leg: Leg
    line: int
    """Guard line, from 0."""
    number: int
    """Leg of that line, from 0."""
    zero: Length
    """Leg's measured start to its zero: subtract it from a measured position. [1/320 mm]"""
    length: Length
    """Zero to the last post's centre, or to the wall. [1/320 mm]"""
    heading_deg: Degrees
    before: Corner | None
    """The corner at its zero; none at the line's end."""
    after: Corner | None
    start: LineEnd | None
    """How the line starts here; none at a corner."""
    end: LineEnd | None
    written: frozenset[str] = frozenset()
    """Which of the line's fields stand in the submission; the others are defaults."""

    @property
    def pointer(self) -> str:
        """Where the leg stands in the submission, as a JSON Pointer."""
        return f"/lines/{self.line}/legs/{self.number}"


def centre_legs(line: GuardLine, *, number: int) -> tuple[CentreLeg, ...]:
    """Move a measured guard line onto its post centres.

    A leg measured along post centres keeps its length; end insets count in both ways
    of measuring.

    Args:
        line: As measured.
        number: Of the line in the job, from 0.
    """
    turned = [_signed(leg.corner) for leg in line.legs]
    way = headings(first_deg=FIRST_DEG[line.heading], turns_deg=turned[:-1])
    return tuple(
        _centre_leg(line, number=number, at=at, heading_deg=fmod(heading, 360))
        for at, heading in enumerate(way)
    )


def _centre_leg(line: GuardLine, *, number: int, at: int, heading_deg: Degrees) -> CentreLeg:
    leg = line.legs[at]
    last = len(line.legs) - 1
    before = line.legs[at - 1].corner if at or line.closed else None
    start = line.start if at == 0 and not line.closed else None
    end = line.end if at == last and not line.closed else None
    zero = _taken_off(line, corner=before, end=start)
    return CentreLeg(
        leg=leg,
        line=number,
        number=at,
        zero=zero,
        length=leg.length - zero - _taken_off(line, corner=leg.corner, end=end),
        heading_deg=heading_deg,
        before=before,
        after=leg.corner,
        start=start,
        end=end,
        written=frozenset(line.model_fields_set),
    )


def _taken_off(line: GuardLine, *, corner: Corner | None, end: LineEnd | None) -> Length:
    """What the measure loses at one end; negative where it gains."""
    own = line.inset if line.measured == "deck-edge" else 0
    if end is not None:
        if end.kind == "wall":
            return 0
        return max(0, own) if end.inset is None else end.inset
    if corner is None or not own:
        return 0
    size = round(setback(offset=abs(own), turn_deg=corner.turn_deg))
    return size if (corner.hand == "outside") == (own > 0) else -size


def _signed(corner: Corner | None) -> Degrees:
    if corner is None:
        return 0.0
    return corner.turn_deg if corner.hand == "outside" else -corner.turn_deg
