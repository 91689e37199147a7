"""Corner posts: how they stand, at what mitre the rails meet them, by which bracket."""

from __future__ import annotations

from dataclasses import dataclass

from schemas.layout import LongSide
from schemas.lengths import INCH, Length
from schemas.rail_system import Bracket, BracketKind, RoutedRail
from schemas.record import Degrees
from schemas.site import Corner
from services.geometry.polyline import SQUARE, beside_middle, face_angles

EDGE = INCH // 2
"""The middle of a rail meets a face so far inside its edge. Source: common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CornerFit:
    """A corner post and the two rails that meet it."""

    mitre_before: Degrees
    """Of the rail of the leg before. [degrees]"""
    mitre_after: Degrees
    """Of the rail of the leg that starts here. [degrees]"""
    bracket_before: BracketKind | None
    """None: no bracket of the system takes that mitre, or none finds a face there."""
    bracket_after: BracketKind | None
    long_before: LongSide | None
    """On which side the mitred end of the rail before is longer; none: square."""
    long_after: LongSide | None
    turned_deg: Degrees
    """Post against the leg that starts here, anticlockwise, over -45 to 45. [degrees]"""


def fit_corner(corner: Corner, *, rail: RoutedRail, sleeve: Length) -> CornerFit:
    """Stand a post in a corner.

    Square to the leg before, or turned to halve the angle so that both rails meet it at
    half the turn; unless the measure says, square at 90 degrees and turned elsewhere.
    """
    turned = is_turned(corner)

    def fixed(mitre: Degrees) -> BracketKind | None:
        return bracket_for(mitre, rail=rail) if on_face(mitre, sleeve=sleeve) else None

    before, after = face_angles(turn_deg=corner.turn_deg, halved=turned)
    against = corner.turn_deg / 2 if turned else corner.turn_deg
    outside = 1 if corner.hand == "outside" else -1
    return CornerFit(
        mitre_before=before,
        mitre_after=after,
        bracket_before=fixed(before),
        bracket_after=fixed(after) if own_faces(corner) else None,
        long_before=_long(_as_seen(-outside * (corner.turn_deg - against)), onto="deck"),
        long_after=_long(_as_seen(outside * against), onto="yard"),
        turned_deg=_as_seen(-outside * against),
    )


def _long(lean_deg: Degrees, *, onto: LongSide) -> LongSide | None:
    """Which side of a rail reaches further to the face it meets.

    Args:
        lean_deg: Rail, looked along from the post, against the face's normal, anticlockwise.
        onto: The side at the right hand of who looks so: the longer one where it leans left.
    """
    if not lean_deg:
        return None
    other: LongSide = "yard" if onto == "deck" else "deck"
    return onto if lean_deg > 0 else other


def is_turned(corner: Corner) -> bool:
    """Whether the post halves the angle."""
    return corner.post == "turned" or (corner.post is None and corner.turn_deg != SQUARE)


def on_face(mitre_deg: Degrees, *, sleeve: Length) -> bool:
    """Whether a rail's middle meets a face of the sleeve, not its edge."""
    return beside_middle(width=sleeve, angle_deg=mitre_deg) <= sleeve / 2 - EDGE


def own_faces(corner: Corner) -> bool:
    """Whether the two rails meet two faces of the post, and not one and the same.

    A post that halves the angle shows both rails its inner face beyond 90 degrees; a square
    one shows the next rail, beyond 135, the face where the rail before sits.
    """
    return corner.turn_deg <= (SQUARE if is_turned(corner) else SQUARE + SQUARE / 2)


def bracket_for(mitre_deg: Degrees, *, rail: RoutedRail) -> BracketKind | None:
    """The line bracket where it takes the mitre, else the angle bracket; none where neither."""
    if _takes(rail.bracket, mitre_deg):
        return "line"
    if rail.angle_bracket and _takes(rail.angle_bracket, mitre_deg):
        return "angle"
    return None


def _takes(bracket: Bracket, mitre_deg: Degrees) -> bool:
    return bracket.least_deg <= mitre_deg <= bracket.greatest_deg


def _as_seen(deg: Degrees) -> Degrees:
    """A square looks the same each quarter turn."""
    quarter = deg % SQUARE
    return quarter if quarter <= SQUARE / 2 else quarter - SQUARE
