"""The layout of a job from its legs, or the questions that stop it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from schemas.job import Job
from schemas.layout import Bay, LaidLeg, LaidStock, Layout, Post
from schemas.site import Gate, GuardLine, Question, Stair
from services.geometry.polyline import Point
from services.layout.asks import Asks, LaidOut
from services.layout.centre_line import CentreLeg, centre_legs
from services.layout.crowding import crowded
from services.layout.doubts import (
    bad_stairs,
    in_keep_outs,
    near_walls,
    no_bracket,
    on_joists,
    too_short,
)
from services.layout.given import Site, fit_at, given
from services.layout.in_place import posts_in_place
from services.layout.jointly import share_stock
from services.layout.landings import (
    astray,
    brought_to,
    clashes,
    from_above,
    shared_posts,
    with_shared,
)
from services.layout.naming import bays_along, laid_leg, own_posts, post_names, stairs_along
from services.layout.placing import APART, place_line
from services.layout.set_posts import PartedLeg, set_posts
from services.layout.stairs import sides_of
from services.layout.standing import sized, standing_at
from services.layout.stands import LegStands, first_stand, last_stand


@dataclass(frozen=True, slots=True, kw_only=True)
class _Laid:
    """A guard line in plan."""

    legs: tuple[LaidLeg, ...]
    posts: tuple[Post, ...]
    bays: tuple[Bay, ...]


def lay_out(job: Job, *, asks: Asks) -> LaidOut:
    """Stand every post of a job and name every bay.

    Args:
        job: The job; its measures are taken as they are.
        asks: What later stages know of bays and stock.

    Returns:
        The layout, or the questions that stop it; questions that only hold come beside it.
    """
    site = given(job, asks=asks)
    stood: list[LegStands | PartedLeg] = []
    questions: list[Question] = []
    for number, line in enumerate(job.lines):
        standing, stopped = _stand_line(site, line, number=number)
        questions.extend(stopped)
        stood.extend(standing)
    stock: LaidStock | None = None
    if not questions:
        shared_out, stock = share_stock(site, stood)
        stood = list(shared_out)
    whole = [leg.whole() if isinstance(leg, PartedLeg) else leg for leg in stood]
    lines = [
        (line, tuple(leg for leg in whole if leg.leg.line == number))
        for number, line in enumerate(job.lines)
    ]
    questions += [ask for line, legs in lines for leg in legs for ask in _doubts(site, line, leg)]
    if any(question.severity == "stop" for question in questions):
        return LaidOut(layout=None, questions=tuple(questions))
    by_line: dict[int, _Laid] = {}
    shared: dict[str, str] = {}
    for number in from_above(job):
        line, legs = lines[number]
        laid = list(by_line.values())
        feet = {post.name: Point(post.point.x, post.point.y) for post in _all_posts(laid)}
        taken = [place.x for part in laid for place in _places(part)]
        placed, here = _place(site, line, legs, feet=feet, taken=taken)
        by_line[number] = placed
        shared |= here
    laid = [by_line[number] for number in range(len(lines))]
    bays = [bay for part in laid for bay in part.bays]
    asked = (*clashes(job, shared, bays=bays), *astray(job, shared, posts=_all_posts(laid)))
    if asked:
        return LaidOut(layout=None, questions=(*questions, *asked))
    own, named = with_shared(_all_posts(laid), bays, shared=shared)
    laid_legs = tuple(leg for part in laid for leg in part.legs)
    layout = Layout(legs=laid_legs, posts=own, bays=named, stock=stock)
    return LaidOut(layout=layout, questions=(*questions, *crowded(job, layout)))


def _all_posts(laid: Sequence[_Laid]) -> list[Post]:
    return [post for part in laid for post in part.posts]


def _stand_line(
    site: Site, line: GuardLine, *, number: int
) -> tuple[list[LegStands | PartedLeg], list[Question]]:
    """Every leg of a line that stands, and what stops the others."""
    stood: list[LegStands | PartedLeg] = []
    questions: list[Question] = []
    for leg in centre_legs(line, number=number):
        asked = (*no_bracket(site, leg), *too_short(site, leg))
        if asked:
            questions.extend(asked)
            continue
        stands, asked = _stand_leg(site, leg)
        questions.extend(asked)
        if stands is not None:
            stood.append(stands)
    return stood, questions


def _stand_leg(
    site: Site, leg: CentreLeg
) -> tuple[LegStands | PartedLeg | None, tuple[Question, ...]]:
    taken = standing_at(site.job, leg)
    first = sized(
        first_stand(leg, corner=fit_at(site, leg.before), sleeve=site.sleeve), taken.first
    )
    last = sized(last_stand(leg, corner=fit_at(site, leg.after), sleeve=site.sleeve), taken.last)
    own = (gate for gate in site.job.gates if gate.stair is None)
    things: tuple[Stair | Gate, ...] = (*site.job.stairs, *own)
    here = tuple(thing for thing in things if thing.leg == leg.leg.name)
    if leg.leg.clears:
        return posts_in_place(site, leg, first=first, last=last, things=here)
    return set_posts(site, leg, first=first, last=last, things=here)


def _doubts(site: Site, line: GuardLine, leg: LegStands) -> list[Question]:
    names = post_names(leg, line=line)
    return [
        *bad_stairs(site, line, leg),
        *on_joists(site, leg, names=names),
        *in_keep_outs(site, leg, names=names),
        *near_walls(site, leg, names=names),
    ]


def _place(
    site: Site,
    line: GuardLine,
    legs: Sequence[LegStands],
    *,
    feet: Mapping[str, Point],
    taken: Sequence[float],
) -> tuple[_Laid, dict[str, str]]:
    """Put a line in plan: at the foot that it shares, else to the right of what is there."""
    laid = _at(site, line, legs, start=Point(0.0, 0.0))
    shared = shared_posts(site.job, line, posts=laid.posts, bays=laid.bays)
    if not taken:
        return laid, shared
    here = {post.name: Point(post.point.x, post.point.y) for post in laid.posts}
    start = brought_to(shared, there=feet, here=here)
    if start is None:
        leftmost = min(place.x for place in _places(laid))
        start = Point(max(taken) + APART - leftmost, 0.0)
    return _at(site, line, legs, start=start), shared


def _at(site: Site, line: GuardLine, legs: Sequence[LegStands], *, start: Point) -> _Laid:
    placed = place_line(legs, start=start)
    laid: list[LaidLeg] = []
    posts: list[Post] = []
    bays: list[Bay] = []
    for number, leg in enumerate(placed):
        names = post_names(leg.stands, line=line)
        fit = fit_at(site, leg.stands.leg.before)
        stood = placed[number - 1].stands.in_place
        laid.append(laid_leg(leg, names=names))
        posts.extend(own_posts(leg, names=names, site=site, corner=fit, stood=stood))
        bays.extend(bays_along(leg.stands, names=names, site=site))
        for stair, uppers in stairs_along(leg.stands, names=names):
            sides = sides_of(stair, site=site, line=line, leg=leg, uppers=uppers)
            posts.extend(post for side in sides for post in side.posts)
            bays.extend(bay for side in sides for bay in side.bays)
    return _Laid(legs=tuple(laid), posts=tuple(posts), bays=tuple(bays))


def _places(laid: _Laid) -> list[Point]:
    points = [*(leg.start for leg in laid.legs), *(leg.end for leg in laid.legs)]
    return [Point(p.x, p.y) for p in (*points, *(post.point for post in laid.posts))]
