"""The key plan: house at the top, every leg, post, stair and gate by name.

Drawn from the yard toward the house. North is not asked for, so none is drawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from itertools import count, pairwise
from math import atan2, cos, degrees, hypot, pi, radians, sin

from schemas.drawings import WIDEST, Drawing, Label, Stroke
from schemas.errors import GeometryError
from schemas.job import Job
from schemas.layout import Bay, LaidLeg, Layout
from schemas.lengths import Length
from services.drawings.boxes import MIDDLE, Box, box_of, free
from services.drawings.finish import finish, fitting
from services.drawings.lines import (
    ACT,
    READ,
    Mark,
    Point,
    arrowhead,
    line,
    path,
    rect,
    ring,
    shape,
    word,
)
from services.drawings.scale import Scale, choose_scale
from services.tape import is_metric
from services.wording import Words, words_of

_ROOM = WIDEST - 110
_TALL = 300.0
_NEAR = 15.0
_STEP = 6.0
_FAR = 40
_TURNS = (0, 45, -45, 90, -90, 135, -135, 180)
_MANY = 60
_LETTERS = ((16, 18.0), (40, ACT), (10**9, READ))
"""Up to so many legs, their letters have this size. [pt]"""
_TRIES = 3
"""Smaller scales tried before fewer names are."""
_RING = 0.85
"""Radius of the ring round a leg's letter, of its type size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Way:
    """A leg on paper, with its directions."""

    start: Point
    along: Point
    """One point of paper along the leg."""
    out: Point
    """One point of paper away from the deck."""
    scale: Scale

    def at(self, length: float, out: float = 0.0) -> Point:
        """A place along the leg, and so much outside it. [1/320 mm] to [pt]."""
        s, o = self.scale.points(length), self.scale.points(out)
        (x, y), (ax, ay), (ox, oy) = self.start, self.along, self.out
        return (x + s * ax + o * ox, y + s * ay + o * oy)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Wish:
    """A label and the places that would do for it, best first."""

    text: str
    size: float
    about: Point
    toward: Point
    """Best direction, one point long."""
    near: float = _NEAR
    ringed: bool = False


def key_plan(*, job: Job, layout: Layout) -> Drawing:
    """Draw the whole site.

    Args:
        job: For stairs and gates as sold.
        layout: Legs and posts in plan.
    """
    for named, title in _named(layout, words_of(job)):
        with suppress(GeometryError):
            draw = partial(_plan, job, layout, named=named, title=title)
            return fitting(draw, scale=_scale(job, layout), tries=_TRIES)
    msg = f"no room for {len(layout.legs)} legs on one key plan: send the site as several jobs"
    raise GeometryError(msg)


def barest(*, job: Job, layout: Layout) -> Drawing:
    """The key plan that a site of many legs falls back to: no post is named.

    Args:
        job: For stairs and gates as sold.
        layout: Legs and posts in plan.

    Raises:
        GeometryError: Not even the legs' letters find room.
    """
    named, title = _named(layout, words_of(job))[-1]
    draw = partial(_plan, job, layout, named=named, title=title)
    return fitting(draw, scale=_scale(job, layout), tries=_TRIES)


def _named(layout: Layout, words: Words) -> tuple[tuple[frozenset[str], str], ...]:
    """Which posts are named on the plan, and the title that says so: all where there is room."""
    everyone = frozenset(post.name for post in layout.posts)
    turning = frozenset(post.name for post in layout.posts if post.where != "line")
    return (
        (everyone, words.say("Key plan: house at the top")),
        (turning, words.say("Key plan: house at the top; line posts are named on the strips")),
        (frozenset(), words.say("Key plan: house at the top; posts are named on the strips")),
    )


def _plan(job: Job, layout: Layout, scale: Scale, *, named: frozenset[str], title: str) -> Drawing:
    ways = {leg.name: _way(leg, scale) for leg in layout.legs}
    solid = (*_legs(layout, ways), *_stairs(job, layout, ways), *_gates(job, layout, ways))
    words = words_of(job)
    house = _house(layout, ways, solid, words)
    posts = _posts(layout, scale)
    blocked = [box for mark in (*solid, *posts, *house) for box in _room_of(mark)]
    names = _placed(_wishes(job, layout, ways, named), blocked)
    marks = (*solid, *posts, *house, *names)
    return finish(
        (*marks, *_looking(marks, words)),
        name="key-plan",
        title=title,
        said=words.say(
            "Plan of {legs} legs and {posts} posts, seen from the yard toward the house.",
            legs=len(layout.legs),
            posts=len(layout.posts),
        ),
        scale=scale,
    )


def _scale(job: Job, layout: Layout) -> Scale:
    points = [p for leg in layout.legs for p in (leg.start, leg.end)]
    points += [post.point for post in layout.posts]
    xs, ys = [p.x for p in points], [p.y for p in points]
    return choose_scale(
        wide=max(xs) - min(xs), high=max(ys) - min(ys), room=_ROOM, tall=_TALL,
        metric=is_metric(job.step),
    )  # fmt: skip


def _way(leg: LaidLeg, scale: Scale) -> _Way:
    turn = radians(leg.heading_deg)
    return _Way(
        start=(scale.points(leg.start.x), scale.points(leg.start.y)),
        along=(cos(turn), sin(turn)),
        out=(sin(turn), -cos(turn)),
        scale=scale,
    )


def _legs(layout: Layout, ways: dict[str, _Way]) -> tuple[Mark, ...]:
    out: list[Mark] = []
    for bay in layout.bays:
        if bay.kind in {"level", "gate-opening", "stair-opening"}:
            way = ways[bay.leg]
            if bay.kind == "level":
                ends = (way.at(bay.left.face), way.at(bay.right.face))
                out.append(line(*ends, weight="heavy"))
    for leg in layout.legs:
        way = ways[leg.name]
        for at, kind in ((0, leg.zero_is), (leg.length, leg.end_is)):
            if kind == "wall":
                out.append(_wall(way.at(at), way.out))
    return tuple(out)


def _wall(at: Point, square: Point) -> Mark:
    (x, y), (sx, sy) = at, square
    long, thick = 16.0, 3.0
    corners = [
        (x + a * long * sx - b * thick * sy, y + a * long * sy + b * thick * sx)
        for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    return shape(corners, weight="narrow", fill="black")


def _posts(layout: Layout, scale: Scale) -> tuple[Stroke, ...]:
    headings = {leg.name: leg.heading_deg for leg in layout.legs}
    out = []
    for post in layout.posts:
        half = max(scale.points(post.sleeve) / 2, 3.0) * 2**0.5
        turn = radians(headings.get(post.leg, 0.0) + post.turned_deg + 45)
        x, y = scale.points(post.point.x), scale.points(post.point.y)
        corners = [
            (x + half * cos(turn + i * pi / 2), y + half * sin(turn + i * pi / 2)) for i in range(4)
        ]
        out.append(shape(corners, weight="wide", fill="white"))
    return tuple(out)


def _stair_of(bay: Bay, layout: Layout) -> str | None:
    """The stair whose upper post stands at this opening."""
    posts = {bay.left.post, bay.right.post}
    return next((b.leg for b in layout.bays if b.kind == "stair" and b.right.post in posts), None)


def _stairs(job: Job, layout: Layout, ways: dict[str, _Way]) -> tuple[Mark, ...]:
    out: list[Mark] = []
    for bay, stair in _openings(job, layout):
        way, left, right = ways[bay.leg], bay.left.face, bay.right.face
        middle = (left + right) / 2
        run = stair.noses[-1]
        out += [
            line(way.at(left, deep), way.at(right, deep), weight="narrow") for deep in stair.noses
        ]
        out += [line(way.at(s), way.at(s, run), weight="wide") for s in (left, right)]
        tail, tip = way.at(middle, max(run * 0.9, stair.tread)), way.at(middle, 0)
        out += [line(tail, tip, weight="wide"), arrowhead(tip, coming_from=tail)]
    return tuple(out)


def _openings(job: Job, layout: Layout) -> Iterable[tuple[Bay, _Stair]]:
    for bay in layout.bays:
        if bay.kind == "stair-opening":
            name = _stair_of(bay, layout)
            stair = next((s for s in job.stairs if s.name == name), None)
            if stair:
                yield (
                    bay,
                    _Stair(
                        name=stair.name, risers=stair.risers, tread=stair.tread, noses=stair.noses
                    ),
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stair:
    """What the key plan shows of a stair."""

    name: str
    risers: int
    tread: Length
    noses: tuple[Length, ...]


def _gates(job: Job, layout: Layout, ways: dict[str, _Way]) -> tuple[Mark, ...]:
    out: list[Mark] = []
    for bay, gate in _gate_bays(job, layout):
        way, wide = ways[bay.leg], bay.right.face - bay.left.face
        at_far = gate.hinge == "left"  # seen from the deck, so the far end of the leg
        hinge = bay.right.face if at_far else bay.left.face
        side = 1 if gate.opens == "out" else -1
        turns = [i * pi / 18 for i in range(10)]
        swing = [
            way.at(hinge + (-wide if at_far else wide) * cos(t), side * wide * sin(t))
            for t in turns
        ]
        out += [path(swing, dashed=True), line(way.at(hinge), swing[6], weight="wide")]
        out.append(ring(way.at(hinge), 2.5, fill="black"))
    return tuple(out)


def _gate_bays(job: Job, layout: Layout) -> Iterable[tuple[Bay, _Gate]]:
    """Every gate with its opening: its own, or that of the stair at whose head it hangs."""
    for leg in layout.legs:
        bays = [b for b in layout.bays if b.leg == leg.name and b.kind == "gate-opening"]
        own = (g for g in job.gates if g.leg == leg.name and g.stair is None)
        gates = sorted(own, key=lambda g: g.start)
        for bay, gate in zip(sorted(bays, key=lambda b: b.left.face), gates, strict=False):
            yield bay, _Gate(name=gate.name, hinge=gate.hinge, opens=gate.opens)
    for bay, stair in _openings(job, layout):
        for gate in job.gates:
            if gate.stair == stair.name:
                yield bay, _Gate(name=gate.name, hinge=gate.hinge, opens=gate.opens)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Gate:
    """What the key plan shows of a gate."""

    name: str
    hinge: str
    opens: str


def _house(
    layout: Layout, ways: dict[str, _Way], solid: Sequence[Mark], words: Words
) -> tuple[Mark, ...]:
    """The house over everything, against the legs that end at it."""
    points = [p for mark in solid if not isinstance(mark, Label) for p in mark.points]
    points += [(way.start) for way in ways.values()]
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    top = max(y for _, y in points)
    touches = any(
        kind == "wall" and abs(sin(radians(leg.heading_deg))) > 0.7
        for leg in layout.legs
        for kind in (leg.zero_is, leg.end_is)
    )
    low = top + (0 if touches else 44)
    wide = max(right - left + 50, 120)
    middle = (left + right) / 2
    return (
        rect(middle - wide / 2, low, wide, 26, weight="heavy", fill="light"),
        word(
            middle, low + 8, words.say("HOUSE"), size=ACT, bold=True, anchor="middle", lane="house"
        ),
    )


def _wishes(job: Job, layout: Layout, ways: dict[str, _Way], named: frozenset[str]) -> list[_Wish]:
    """All names that the plan carries, the hardest to move first."""
    words = words_of(job)
    out: list[_Wish] = []
    big = next(size for most, size in _LETTERS if len(layout.legs) <= most)
    for leg in layout.legs:
        way = ways[leg.name]
        ox, oy = way.out
        out.append(
            _Wish(text=leg.name, size=big, about=way.at(leg.length / 2), toward=(-ox, -oy),
                  near=big * 4 / 3, ringed=True)
        )  # fmt: skip
    for bay, stair in _openings(job, layout):
        way = ways[bay.leg]
        foot = way.at((bay.left.face + bay.right.face) / 2, stair.noses[-1])
        says = words.say("UP {risers}R {stair}", risers=stair.risers, stair=stair.name)
        out.append(_Wish(text=says, size=ACT, about=foot, toward=way.out))
    for bay, gate in _gate_bays(job, layout):
        way = ways[bay.leg]
        toward = way.out if gate.opens == "in" else (-way.out[0], -way.out[1])
        middle = way.at((bay.left.face + bay.right.face) / 2)
        says = words.say("gate {gate}", gate=gate.name)
        out.append(_Wish(text=says, size=ACT, about=middle, toward=toward))
    size = ACT if len(named) <= _MANY else READ
    outward = {name: way.out for name, way in ways.items()}
    scale = next(iter(ways.values())).scale
    for post in (post for post in layout.posts if post.name in named):
        about = (scale.points(post.point.x), scale.points(post.point.y))
        toward = outward.get(post.leg, (0.0, -1.0))
        out.append(_Wish(text=post.name, size=size, about=about, toward=toward))
    return out


def _placed(wishes: Sequence[_Wish], blocked: Sequence[Box]) -> tuple[Mark, ...]:
    """Put each name where nothing stands, nearest its thing; far ones get a line to it."""
    taken = list(blocked)
    out: list[Mark] = []
    for wish in wishes:
        label, far = _find(wish, taken)
        box = box_of(label)
        taken.append(_roomy(label, ringed=wish.ringed))
        middle = ((box.left + box.right) / 2, (box.bottom + box.top) / 2)
        if wish.ringed:
            out.append(ring(middle, wish.size * _RING, weight="wide", fill="white"))
        elif far:
            out.append(_leader(wish.about, box))
        out.append(label)
    return tuple(out)


def _leader(about: Point, box: Box) -> Mark:
    (x, y) = about
    end = (min(max(x, box.left), box.right), min(max(y, box.bottom), box.top))
    return line(about, end, weight="narrow")


def _find(wish: _Wish, taken: Sequence[Box]) -> tuple[Label, bool]:
    """The free place nearest to the wished one, and whether it is far from its thing."""
    name = word(0, 0, wish.text, size=wish.size, bold=True, anchor="middle", lane="names")
    room, half = _roomy(name, ringed=wish.ringed), box_of(name).right
    for tried, (x, y) in enumerate(_ways_off(wish, half)):
        if free(_moved(room, x, y), taken):
            return name.model_copy(update={"x": x, "y": y}), tried > 2 * len(_TURNS) - 1
    msg = f"no place for {wish.text}"
    raise AssertionError(msg)  # the ways off never end


def _ways_off(wish: _Wish, half: float) -> Iterator[Point]:
    """Where a name may stand: on rings round its thing, the best side first."""
    best = degrees(atan2(wish.toward[1], wish.toward[0]))
    for i in count():
        for turn in _TURNS if i < _FAR else (0,):
            t, distance = radians(best + turn), wish.near + i * _STEP
            yield (
                wish.about[0] + cos(t) * (distance + half * abs(cos(t))),
                wish.about[1] + sin(t) * distance - MIDDLE * wish.size,
            )


def _moved(box: Box, x: float, y: float) -> Box:
    return _upright(box.left + x, box.bottom + y, box.right + x, box.top + y)


def _roomy(label: Label, *, ringed: bool) -> Box:
    """What a name keeps free round it: its own box, or its ring's."""
    box = box_of(label)
    if ringed:
        reach = label.size * _RING
        x, y = (box.left + box.right) / 2, (box.bottom + box.top) / 2
        return _upright(x - reach, y - reach, x + reach, y + reach)
    return _upright(box.left - 2, box.bottom - 1, box.right + 2, box.top + 1)


def _upright(left: float, low: float, right: float, high: float) -> Box:
    return Box(corners=((left, low), (right, low), (right, high), (left, high)))


def _box_round(points: Sequence[Point]) -> Box:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return _upright(min(xs), min(ys), max(xs), max(ys))


def _room_of(mark: Mark) -> list[Box]:
    """What a mark takes of the plane: a line is as thin as its boxes, the house is all of it."""
    if isinstance(mark, Label):
        return [box_of(mark)]
    if mark.fill == "light":
        return [_box_round(mark.points)]
    ends = mark.points + mark.points[:1] if mark.closed else mark.points
    return [_thin(start, end) for start, end in pairwise(ends)]


def _thin(start: Point, end: Point) -> Box:
    (ax, ay), (bx, by) = start, end
    span = hypot(bx - ax, by - ay) or 1.0
    nx, ny = (ay - by) / span or 1.0, (bx - ax) / span or 1.0
    corners = ((ax - nx, ay - ny), (bx - nx, by - ny), (bx + nx, by + ny), (ax + nx, ay + ny))
    return Box(corners=corners)


def _looking(marks: Sequence[Mark], words: Words) -> tuple[Mark, ...]:
    """Under everything, the arrow in which the plan is looked at."""
    boxes = [box_of(m) if isinstance(m, Label) else _box_round(m.points) for m in marks]
    middle = (min(b.left for b in boxes) + max(b.right for b in boxes)) / 2
    low = min(b.bottom for b in boxes) - 12
    return (
        line((middle, low - 22), (middle, low), weight="wide"),
        arrowhead((middle, low), coming_from=(middle, low - 22)),
        word(middle + 10, low - 18, words.say("looking from the yard"), size=12, lane="looking"),
    )
