"""Names of posts and bays, and the records that carry them.

A corner post is named after the leg that starts there; a wall is W.
"""

from __future__ import annotations

from itertools import count, pairwise
from typing import Literal

from schemas.layout import Bay, BayEnd, LaidLeg, PlanPoint, Post
from schemas.lengths import Length
from schemas.site import GuardLine, Side, Stair, StandingPost
from services.geometry.polyline import Point
from services.layout.corners import CornerFit
from services.layout.given import Site
from services.layout.placing import PlacedLeg
from services.layout.standing import is_replaced
from services.layout.stands import Face, LegStands, Stand
from services.tape import down

WALL = "W"


def post_names(leg: LegStands, *, line: GuardLine) -> tuple[str, ...]:
    """The names along a leg, from its zero, walls included."""
    following = line.legs[(leg.leg.number + 1) % len(line.legs)].name
    last = len(leg.stands) - 1
    numbers = count(1)
    return tuple(
        WALL
        if stand.where is None
        else f"{following}1"
        if number == last and leg.leg.after is not None
        else f"{leg.leg.leg.name}{next(numbers)}"
        for number, stand in enumerate(leg.stands)
    )


def laid_leg(leg: PlacedLeg, *, names: tuple[str, ...]) -> LaidLeg:
    """The record of a leg."""
    measured = leg.stands.leg.leg
    return LaidLeg(
        name=measured.name,
        line=leg.stands.leg.line,
        start=as_point(leg.start),
        end=as_point(leg.end),
        heading_deg=leg.stands.leg.heading_deg,
        length=leg.stands.length,
        measured=measured.length,
        zero_is=_kind(leg.stands.stands[0]),
        end_is=_kind(leg.stands.stands[-1]),
        drop=measured.drop,
        fall=measured.fall,
        zero=leg.stands.leg.zero,
        posts=tuple(name for name in names if name != WALL),
        reason=leg.stands.reason,
    )


def own_posts(
    leg: PlacedLeg, *, names: tuple[str, ...], site: Site, corner: CornerFit | None, stood: bool
) -> tuple[Post, ...]:
    """The posts named after a leg.

    Args:
        leg: The leg.
        names: Along it.
        site: For the posts' sizes.
        corner: The corner it starts at.
        stood: Whether the post in that corner stands already for the leg before.
    """
    posts = []
    for number, (name, stand) in enumerate(zip(names, leg.stands.stands, strict=True)):
        is_next = number == len(names) - 1 and leg.stands.leg.after is not None
        if stand.where is None or is_next:
            continue
        at_corner = number == 0 and corner is not None
        noted = stand.standing
        goes = is_replaced(stand)
        ours = noted is None or goes
        posts.append(
            Post(
                name=name,
                where=stand.where,
                in_place=not goes and (leg.stands.in_place or (at_corner and stood) or not ours),
                leg=leg.stands.leg.leg.name,
                at=stand.at,
                point=as_point(leg.at(stand.at)),
                turned_deg=corner.turned_deg if corner and at_corner else 0,
                sleeve=site.sleeve if ours else _outside(noted, site),
                core=site.job.post.core if ours else _core(noted, site),
            )
        )
    return tuple(posts)


def _outside(noted: StandingPost | None, site: Site) -> Length:
    """Outside of a post that stays, bare or sleeved."""
    return (noted and (noted.sleeve or noted.core)) or site.sleeve


def _core(noted: StandingPost | None, site: Site) -> Length:
    return (noted and noted.core) or site.job.post.core


def bays_along(leg: LegStands, *, names: tuple[str, ...], site: Site) -> tuple[Bay, ...]:
    """The bays of a leg, its openings included, in order from the zero."""
    step = site.job.step
    stands = tuple(zip(names, leg.stands, strict=True))
    bays = []
    for gap, ((left, a), (right, b)) in zip(leg.gaps, pairwise(stands), strict=True):
        if gap.kind == "narrow":
            continue
        bays.append(
            Bay(
                name=f"{left}-{right}" if {left, right} != {WALL} else f"W-{leg.leg.leg.name}-W",
                kind=gap.kind,
                leg=leg.leg.leg.name,
                left=_end(left, a.right, a.after),
                right=_end(right, b.left, b.before),
                clear=down(gap.clear, step),
                clear_top=down(gap.clear_top, step),
                measured=leg.in_place and not (is_replaced(a) or is_replaced(b)),
            )
        )
    return tuple(bays)


def as_point(place: Point) -> PlanPoint:
    """The record of a place in plan."""
    return PlanPoint(x=float(place.x), y=float(place.y))


def _end(name: str, face: int, meets: Face) -> BayEnd:
    post = None if name == WALL else name
    return BayEnd(
        post=post,
        face=face,
        mitre_deg=meets.mitre_deg,
        long_side=meets.long_side,
        bracket=meets.bracket,
    )


def _kind(stand: Stand) -> Literal["post", "wall"]:
    return "wall" if stand.where is None else "post"


def stairs_along(
    leg: LegStands, *, names: tuple[str, ...]
) -> list[tuple[Stair, dict[Side, tuple[str, Stand]]]]:
    """The stairs of a leg with their upper posts; left is nearer the zero, seen going up."""
    along = tuple(zip(names, leg.stands, strict=True))
    return [
        (gap.thing, {"left": left, "right": right})
        for gap, (left, right) in zip(leg.gaps, pairwise(along), strict=True)
        if isinstance(gap.thing, Stair)
    ]
