"""Words for what a record names by a fixed key: sides, ends, rails, kinds."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from schemas.layout import LongSide, Post
from schemas.wording import Said, row, say

TERMS: Final = {
    "top": say("top"),
    "bottom": say("bottom"),
    "left": say("left"),
    "right": say("right"),
    "pair": say("pair"),
    "riser": say("riser"),
    "tread": say("tread"),
    "width": say("width"),
    "total_rise": say("total rise"),
    "total_run": say("total run"),
    "straightedge": say("length along the slope"),
    "back": say("back"),
    "hole at mid-length": say("hole at mid-length"),
    "gap at mid-length": say("gap at mid-length"),
    "stair-opening": say("stair opening"),
    "gate-opening": say("gate opening"),
    "inside-rim": say("inside of the rim"),
    "outside-rim": say("outside of the rim"),
    "surface": say("surface"),
    "concrete": say("concrete"),
    "start": say("start"),
    "end": say("end"),
    "in": say("in"),
    "out": say("out"),
    "narrower": say("narrower"),
    "wider": say("wider"),
    "lower": say("lower"),
    "upper": say("upper"),
    "line": say("line"),
    "angle": say("angle"),
    "stair": say("stair"),
    "level": say("level"),
    "hole side": say("hole side"),
    "plain side": say("plain side"),
    "post": say("post"),
    "wall": say("wall"),
    "rail": say("rail"),
    "sleeve": say("sleeve"),
    "core": say("core"),
    "stiffener": say("stiffener"),
    "leg": say("leg"),
    "in-line-post": say("post between two bays in line"),
    "job": say("job"),
    "post-to-set": say("post to set"),
    "wall-end": say("wall end"),
    "mitred-end": say("mitred end"),
    "level-bay": say("level bay"),
    "stair-bay": say("stair bay"),
    "bracket": say("bracket"),
    "foot-block": say("foot block"),
    "piece": say("piece to saw"),
    "handrail": say("handrail"),
    "handrail-landing": say("handrail that goes on at a landing"),
    "gate": say("gate"),
    "pool-gate": say("pool gate"),
    "open-edge": say("open edge"),
    "removed": say("length of old railing"),
    "one-family": say("one-family"),
    "two-family": say("two-family"),
    "multi-family": say("multi-family"),
    "commercial": say("commercial"),
    "guard.drop": say("guard: drop"),
    "guard.height": say("guard: height"),
    "guard.stair_height": say("guard: stair height"),
    "guard.stair_height_as_handrail": say("guard: stair height as handrail"),
    "guard.opening": say("guard: opening"),
    "guard.stair_opening": say("guard: stair opening"),
    "guard.triangle": say("guard: triangle"),
    "guard.foothold": say("guard: foothold"),
    "stair.clear_width_above": say("stair: clear width above"),
    "stair.clear_width_one_rail": say("stair: clear width one rail"),
    "stair.clear_width_two_rails": say("stair: clear width two rails"),
    "stair.flight_rise": say("stair: flight rise"),
    "stair.riser": say("stair: riser"),
    "stair.riser_spread": say("stair: riser spread"),
    "stair.tread": say("stair: tread"),
    "stair.tread_spread": say("stair: tread spread"),
    "stair.open_riser": say("stair: open riser"),
    "stair.nosing": say("stair: nosing"),
    "stair.pitch": say("stair: pitch"),
    "stair.twice_riser_plus_tread": say("stair: twice riser plus tread"),
    "handrail.risers": say("handrail: risers"),
    "handrail.height": say("handrail: height"),
    "handrail.projection": say("handrail: projection"),
    "handrail.clearance": say("handrail: clearance"),
    "handrail.diameter": say("handrail: diameter"),
    "handrail.bracket_apart": say("handrail: bracket apart"),
    "load.point": say("load: point"),
    "load.line": say("load: line"),
    "load.infill": say("load: infill"),
    "guard.opening_above": say("guard: opening above the rail"),
    "stair.riser_adjacent": say("stair: riser adjacent"),
    "handrail.sides": say("handrail: sides"),
    "handrail.bracket_end": say("handrail: bracket end"),
    "handrail.extension_top": say("handrail: extension top"),
    "handrail.extension_bottom": say("handrail: extension bottom"),
    "load.vertical": say("load: vertical"),
    "said.guards": say("guards: what the rule says"),
    "said.handrails": say("handrails: what the rule says"),
    "said.posts": say("posts: what the rule says"),
    "said.posts_at_side": say("posts at the side: what the rule says"),
    "said.posts_on_top": say("posts on top: what the rule says"),
    "said.hardware": say("hardware: what the rule says"),
    "DANGER": say("DANGER"),
    "WARNING": say("WARNING"),
    "CAUTION": say("CAUTION"),
    "NOTICE": say("NOTICE"),
    "meets": say("meets"),
    "breaks": say("breaks"),
    "check on site": say("check on site"),
    "for the authority": say("for the authority"),
}


def term(key: str) -> Said:
    """The word of a key.

    Args:
        key: As the record holds it.

    Raises:
        KeyError: A key without a word.
    """
    return TERMS[key]


def off(names: Sequence[str]) -> str:
    """Names of things that are built the same, with their count where there are several."""
    if len(names) == 1:
        return names[0]
    return say("{names}: {count} off", names=row(names), count=len(names))


_SIDES: Final = {"deck": say("deck side"), "yard": say("yard side")}


def long_point(side: LongSide) -> Said:
    """On which side one mitred end is longer."""
    return say("long point: {side}", side=_SIDES[side])


def long_points(left: LongSide | None, right: LongSide | None) -> str:
    """On which side the ends of a mitred rail are longer; empty where both are square.

    Args:
        left: Longer side of the left end.
        right: Longer side of the right end.
    """
    if left and left == right:
        return say("long points of both ends: {side}", side=_SIDES[left])
    ends = (
        *((say("long point of the left end: {side}", side=_SIDES[left]),) if left else ()),
        *((say("long point of the right end: {side}", side=_SIDES[right]),) if right else ()),
    )
    return row(ends, "; ") if ends else ""


def turned_from(post: Post) -> Said:
    """How far a turned post stands off square to the leg that starts at it, seen from above.

    Args:
        post: Turned; its leg is the one it is named after.
    """
    way = say("anticlockwise") if post.turned_deg > 0 else say("clockwise")
    return say(
        "{degrees} {way} from square to leg {leg}",
        degrees=f"{round(abs(post.turned_deg), 1):g}°", way=way, leg=post.leg,
    )  # fmt: skip


def saw_setting(left_deg: float, right_deg: float) -> Said:
    """How the saw is set for both ends of a rail.

    Args:
        left_deg: Off square for left ends. [degrees]
        right_deg: The same for right ends.
    """
    left, right = _off_square(left_deg), _off_square(right_deg)
    if not round(left_deg, 1) and not round(right_deg, 1):
        return say("saw square")
    if left == right:
        return say("saw {angle} off square", angle=f"{round(left_deg, 1):g}°")
    return say("saw: left {left}, right {right}", left=left, right=right)


def _off_square(deg: float) -> Said:
    return (
        say("{angle} off square", angle=f"{round(deg, 1):g}°") if round(deg, 1) else say("square")
    )


def piece_name(name: str) -> str:
    """What a piece is called on paper, e.g. ``A1-A2 top``: its place as named, then which of it.

    Args:
        name: As the cut plan has it.
    """
    place, *which = name.split(" ")
    return row((place, *(TERMS.get(word, word) for word in which)), " ")
