"""Posts measured again where they stand in plan: their row, their corners, the measure.

Each leg is walked from the coordinates of its two ends; edges of the deck are lines
beside it, and their crossing is where the tech's tape was held.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from math import cos, degrees, pi, radians, sin

from schemas.layout import Bay, LaidLeg, Layout, LongSide, Post
from schemas.lengths import INCH
from schemas.plan import Plan
from schemas.site import Gate, GuardLine, Leg, Stair
from services.recheck.limits import inches, level_limits

NEAR = INCH // 4
"""Two measures of one place may differ so much. Source: common practice."""
ANGLE = radians(0.01)
"""Angles are alike to a hundredth of a degree. [radians]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stood:
    """What stands along a leg: a post, or the wall at one of its ends."""

    post: Post | None
    at: float
    """Centre, or the wall's face, from the leg's zero. [1/320 mm]"""
    half: float
    """Centre to where the leg's line leaves the sleeve. [1/320 mm]"""

    @property
    def name(self) -> str | None:
        """Of the post; none is a wall."""
        return self.post.name if self.post else None


def recheck_ground(plan: Plan) -> Iterator[str]:
    """Everything in plan that stands otherwise than it was measured or printed."""
    for leg in plan.layout.legs:
        row = row_of(plan, leg)
        yield from _turns_back(plan, leg)
        yield from _in_line(plan.layout, leg, row)
        yield from _filled(plan, leg, row)
        yield from _as_measured(plan, leg, row)
    for bay in plan.layout.bays:
        yield from _mitres(plan, bay)
    for post in plan.layout.posts:
        yield from _corner(plan, post)
    for stair in plan.job.stairs:
        yield from _below(plan, stair)


def row_of(plan: Plan, leg: LaidLeg) -> list[Stood]:
    """What stands along a leg, from its zero."""
    layout = plan.layout
    ends = [
        Stood(post=None, at=at, half=0)
        for at, kind in ((0.0, leg.zero_is), (float(leg.length), leg.end_is))
        if kind == "wall"
    ]
    along = radians(leg.heading_deg)
    row = [
        Stood(post=p, at=_along(leg, p), half=half_sleeve(layout, p, along))
        for p in map(layout.post, leg.posts)
    ]
    if _closes(layout, leg):
        closing = half_sleeve(layout, layout.post(leg.posts[-1]), arrives(plan, leg))
        row[-1] = replace(row[-1], at=leg.length, half=closing)
    return sorted([*ends, *row], key=lambda stood: stood.at)


def _closes(layout: Layout, leg: LaidLeg) -> bool:
    """Whether a leg ends at the post its line began with; the measure need not quite close."""
    first = next(one for one in layout.legs if one.line == leg.line)
    return bool(leg.posts) and leg is not first and layout.post(leg.posts[-1]).leg == first.name


def arrives(plan: Plan, leg: LaidLeg) -> float:
    """Direction in which a leg meets its last post. [radians].

    A closed line's corners need not make the full turn to a hair: the corner where it closes is
    the one that was measured, seen from the leg that starts there.
    """
    guard = plan.job.lines[leg.line]
    legs = [one for one in plan.layout.legs if one.line == leg.line]
    corner = guard.legs[-1].corner
    if not guard.closed or corner is None or leg.name != legs[-1].name:
        return radians(leg.heading_deg)
    turn = corner.turn_deg if corner.hand == "outside" else -corner.turn_deg
    return radians(legs[0].heading_deg - turn)


def _turns_back(plan: Plan, leg: LaidLeg) -> Iterator[str]:
    """Where a line closes, its headings and the corner measured there are one to a degree."""
    off = (arrives(plan, leg) - radians(leg.heading_deg) + pi) % (2 * pi) - pi
    if abs(off) > radians(1) + ANGLE:
        yield f"leg {leg.name}: closes {abs(degrees(off)):.2f} degrees off its measured corner"


def half_sleeve(layout: Layout, post: Post, along: float) -> float:
    """Centre of a post to where a line leaves its square sleeve.

    Args:
        layout: For the direction of the post's own leg.
        post: The post.
        along: Direction of the line. [radians]
    """
    across = off_square(along - squared(layout, post))
    return post.sleeve / 2 / max(abs(cos(across)), abs(sin(across)))


def squared(layout: Layout, post: Post) -> float:
    """Direction in which a face of the post looks. [radians]."""
    own = next((leg for leg in layout.legs if leg.name == post.leg), None)
    return radians((own.heading_deg if own else 0) + post.turned_deg)


def off_square(angle: float) -> float:
    """How far a direction is from the nearest face's own. [radians, 0 to pi / 4]."""
    return abs((angle + pi / 4) % (pi / 2) - pi / 4)


def _along(leg: LaidLeg, post: Post) -> float:
    way = radians(leg.heading_deg)
    x, y = post.point.x - leg.start.x, post.point.y - leg.start.y
    return x * cos(way) + y * sin(way)


def _in_line(layout: Layout, leg: LaidLeg, row: list[Stood]) -> Iterator[str]:
    way = radians(leg.heading_deg)
    for stood in row:
        if stood.post is None or (_closes(layout, leg) and stood is row[-1]):
            continue
        x, y = stood.post.point.x - leg.start.x, stood.post.point.y - leg.start.y
        if abs(y * cos(way) - x * sin(way)) > NEAR or not -NEAR < stood.at < leg.length + NEAR:
            yield f"{stood.name}: stands beside leg {leg.name}"
    if [stood.name for stood in row if stood.post] != list(leg.posts):
        yield f"leg {leg.name}: its posts stand in another order than printed"


def _filled(plan: Plan, leg: LaidLeg, row: list[Stood]) -> Iterator[str]:
    """Between each two neighbours is a bay, an opening, or too little for the sphere."""
    bays = {(b.left.post, b.right.post): b for b in plan.layout.bays if b.leg == leg.name}
    for one, other in pairwise(row):
        clear = other.at - other.half - one.at - one.half
        where = f"{one.name or 'W'}-{other.name or 'W'}"
        bay = bays.get((one.name, other.name))
        if clear < -1:
            yield f"{where}: posts overlap by {inches(-clear)}"
        elif bay is None:
            limit = level_limits(plan, place=where, drop=leg.drop).opening
            if limit is None or clear >= limit:
                yield f"{where}: {inches(clear)} on leg {leg.name} is left without railing"
        elif bay.kind in {"stair-opening", "gate-opening"}:
            yield from _width(plan, leg, bay, one, clear)


def _width(plan: Plan, leg: LaidLeg, bay: Bay, left: Stood, clear: float) -> Iterator[str]:
    """An opening is as wide as the stair or the gate that was measured there."""
    things: tuple[Stair | Gate, ...] = (*plan.job.stairs, *plan.job.gates)
    start = measured_from(plan, leg) + left.at + left.half
    near = [t for t in things if t.leg == leg.name and abs(t.start - start) <= 4 * NEAR]
    if not any(abs(clear - thing.width) <= 2 * NEAR for thing in near):
        yield f"{bay.name}: an opening of {inches(clear)}, but nothing was measured so there"


def _as_measured(plan: Plan, leg: LaidLeg, row: list[Stood]) -> Iterator[str]:
    """Fixed posts stand where they must, and no chosen post where none may."""
    taken = _leg_taken(plan, leg)
    if taken.clears:
        return
    before = measured_from(plan, leg)
    posts = [stood for stood in row if stood.post]
    for fixed in taken.fixed_posts:
        if not any(abs(stood.at + before - fixed) <= NEAR + 1 for stood in posts):
            yield f"leg {leg.name}: no post at {inches(fixed)}, where one must stand"
    for stood in posts:
        at = stood.at + before
        is_fixed = any(abs(at - fixed) <= NEAR + 1 for fixed in taken.fixed_posts)
        if stood.post is None or stood.post.where != "line" or is_fixed:
            continue
        for shut in taken.keep_out:
            if at - stood.half < shut.end - 1 and at + stood.half > shut.start + 1:
                yield f"{stood.name}: stands where {shut.why} keeps posts out"


def measured_from(plan: Plan, leg: LaidLeg) -> float:
    """Where the tape was held, to the leg's zero; negative beyond it. [1/320 mm]."""
    guard = plan.job.lines[leg.line]
    legs = [one for one in plan.layout.legs if one.line == leg.line]
    number = legs.index(leg)
    inset = guard.inset if guard.measured == "deck-edge" else 0
    if number == 0 and not guard.closed:
        return 0.0 if guard.start.kind == "wall" else _own_inset(guard, inset)
    return _edge_crossing(arrives(plan, legs[number - 1]), leg, inset)


def _own_inset(guard: GuardLine, inset: int) -> float:
    """No post stands beyond the end of the edge."""
    return float(max(inset, 0) if guard.start.inset is None else guard.start.inset)


def _edge_crossing(a: float, leg: LaidLeg, inset: int) -> float:
    """From where two deck edges meet, along the leg, to its zero.

    Both edges lie outside their legs by the inset, to the right hand. A point on the
    leg's own edge is s * along + inset * right; it lies on the other edge where its
    distance to the right of the leg before, which arrives in direction a, is the inset too.
    """
    b = radians(leg.heading_deg)
    right_of_a = (sin(a), -cos(a))
    right_of_b = (sin(b), -cos(b))
    along = cos(b) * right_of_a[0] + sin(b) * right_of_a[1]
    across = right_of_b[0] * right_of_a[0] + right_of_b[1] * right_of_a[1]
    return (inset * across - inset) / along


def _leg_taken(plan: Plan, leg: LaidLeg) -> Leg:
    return next(one for one in plan.job.lines[leg.line].legs if one.name == leg.name)


def _mitres(plan: Plan, bay: Bay) -> Iterator[str]:
    """The saw setting printed is the angle between rail and face in plan."""
    if bay.kind == "stair":
        return
    layout = plan.layout
    leg = next(leg for leg in layout.legs if leg.name == bay.leg)
    for end, back in ((bay.left, 0.0), (bay.right, pi)):
        meets, longer = 0.0, None
        if end.post:
            last = back and leg.posts and end.post == leg.posts[-1]
            way = arrives(plan, leg) if last else radians(leg.heading_deg)
            face = squared(layout, layout.post(end.post))
            meets = off_square(way - face)
            longer = _longer(way, back=back, face=face)
        if abs(meets - radians(end.mitre_deg)) > ANGLE:
            yield f"{bay.name}: {end.mitre_deg:g} degrees printed at {end.post or 'the wall'}"
        elif meets > ANGLE and end.long_side != longer:
            yield f"{bay.name}: at {end.post} the {longer} side is longer, not {end.long_side}"


def _longer(way: float, *, back: float, face: float) -> LongSide:
    """Which edge of a rail comes nearer to the post's centre before it meets the face.

    Args:
        way: The leg's direction, the deck at its left hand. [radians]
        back: From the leg's direction to the rail's, looked along from the post: 0 or pi.
        face: Direction in which a face of the post looks. [radians]
    """
    out = (cos(way + back), sin(way + back))
    normal = max(
        ((cos(face + n * pi / 2), sin(face + n * pi / 2)) for n in range(4)),
        key=lambda one: one[0] * out[0] + one[1] * out[1],
    )
    met = {}
    for side, hand in (("deck", 1), ("yard", -1)):
        edge = (-hand * sin(way) / 4, hand * cos(way) / 4)
        met[side] = 1 - edge[0] * normal[0] - edge[1] * normal[1]
    return "deck" if met["deck"] < met["yard"] else "yard"


def _corner(plan: Plan, post: Post) -> Iterator[str]:
    """Both mitres at a corner make its turn, but for the quarter turns of a square post."""
    layout = plan.layout
    legs = [leg for leg in layout.legs if post.name in leg.posts]
    if post.where != "corner" or len(legs) != 2:
        return
    ways = [
        arrives(plan, leg) if leg.posts[-1] == post.name else radians(leg.heading_deg)
        for leg in legs
    ]
    turn = ways[1] - ways[0]
    both = 0.0
    for leg in legs:
        ends = [
            end
            for bay in layout.bays
            if bay.leg == leg.name and bay.kind == "level"
            for end in (bay.left, bay.right)
            if end.post == post.name
        ]
        if not ends:
            return
        both += radians(ends[0].mitre_deg)
    if abs(off_square(turn) - off_square(both)) > 2 * ANGLE:
        yield f"{post.name}: its two mitres do not make the corner's turn"


def _below(plan: Plan, stair: Stair) -> Iterator[str]:
    """A stair's lower posts stand straight out from its upper ones, as far as its treads run."""
    leg = next(leg for leg in plan.layout.legs if leg.name == stair.leg)
    way = radians(leg.heading_deg)
    for side in stair.rails:
        bays = [b for b in plan.layout.bays if b.name.startswith(f"{stair.name}-{side[0].upper()}")]
        if not bays or bays[0].left.post is None or bays[-1].right.post is None:
            yield f"{stair.name} {side}: a post is missing"
            continue
        low, high = (plan.layout.post(name) for name in (bays[0].left.post, bays[-1].right.post))
        x, y = low.point.x - high.point.x, low.point.y - high.point.y
        out, aside = x * sin(way) - y * cos(way), x * cos(way) + y * sin(way)
        if abs(aside) > NEAR or abs(out - bays[-1].right.face - low.sleeve) > NEAR:
            yield f"{low.name}: does not stand straight out from {high.name}"
