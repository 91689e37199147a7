"""A corner in plan at a large scale: the post as it is set and both rails' saw settings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, radians, sin, tan

from schemas.drawings import Drawing, Label
from schemas.job import Job
from schemas.layout import BayEnd, Layout, Post
from schemas.wording import say
from services.drawings.boxes import MIDDLE, box_of
from services.drawings.finish import finish, fitting
from services.drawings.lines import ACT, READ, Anchor, Mark, Point, line, ring, shape, word
from services.drawings.scale import Scale, choose_scale
from services.tape import angle, is_metric
from services.wording import Words, words_of
from services.wording.terms import long_point, off

_BEYOND = 2
_ROW = ACT * 1.2
_DOT = 3.5
"""Radius of a long point's dot. [pt]"""
_AGAINST = 0.1
"""Rails that meet head on have no common deck side."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Meeting:
    """A rail that meets the post. Directions in plan."""

    bay: str
    end: BayEnd
    away_deg: float
    """From the post along the rail, anticlockwise from x. [degrees]"""
    heading_deg: float
    """Of its leg, the deck at the left hand. [degrees]"""
    skew: float
    """-1 or 1: on which side of the rail its cut end is longer, looking away from the post."""


def corner_details(*, job: Job, layout: Layout) -> tuple[Drawing, ...]:
    """Draw every corner whose rails are not all cut square, equal ones once.

    Args:
        job: For the rail's width and the graduation.
        layout: For posts, legs and mitres.
    """
    groups: dict[tuple[object, ...], list[tuple[Post, tuple[_Meeting, ...]]]] = {}
    for post in layout.posts:
        meetings = _meetings(post, layout)
        if any(m.end.mitre_deg for m in meetings):
            key = (round(post.turned_deg, 2), *(_how(m, meetings[0]) for m in meetings))
            groups.setdefault(key, []).append((post, meetings))
    return tuple(
        _corner([p for p, _ in group], group[0][1], job, layout) for group in groups.values()
    )


def _how(meeting: _Meeting, first: _Meeting) -> tuple[object, ...]:
    turn = round((meeting.away_deg - first.away_deg) % 360, 2)
    return (turn, round(meeting.end.mitre_deg, 2), meeting.end.bracket, meeting.end.long_side)


def _meetings(post: Post, layout: Layout) -> tuple[_Meeting, ...]:
    out = []
    headings = {leg.name: leg.heading_deg for leg in layout.legs}
    for bay in layout.bays:
        if bay.kind != "level":
            continue
        heading = headings[bay.leg]
        for end, turn, right in ((bay.right, 180, "deck"), (bay.left, 0, "yard")):
            if end.post == post.name:
                skew = 0 if end.long_side is None else 1 if end.long_side == right else -1
                out.append(
                    _Meeting(
                        bay=bay.name, end=end, away_deg=heading + turn, heading_deg=heading,
                        skew=skew,
                    )
                )  # fmt: skip
    return tuple(out)


def _corner(posts: list[Post], meetings: tuple[_Meeting, ...], job: Job, layout: Layout) -> Drawing:
    post = posts[0]
    heading = next(leg.heading_deg for leg in layout.legs if leg.name == post.leg)
    scale = choose_scale(
        wide=post.sleeve * (1 + 2 * _BEYOND), high=post.sleeve * (1 + 2 * _BEYOND), room=230,
        tall=230, metric=is_metric(job.step),
    )  # fmt: skip

    def at(scale: Scale) -> Drawing:
        return _drawn(posts, meetings, job, heading=heading, scale=scale)

    return fitting(at, scale=scale)


def _drawn(
    posts: list[Post], meetings: tuple[_Meeting, ...], job: Job, *, heading: float, scale: Scale
) -> Drawing:
    post = posts[0]
    half, wide = scale.points(post.sleeve) / 2, scale.points(job.system.level.top_width) / 2
    marks: list[Mark] = [_square(half, heading + post.turned_deg)]
    words = words_of(job)
    for meeting in meetings:
        marks += _rail(meeting, half, wide)
    marks += _sides(meetings, half, words)
    marks.append(
        word(0, -MIDDLE * ACT, post.name, size=ACT, bold=True, anchor="middle", lane="post")
    )
    marks += _saws(meetings, words, left=-half * (1 + 2 * _BEYOND), low=_lowest(marks))
    return finish(
        marks,
        name=f"corner-{post.name}",
        title=words.say(
            "Corner {posts}: seen from above, house at the top; dots: long points",
            posts=off([p.name for p in posts]),
        ),
        said=words.say(
            "Post {post} from above with the saw settings and long points of the rails that meet "
            "it.",
            post=post.name,
        ),
        scale=scale,
    )


def _anchor(rightward: float) -> Anchor:
    """On which side of its place a text stands that reads away from the post."""
    if abs(rightward) < 0.4:
        return "middle"
    return "start" if rightward > 0 else "end"


def _square(half: float, turned_deg: float) -> Mark:
    turn = radians(turned_deg + 45)
    reach = half * 2**0.5
    corners = [(reach * cos(turn + i * pi / 2), reach * sin(turn + i * pi / 2)) for i in range(4)]
    return shape(corners, weight="heavy", fill="light")


def _sides(meetings: tuple[_Meeting, ...], half: float, words: Words) -> tuple[Mark, ...]:
    """On which side of both rails the deck lies, on which the yard."""
    turns = [radians(meeting.heading_deg + 90) for meeting in meetings]
    across, up = sum(map(cos, turns)), sum(map(sin, turns))
    long = hypot(across, up)
    if long < _AGAINST:
        return ()
    away = half * (1 + _BEYOND)
    return tuple(
        word(hand * away * across / long, hand * away * up / long - MIDDLE * READ, words.of(says),
             anchor="middle", lane="side")
        for hand, says in ((1, say("DECK")), (-1, say("YARD")))
    )  # fmt: skip


def _rail(meeting: _Meeting, half: float, wide: float) -> tuple[Mark, ...]:
    """Both edges of the rail from its cut end outward, a dot at its long point, its name."""
    turn = radians(meeting.away_deg)
    mitre = radians(meeting.end.mitre_deg)
    lean = wide * tan(mitre) * meeting.skew
    near, far = half / cos(mitre), half * (1 + 2 * _BEYOND)

    def place(along: float, left: float) -> Point:
        return (along * cos(turn) - left * sin(turn), along * sin(turn) + left * cos(turn))

    ends = (place(near + lean, wide), place(near - lean, -wide))
    out = far + 10
    x, y = place(out, 0)
    low = y - MIDDLE * ACT + 10 * sin(turn)
    long = ends[0] if meeting.skew < 0 else ends[1]
    return (
        *((ring(long, _DOT, weight="wide", fill="black"),) if meeting.skew else ()),
        line(ends[0], place(far, wide), weight="wide"),
        line(ends[1], place(far, -wide), weight="wide"),
        line(*ends, weight="heavy"),
        line(place(near, 0), place(far, 0), weight="hair", dashed=True),
        word(x, low, meeting.bay, size=ACT, bold=True, anchor=_anchor(cos(turn)), lane="bay"),
    )


def _saws(
    meetings: tuple[_Meeting, ...], words: Words, *, left: float, low: float
) -> tuple[Mark, ...]:
    """Under the drawing, a line a rail: its saw setting and its longer side."""
    lines = (_saw(meeting, words) for meeting in meetings)
    return tuple(
        word(left, low - (at + 1) * _ROW, text, size=ACT, bold=True, lane="saw")
        for at, text in enumerate(lines)
    )


def _saw(meeting: _Meeting, words: Words) -> str:
    end = meeting.end
    if not end.long_side:
        return words.say("{bay}: saw square", bay=meeting.bay)
    return words.say(
        "{bay}: saw {angle}, {long}",
        bay=meeting.bay, angle=angle(end.mitre_deg), long=long_point(end.long_side),
    )  # fmt: skip


def _lowest(marks: Sequence[Mark]) -> float:
    """Under everything drawn so far. [pt]."""
    return min(
        box_of(mark).bottom if isinstance(mark, Label) else min(y for _, y in mark.points)
        for mark in marks
    )
