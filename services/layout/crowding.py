"""What would stand in one place: posts of different legs and flights, and rails of others.

Along one leg posts are set apart when they are placed. Here all that has one common origin in
plan is laid beside all else: sleeves beside sleeves, and beside rails that do not end at them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import atan2, degrees, hypot

from schemas.job import Job
from schemas.layout import Bay, LaidLeg, Layout, Post
from schemas.lengths import FOOT, INCH, Length
from schemas.record import Degrees
from schemas.site import Correction, Option, Question, Side, Stair
from schemas.wording import say
from services.geometry.convex import apart, rectangle
from services.geometry.polyline import SQUARE, Point
from services.tape import text_with_unit
from services.wording.terms import term

TRIM = INCH // 2
"""A skirt or cap stands out from its sleeve so far. Source: common practice."""
HEAD = 4 * FOOT
"""Nothing of a guard stands higher over its own surface. Source: common practice."""
SAME_WAY = 30.0
"""Two rails that leave a post in so nearly one direction take one face. [degrees]"""
_OVER = INCH // 16
"""Rounding may bring two things so far into each other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Thing:
    """A post or a rail, seen from above."""

    name: str
    shape: tuple[Point, ...]
    around: tuple[float, float, float]
    """Middle and radius of the circle around it. [1/320 mm]"""
    low: Length
    """Lowest over the deck. [1/320 mm]"""
    high: Length
    whose: str
    """Leg or stair that it belongs to."""
    ends: frozenset[str]
    """Posts of a rail; the post itself."""
    away: Mapping[str, Degrees]
    """Of a rail: direction in which it leaves each of its posts. [degrees]"""
    axis: Degrees
    """Of its leg, or down its flight. [degrees]"""
    side: Side | None = None
    """Of a stair's rail or lower posts."""
    keeps: bool = True
    """It gets no skirt and no cap: a rail, or a post in place."""

    @property
    def is_post(self) -> bool:
        """Else it is a rail."""
        return not self.away


def crowded(job: Job, layout: Layout) -> tuple[Question, ...]:
    """Ask about posts and rails that would stand in one place.

    Args:
        job: For the flights, the landings and the sizes.
        layout: All that is laid out.

    Returns:
        One question for each two legs or flights that are in each other's way, naming the
        nearest two things.
    """
    things = tuple(_things(job, layout, levels=_levels(job)))
    worst: dict[frozenset[str], tuple[float, _Thing, _Thing]] = {}
    for one, other in combinations(things, 2):
        if not _near(one, other) or _belong(one, other):
            continue
        off = apart(one.shape, other.shape)
        least = _wanted(one, other) or -_OVER
        pair = frozenset({one.whose, other.whose})
        if off < least and (pair not in worst or _graver(one, other, off, worst[pair])):
            worst[pair] = off, one, other
    return tuple(_ask(job, *found) for found in worst.values())


def _wanted(one: _Thing, other: _Thing) -> Length:
    """Room for the skirts and caps of two posts; a rail has none, nor what stands already."""
    both = one.is_post and other.is_post
    return TRIM * sum(not thing.keeps for thing in (one, other)) if both else 0


def _near(one: _Thing, other: _Thing) -> bool:
    """Whether they might meet: by their heights and by the circles around them."""
    (x, y, reach), (u, v, far) = one.around, other.around
    return (
        hypot(x - u, y - v) < reach + far + 2 * TRIM
        and one.low < other.high
        and other.low < one.high
    )


def _graver(one: _Thing, other: _Thing, off: float, than: tuple[float, _Thing, _Thing]) -> bool:
    """Two posts say more than a rail does; then what is deeper in the other."""
    posts = one.is_post and other.is_post
    were = than[1].is_post and than[2].is_post
    return (posts, -off) > (were, -than[0])


def _belong(one: _Thing, other: _Thing) -> bool:
    """A rail at its own post; two rails that take different faces of one post."""
    if one.is_post or other.is_post:
        return bool(one.ends & other.ends)
    both = one.ends & other.ends
    return any(
        abs((one.away[post] - other.away[post] + 180) % 360 - 180) > SAME_WAY for post in both
    )


def _levels(job: Job) -> dict[int, Length]:
    """How high each line's surface lies, by where the flights above it end."""
    lines = {leg.name: number for number, line in enumerate(job.lines) for leg in line.legs}
    flights = {stair.name: stair for stair in job.stairs}
    found = dict.fromkeys(range(len(job.lines)), 0)
    below: dict[int, Stair] = {}
    for number, line in enumerate(job.lines):
        feet = [end.same_as for end in (line.start, line.end) if end.same_as]
        for name in (foot.partition("-")[0] for foot in feet):
            if name in flights:
                below[number] = flights[name]
    for stair in job.stairs:
        if stair.from_landing and stair.from_landing.stair in flights:
            below[lines[stair.leg]] = flights[stair.from_landing.stair]
    for number in found:
        at, seen = number, {number}
        while at in below:
            found[number] -= below[at].risers * below[at].riser
            at = lines[below[at].leg]
            if at in seen:
                break
            seen.add(at)
    return found


def _things(job: Job, layout: Layout, *, levels: Mapping[int, Length]) -> Iterator[_Thing]:
    legs = {leg.name: leg for leg in layout.legs}
    flights = {stair.name: stair for stair in job.stairs}
    for post in layout.posts:
        leg = legs[flights[post.leg].leg if post.leg in flights else post.leg]
        low, high = _reach(post.leg, leg, flights, levels)
        half = post.sleeve / 2
        shape = rectangle(
            _point(post),
            heading_deg=leg.heading_deg + post.turned_deg,
            ahead_by=half,
            back_by=half,
            half=half,
        )
        yield _Thing(
            name=post.name,
            shape=shape,
            around=_around(shape),
            low=low,
            high=high,
            whose=post.leg,
            ends=frozenset({post.name}),
            away={},
            axis=leg.heading_deg + (SQUARE if post.leg in flights else 0),
            side=_side(post.name) if post.leg in flights else None,
            keeps=post.in_place,
        )
    for bay in layout.bays:
        if bay.kind in {"level", "stair"}:
            leg = legs[flights[bay.leg].leg if bay.leg in flights else bay.leg]
            yield _rail(job, layout, bay, leg, reach=_reach(bay.leg, leg, flights, levels))


def _reach(
    whose: str, leg: LaidLeg, flights: Mapping[str, Stair], levels: Mapping[int, Length]
) -> tuple[Length, Length]:
    """From the surface at the foot to over the rails."""
    top = levels[leg.line]
    stair = flights.get(whose)
    return (top - stair.risers * stair.riser if stair else top), top + HEAD


def _rail(
    job: Job, layout: Layout, bay: Bay, leg: LaidLeg, *, reach: tuple[Length, Length]
) -> _Thing:
    if bay.kind == "level":
        start, heading = Point(leg.start.x, leg.start.y), leg.heading_deg
        back, front = -bay.left.face, bay.right.face
        half = max(job.system.level.top_width, job.system.level.bottom_width) / 2
    else:
        low, high = (layout.post(end.post or "") for end in (bay.left, bay.right))
        start, on = _point(low), _point(high)
        heading = degrees(atan2(on.y - start.y, on.x - start.x))
        back = -low.sleeve // 2
        front = round(hypot(on.x - start.x, on.y - start.y)) - high.sleeve // 2
        rail = job.stair_system.stair or job.stair_system.level
        half = max(rail.top_width, rail.bottom_width) / 2
    away = {end.post: way for end, way in ((bay.left, heading), (bay.right, heading + 180))
            if end.post}  # fmt: skip
    shape = rectangle(start, heading_deg=heading, ahead_by=front, back_by=back, half=half)
    return _Thing(
        name=bay.name,
        shape=shape,
        around=_around(shape),
        low=reach[0],
        high=reach[1],
        whose=bay.leg,
        ends=frozenset(away),
        away=away or {"": 0.0},
        axis=leg.heading_deg + (SQUARE if bay.kind == "stair" else 0),
        side=_side(bay.name) if bay.kind == "stair" else None,
    )


def _around(shape: tuple[Point, ...]) -> tuple[float, float, float]:
    """Around a rectangle: two opposite corners are on the circle."""
    a, b = shape[0], shape[2]
    return (a.x + b.x) / 2, (a.y + b.y) / 2, hypot(a.x - b.x, a.y - b.y) / 2


def _point(post: Post) -> Point:
    return Point(post.point.x, post.point.y)


def _side(name: str) -> Side:
    """Of a flight's post or bay, by its name: S1-L, S1-RM1, S1-R2."""
    return "left" if name.partition("-")[2].startswith("L") else "right"


def _ask(job: Job, off: float, one: _Thing, other: _Thing) -> Question:
    one, other = sorted((one, other), key=lambda thing: thing.name)
    names = (one.name, other.name)
    step = job.step
    where = say(
        "{one} and {other}: in plan they stand in one place, {by} into each other",
        one=names[0], other=names[1], by=text_with_unit(round(-off), step),
    ) if off < 0 else say(
        "{one} and {other}: in plan only {free} stay free between their sleeves, and their "
        "skirts and caps want {least}",
        one=names[0], other=names[1],
        free=text_with_unit(int(off), step), least=text_with_unit(_wanted(one, other), step),
    )  # fmt: skip
    near = Option(
        key="go-on", says=say("They stand so; skirts and caps are trimmed where they meet")
    )
    bare = off >= 0 and one.is_post and other.is_post
    return Question(
        key=f"too-near.{names[0]}.{names[1]}",
        severity="stop",
        place=say("{one} and {other}", one=names[0], other=names[1]),
        says=say(
            "{where}. They belong to {first} and {second}.",
            where=where, first=_whose(job, one), second=_whose(job, other),
        ),
        ask=say(
            "Does one post or rail do for both, or which length, corner or opening was measured "
            "wrong? Measure straight from the one to the other."
        ),
        options=(*_one_for_both(job, one, other), *((near,) if bare else ())),
    )  # fmt: skip


def _whose(job: Job, thing: _Thing) -> str:
    if any(stair.name == thing.whose for stair in job.stairs):
        return say("stair {stair}", stair=thing.whose)
    return say("leg {leg}", leg=thing.whose)


def _one_for_both(job: Job, *things: _Thing) -> Iterator[Option]:
    """Leave out the rail of a flight's side where what is in the way runs along that side."""
    if abs((things[0].axis - things[1].axis + SQUARE) % (2 * SQUARE) - SQUARE) > SAME_WAY:
        return
    for number, stair in enumerate(job.stairs):
        for thing in things:
            if thing.whose == stair.name and thing.side and len(stair.rails) > 1:
                yield _without(stair, number, thing.side)


def _without(stair: Stair, number: int, side: Side) -> Option:
    kept: Sequence[tuple[str, tuple[Side, ...]]] = (
        ("rails", tuple(one for one in stair.rails if one != side)),
        ("handrail", tuple(one for one in stair.handrail if one != side)),
    )
    return Option(
        key=f"none-{stair.name}-{side}",
        says=say(
            "{stair} has no rail of its own on its {side} side: what stands there closes it",
            stair=stair.name,
            side=term(side),
        ),
        sets=tuple(
            Correction(pointer=f"/stairs/{number}/{field}", value=value) for field, value in kept
        ),
    )
