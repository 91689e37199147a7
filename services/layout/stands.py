"""What stands along a leg: posts and walls, and the faces that rails meet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from schemas.layout import LongSide, Where
from schemas.lengths import Length
from schemas.rail_system import BracketKind
from schemas.record import Degrees
from schemas.site import Gate, Stair, StandingPost
from services.geometry.polyline import reach
from services.layout.centre_line import CentreLeg
from services.layout.corners import CornerFit


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """Where a rail of the leg meets a post or a wall."""

    reach: Length = 0
    """Post centre to face along the rail; 0 at a wall. [1/320 mm]"""
    mitre_deg: Degrees = 0
    long_side: LongSide | None = None
    bracket: BracketKind = "line"
    wider_at_top: Length | None = 0
    """How much wider the opening is at top-rail height: a wall out of plumb; none: not read.
    [1/320 mm]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """A post or a wall."""

    at: Length
    """Centre of the post, or face of the wall, from the leg's zero. [1/320 mm]"""
    where: Where | None
    """None: a wall."""
    before: Face
    """Toward the leg's zero."""
    after: Face
    standing: StandingPost | None = None
    """A post in place of another size than ours, or to be replaced."""

    @property
    def left(self) -> Length:
        """Its face toward the leg's zero. [1/320 mm]."""
        return self.at - self.before.reach

    @property
    def right(self) -> Length:
        """Its other face. [1/320 mm]."""
        return self.at + self.after.reach


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """What lies between two neighbouring stands."""

    kind: Literal["level", "stair-opening", "gate-opening", "narrow"]
    """Narrow: too small for a sphere, so it stays without railing."""
    clear: Length
    """Face to face at bottom-rail height. [1/320 mm, unrounded]"""
    clear_top: Length
    thing: Stair | Gate | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LegStands:
    """A leg with everything that stands along it."""

    leg: CentreLeg
    stands: tuple[Stand, ...]
    """In order from the zero; the first and the last end the leg."""
    gaps: tuple[Gap, ...]
    """One between each two neighbours."""
    in_place: bool
    reason: str
    on_joists: tuple[Length, ...] = ()
    """Chosen centres that could not be kept off a joist. [1/320 mm]"""

    @property
    def length(self) -> Length:
        """Zero to the last stand. [1/320 mm]."""
        return self.stands[-1].at


def post(at: Length, *, where: Where, sleeve: Length) -> Stand:
    """A post which stands square to its leg."""
    square = Face(reach=reach(width=sleeve, angle_deg=0))
    return Stand(at=at, where=where, before=square, after=square)


def with_duty(stand: Stand, where: Where) -> Stand:
    """The same stand, now also beside an opening; a stair's duty goes before a gate's."""
    if stand.where in {"line", "end"} or (stand.where == "gate" and where == "stair-upper"):
        return replace(stand, where=where)
    return stand


def first_stand(leg: CentreLeg, *, corner: CornerFit | None, sleeve: Length) -> Stand:
    """What the leg starts at."""
    if corner is not None:
        face = _mitred(
            corner.mitre_after, corner.bracket_after, long_side=corner.long_after, sleeve=sleeve
        )
        return Stand(at=0, where="corner", before=face, after=face)
    return _line_end(leg, at=0, starts=True, sleeve=sleeve)


def last_stand(leg: CentreLeg, *, corner: CornerFit | None, sleeve: Length) -> Stand:
    """What the leg ends at."""
    if corner is not None:
        face = _mitred(
            corner.mitre_before, corner.bracket_before, long_side=corner.long_before, sleeve=sleeve
        )
        return Stand(at=leg.length, where="corner", before=face, after=face)
    return _line_end(leg, at=leg.length, starts=False, sleeve=sleeve)


def _line_end(leg: CentreLeg, *, at: Length, starts: bool, sleeve: Length) -> Stand:
    end = leg.start if starts else leg.end
    if end is None or end.kind == "post":
        return post(at, where="end", sleeve=sleeve)
    wall = Face(wider_at_top=end.out_of_plumb)
    return Stand(at=at, where=None, before=wall, after=wall)


def _mitred(
    mitre: Degrees, bracket: BracketKind | None, *, long_side: LongSide | None, sleeve: Length
) -> Face:
    return Face(
        reach=reach(width=sleeve, angle_deg=mitre),
        mitre_deg=mitre,
        long_side=long_side,
        bracket=bracket or "angle",
    )


def between(left: Stand, right: Stand, *, thing: Stair | Gate | None = None) -> Gap:
    """The gap between two stands, as it follows from where they stand."""
    clear = right.left - left.right
    wider = (left.after.wider_at_top or 0) + (right.before.wider_at_top or 0)
    kind: Literal["level", "stair-opening", "gate-opening"] = "level"
    if thing is not None:
        kind = "stair-opening" if isinstance(thing, Stair) else "gate-opening"
    return Gap(kind=kind, clear=clear, clear_top=clear + wider, thing=thing)
