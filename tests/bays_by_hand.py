"""Bays and layouts by hand: one opening between two posts, one flight between two more."""

from __future__ import annotations

from collections.abc import Mapping

from schemas.bays import LevelBay, StairBay
from schemas.job import Job
from schemas.layout import Bay, BayEnd, LaidLeg, Layout, PlanPoint, Post, Where
from schemas.lengths import INCH, read_length
from schemas.rail_system import BracketKind
from schemas.site import LowerPost, Stair, UpperPost
from services.bays import make_bays
from services.bays.level_rail import LevelRule
from services.bays.stair_rail import StairRule
from services.geometry.slope import Slope
from tests import builders

SIXTEENTH = INCH // 16


def inch(written: str) -> int:
    """A length written in inches."""
    return read_length(written, "in")


LEVEL_RULE = LevelRule(
    step=SIXTEENTH,
    pitch=inch("4 1/2"),
    width=inch("1 1/4"),
    clearance=0,
    left_least=inch("1 1/2"),
    right_least=inch("1 1/2"),
    greatest=inch("4 7/16"),
    longest=inch("96"),
    limit=inch("3 15/16"),
    kits=None,
    trim=0,
)
"""A level rule in plain sizes, with stock of any length."""

STAIR_RULE = StairRule(
    slope=Slope(rise=inch("7 1/2"), run=inch("10")),
    step=SIXTEENTH,
    pitch=inch("5"),
    width=inch("1 1/4"),
    clearance=inch("1/8"),
    least=inch("2"),
    greatest=inch("4 5/8"),
    longest=inch("95"),
    limit=inch("4 5/16"),
    kits=None,
    trim=0,
)
"""A stair rule on a 7 1/2 by 10 stair, where cos is 0.8 exactly."""

FLIGHT = Stair.model_construct(
    name="S1",
    leg="A",
    start=inch("24"),
    width=inch("48"),
    risers=7,
    riser=inch("7 1/2"),
    tread=inch("10"),
    nosing=inch("1"),
    open_risers=False,
    upper_post=UpperPost.model_construct(from_top_nose=-inch("1")),
    lower_post=LowerPost.model_construct(
        from_last_nose=inch("2"), stands_on="landing", detail="D-7"
    ),
    handrail=("left", "right"),
)
"""Seven closed risers with a 1 in nosing; post faces 1 in back on the deck and 2 in beyond."""


def job(update: Mapping[str, object] | None = None) -> Job:
    """The demo's L deck with some of its facts changed."""
    return builders.job("l-deck").model_copy(update=update)


def level_layout(
    *,
    clear: int,
    clear_top: int | None = None,
    kinds: tuple[BracketKind, BracketKind] = ("line", "line"),
    mitres: tuple[float, float] = (0, 0),
    walls: tuple[bool, bool] = (False, False),
    fall: int = 0,
    measured: bool = False,
) -> Layout:
    """Leg A with one bay A1-A2; an end may be a wall instead of its post."""
    sleeve = inch("4 1/2")
    places = (("A1", 0, sleeve // 2), ("A2", clear + sleeve, sleeve // 2 + clear))
    left, right = (
        BayEnd(post=None if wall else name, face=face, mitre_deg=mitre, bracket=kind)
        for (name, _, face), wall, mitre, kind in zip(places, walls, mitres, kinds, strict=True)
    )
    posts = tuple(
        _post(name, where="end", leg="A", at=at)
        for (name, at, _), wall in zip(places, walls, strict=True)
        if not wall
    )
    bay = Bay(
        name="A1-A2",
        kind="level",
        leg="A",
        left=left,
        right=right,
        clear=clear,
        clear_top=clear if clear_top is None else clear_top,
        measured=measured,
    )
    leg = _leg(length=clear + sleeve, walls=walls, fall=fall, posts=posts)
    return Layout(legs=(leg,), posts=posts, bays=(bay,))


def stair_layout(stair: Stair) -> Layout:
    """The left side of a flight between its upper post A2 and its lower post S1-L."""
    posts = (
        _post("A2", where="stair-upper", leg="A", at=inch("24")),
        _post("S1-L", where="stair-lower", leg="S1", at=0),
    )
    back = stair.upper_post.from_top_nose or 0
    clear = (stair.risers - 1) * stair.tread + stair.lower_post.from_last_nose - back
    bay = Bay(
        name="S1-L",
        kind="stair",
        leg="S1",
        left=BayEnd(post="S1-L", face=0, mitre_deg=0, bracket="stair"),
        right=BayEnd(post="A2", face=clear, mitre_deg=0, bracket="stair"),
        clear=clear,
        clear_top=clear,
        measured=False,
    )
    leg = _leg(length=inch("96"), walls=(False, False), fall=0, posts=posts[:1])
    return Layout(legs=(leg,), posts=posts, bays=(bay,))


def with_level_bay(stairs: Layout, *, clear: int) -> Layout:
    """The same with a level bay A1-A2 that ends at the stair's upper post."""
    level = level_layout(clear=clear)
    return Layout(
        legs=level.legs, posts=(level.posts[0], *stairs.posts), bays=(*level.bays, *stairs.bays)
    )


def made_level(job: Job, layout: Layout) -> LevelBay:
    """The one level bay of that layout."""
    made = make_bays(job, layout)
    assert made.bays is not None, made.questions
    return made.bays.level[0]


def made_stair(job: Job, layout: Layout) -> StairBay:
    """The one stair bay of that layout."""
    made = make_bays(job, layout)
    assert made.bays is not None, made.questions
    return made.bays.stair[0]


def _post(name: str, *, where: Where, leg: str, at: int) -> Post:
    return Post(
        name=name,
        where=where,
        in_place=False,
        leg=leg,
        at=at,
        point=PlanPoint(x=at, y=0),
        sleeve=inch("4 1/2"),
        core=inch("3 1/2"),
    )


def _leg(*, length: int, walls: tuple[bool, bool], fall: int, posts: tuple[Post, ...]) -> LaidLeg:
    return LaidLeg(
        name="A",
        line=0,
        start=PlanPoint(x=0, y=0),
        end=PlanPoint(x=length, y=0),
        heading_deg=0,
        length=length,
        measured=length,
        zero_is="wall" if walls[0] else "post",
        end_is="wall" if walls[1] else "post",
        drop=None,
        fall=fall,
        posts=tuple(post.name for post in posts),
        reason="by hand",
    )
