"""What stands in one place, found by probing: points of one thing that lie inside another.

Each post is a square and each rail a strip, with axes of its own; a point is taken into those
axes and looked at there. Things are laid beside each other that stand on one surface, and a
flight's beside those of both surfaces that it joins.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from math import ceil, cos, hypot, radians, sin

from schemas.layout import Bay, LaidLeg, Post
from schemas.lengths import INCH
from schemas.plan import Plan
from services.recheck.ground import squared

_IN = INCH // 8
"""A point so near another thing's side is not inside it. [1/320 mm]"""
_PROBE = INCH // 4
"""From point to point. [1/320 mm]"""
_OUT = 12 * INCH
"""Two rails of one post are looked at so far from it, where rails that turn have parted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Strip:
    """A rectangle by its middle, its axis and its half sizes."""

    name: str
    x: float
    y: float
    along: tuple[float, float]
    half_long: float
    half_wide: float
    posts: frozenset[str]
    surfaces: frozenset[int]

    def holds(self, x: float, y: float) -> bool:
        """Whether a point lies well inside."""
        dx, dy = x - self.x, y - self.y
        far = abs(dx * self.along[0] + dy * self.along[1])
        wide = abs(dy * self.along[0] - dx * self.along[1])
        return far < self.half_long - _IN and wide < self.half_wide - _IN

    def points(self) -> Iterator[tuple[float, float]]:
        """A net of points over it, its sides included."""
        longs, wides = (max(2, ceil(2 * h / _PROBE)) for h in (self.half_long, self.half_wide))
        for i in range(longs + 1):
            far = self.half_long * (2 * i / longs - 1)
            for j in range(wides + 1):
                wide = self.half_wide * (2 * j / wides - 1)
                yield (
                    self.x + far * self.along[0] - wide * self.along[1],
                    self.y + far * self.along[1] + wide * self.along[0],
                )


def recheck_apart(plan: Plan) -> Iterator[str]:
    """Every two posts or rails that stand in one place."""
    strips = [*_posts(plan), *_rails(plan)]
    for one, other in combinations(strips, 2):
        reach = one.half_long + other.half_long + one.half_wide + other.half_wide
        if hypot(one.x - other.x, one.y - other.y) >= reach:
            continue
        if not one.surfaces & other.surfaces or _may_meet(plan, one, other):
            continue
        small, big = sorted((one, other), key=lambda strip: strip.half_long * strip.half_wide)
        if any(big.holds(*point) for point in small.points()):
            yield f"{one.name} and {other.name}: stand in one place in plan"


def _may_meet(plan: Plan, one: _Strip, other: _Strip) -> bool:
    """A rail at its post; rails of one post that leave it in different directions."""
    shared = one.posts & other.posts
    if not shared:
        return False
    if one.name in shared or other.name in shared:
        return True
    for name in shared:
        post = plan.layout.post(name)
        ends = [_from(strip, post) for strip in (one, other)]
        if hypot(ends[0][0] - ends[1][0], ends[0][1] - ends[1][1]) < _OUT / 2:
            return False
    return True


def _from(strip: _Strip, post: Post) -> tuple[float, float]:
    """A point of a rail's axis one foot from its post."""
    dx, dy = strip.x - post.point.x, strip.y - post.point.y
    sign = 1 if dx * strip.along[0] + dy * strip.along[1] >= 0 else -1
    return _OUT * sign * strip.along[0], _OUT * sign * strip.along[1]


def _posts(plan: Plan) -> Iterator[_Strip]:
    legs = {leg.name: leg for leg in plan.layout.legs}
    flights = {stair.name: legs[stair.leg] for stair in plan.job.stairs}
    for post in plan.layout.posts:
        on_flight = post.leg in flights
        leg = flights[post.leg] if on_flight else legs[post.leg]
        looks = radians(leg.heading_deg) if on_flight else squared(plan.layout, post)
        yield _Strip(
            name=post.name,
            x=post.point.x,
            y=post.point.y,
            along=(cos(looks), sin(looks)),
            half_long=post.sleeve / 2,
            half_wide=post.sleeve / 2,
            posts=frozenset({post.name}),
            surfaces=frozenset({leg.line}),
        )


def _rails(plan: Plan) -> Iterator[_Strip]:
    legs = {leg.name: leg for leg in plan.layout.legs}
    flights = {stair.name: legs[stair.leg] for stair in plan.job.stairs}
    level, on_stair = plan.job.system.level, plan.job.stair_system.stair
    for bay in plan.layout.bays:
        if bay.kind == "level":
            leg = legs[bay.leg]
            ways = radians(leg.heading_deg)
            on = [(leg.start.x + at * cos(ways), leg.start.y + at * sin(ways))
                  for at in (bay.left.face, bay.right.face)]  # fmt: skip
            wide = max(level.top_width, level.bottom_width)
            yield _strip(bay, on[0], on[1], wide=wide, surfaces={leg.line})
        elif bay.kind == "stair" and on_stair is not None and bay.left.post and bay.right.post:
            low, high = (plan.layout.post(name) for name in (bay.left.post, bay.right.post))
            ends = [(post.point.x, post.point.y) for post in (low, high)]
            yield _strip(
                bay,
                *_between(ends[0], ends[1], low.sleeve / 2, high.sleeve / 2),
                wide=max(on_stair.top_width, on_stair.bottom_width),
                surfaces={flights[bay.leg].line, *_surface(legs, low)},
            )


def _surface(legs: dict[str, LaidLeg], post: Post) -> set[int]:
    return {legs[post.leg].line} if post.leg in legs else set()


def _between(
    a: tuple[float, float], b: tuple[float, float], off_a: float, off_b: float
) -> tuple[tuple[float, float], tuple[float, float]]:
    long = hypot(b[0] - a[0], b[1] - a[1])
    way = (b[0] - a[0]) / long, (b[1] - a[1]) / long
    return (
        (a[0] + off_a * way[0], a[1] + off_a * way[1]),
        (b[0] - off_b * way[0], b[1] - off_b * way[1]),
    )


def _strip(
    bay: Bay, a: tuple[float, float], b: tuple[float, float], *, wide: int, surfaces: set[int]
) -> _Strip:
    long = hypot(b[0] - a[0], b[1] - a[1])
    return _Strip(
        name=bay.name,
        x=(a[0] + b[0]) / 2,
        y=(a[1] + b[1]) / 2,
        along=((b[0] - a[0]) / long, (b[1] - a[1]) / long),
        half_long=long / 2,
        half_wide=wide / 2,
        posts=frozenset(end.post for end in (bay.left, bay.right) if end.post),
        surfaces=frozenset(surfaces),
    )
