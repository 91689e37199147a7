"""The layout of a job from its legs, or the questions that stop it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise

from schemas.job import Job
from schemas.layout import Bay, LaidLeg, Layout, Post
from schemas.lengths import Length
from schemas.site import Corner, Gate, GuardLine, Option, Question, Side, Stair
from services.geometry.polyline import Point
from services.layout.asks import Asks, LaidOut
from services.layout.centre_line import CentreLeg, centre_legs
from services.layout.corners import CornerFit, fit_corner
from services.layout.in_place import posts_in_place
from services.layout.naming import bays_along, laid_leg, own_posts, post_names
from services.layout.placing import APART, place_line
from services.layout.set_posts import Site, set_posts
from services.layout.stairs import no_stair_room, no_upper_post, sides_of, stair_clear
from services.layout.stands import LegStands, Stand, first_stand, last_stand
from services.tape import text, text_with_unit


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
    site = Site(job=job, asks=_remembering(asks), narrow=_narrow(job))
    lines: list[tuple[GuardLine, tuple[LegStands, ...]]] = []
    questions: list[Question] = []
    for number, line in enumerate(job.lines):
        legs, asked = _stand_line(site, line, number=number)
        questions.extend(asked)
        lines.append((line, legs))
    if any(question.severity == "stop" for question in questions):
        return LaidOut(layout=None, questions=tuple(questions))
    laid: list[_Laid] = []
    free_from: float | None = None
    for line, legs in lines:
        laid.append(_place(site, line, legs, free_from=free_from))
        free_from = max(post_or_end.x for post_or_end in _places(laid[-1])) + APART
    layout = Layout(
        legs=tuple(leg for part in laid for leg in part.legs),
        posts=tuple(post for part in laid for post in part.posts),
        bays=tuple(bay for part in laid for bay in part.bays),
    )
    return LaidOut(layout=layout, questions=tuple(questions))


def _remembering(asks: Asks) -> Asks:
    """The same asks; an opening once asked about is not asked again."""
    works = asks.bay_works
    return replace(
        asks,
        bay_works=cache(lambda *, clear, left, right: works(clear=clear, left=left, right=right)),
    )


def _narrow(job: Job) -> Length:
    """The smallest working limit of a guard's openings; 0 where no rules are recorded."""
    rules = job.profile.rules if job.profile else ()
    limits = [r.limit for r in rules if r.measures == "guard.opening" and r.limit is not None]
    return max(0, min(limits) - job.company.sphere_margin) if limits else 0


def _stand_line(
    site: Site, line: GuardLine, *, number: int
) -> tuple[tuple[LegStands, ...], tuple[Question, ...]]:
    legs = centre_legs(line, number=number)
    whole: list[LegStands] = []
    questions: list[Question] = []
    for leg in legs:
        asked = (*_corner_questions(site, leg), *_short_leg(site, leg))
        if asked:
            questions.extend(asked)
            continue
        stands, asked = _stand_leg(site, leg)
        questions.extend(asked)
        if stands is not None:
            names = post_names(stands, line=line)
            questions.extend(_stair_questions(site, line, stands))
            questions.extend(_joist_questions(site, stands, names=names))
            whole.append(stands)
    return tuple(whole), tuple(questions)


def _stand_leg(site: Site, leg: CentreLeg) -> tuple[LegStands | None, tuple[Question, ...]]:
    first = first_stand(leg, corner=_fit(site, leg.before), sleeve=site.sleeve)
    last = last_stand(leg, corner=_fit(site, leg.after), sleeve=site.sleeve)
    things: tuple[Stair | Gate, ...] = (*site.job.stairs, *site.job.gates)
    here = tuple(thing for thing in things if thing.leg == leg.leg.name)
    stand = posts_in_place if leg.leg.clears else set_posts
    return stand(site, leg, first=first, last=last, things=here)


def _fit(site: Site, corner: Corner | None) -> CornerFit | None:
    return fit_corner(corner, rail=site.job.system.level) if corner else None


def _place(
    site: Site, line: GuardLine, legs: Sequence[LegStands], *, free_from: float | None
) -> _Laid:
    """Put a line in plan, to the right of what is there already."""
    laid = _at(site, line, legs, start=Point(0.0, 0.0))
    if free_from is None:
        return laid
    leftmost = min(place.x for place in _places(laid))
    return _at(site, line, legs, start=Point(free_from - leftmost, 0.0))


def _at(site: Site, line: GuardLine, legs: Sequence[LegStands], *, start: Point) -> _Laid:
    placed = place_line(legs, start=start)
    laid: list[LaidLeg] = []
    posts: list[Post] = []
    bays: list[Bay] = []
    for number, leg in enumerate(placed):
        names = post_names(leg.stands, line=line)
        fit = _fit(site, leg.stands.leg.before)
        stood = placed[number - 1].stands.in_place
        laid.append(laid_leg(leg, names=names))
        posts.extend(own_posts(leg, names=names, site=site, corner=fit, stood=stood))
        bays.extend(bays_along(leg.stands, names=names, site=site))
        for stair, uppers in _stairs(leg.stands, names=names):
            sides = sides_of(stair, site=site, line=line, leg=leg, uppers=uppers)
            posts.extend(side.lower for side in sides)
            bays.extend(side.bay for side in sides)
    return _Laid(legs=tuple(laid), posts=tuple(posts), bays=tuple(bays))


def _stairs(
    leg: LegStands, *, names: tuple[str, ...]
) -> list[tuple[Stair, dict[Side, tuple[str, Stand]]]]:
    """The stairs of a leg with their upper posts; left is nearer the zero, seen going up."""
    along = tuple(zip(names, leg.stands, strict=True))
    return [
        (gap.thing, {"left": left, "right": right})
        for gap, (left, right) in zip(leg.gaps, pairwise(along), strict=True)
        if isinstance(gap.thing, Stair)
    ]


def _places(laid: _Laid) -> list[Point]:
    points = [*(leg.start for leg in laid.legs), *(leg.end for leg in laid.legs)]
    return [Point(p.x, p.y) for p in (*points, *(post.point for post in laid.posts))]


def _corner_questions(site: Site, leg: CentreLeg) -> tuple[Question, ...]:
    fit = _fit(site, leg.after)
    if fit is None or (fit.bracket_before and fit.bracket_after):
        return ()
    mitre = fit.mitre_before if fit.bracket_before is None else fit.mitre_after
    return (
        Question(
            key=f"corner.{leg.leg.name}",
            severity="stop",
            place=f"Corner at the end of leg {leg.leg.name}",
            says=(
                f"A rail would meet the corner post at {mitre:g} degrees, and no bracket of "
                f"{site.job.system.title} takes that."
            ),
            ask="Is the corner angle right, and how is the post to stand?",
        ),
    )


def _short_leg(site: Site, leg: CentreLeg) -> tuple[Question, ...]:
    step, least = site.job.step, site.sleeve
    if leg.length > least:
        return ()
    return (
        Question(
            key=f"leg-short.{leg.leg.name}",
            severity="stop",
            place=f"Leg {leg.leg.name}",
            says=(
                f"Leg {leg.leg.name} was measured {text_with_unit(leg.leg.length, step)}; along "
                f"post centres {text_with_unit(leg.length, step)} are left, less than a sleeve "
                f"({text(least, step)})."
            ),
            ask="Is the length right, and are the inset and the corners?",
        ),
    )


def _stair_questions(site: Site, line: GuardLine, leg: LegStands) -> list[Question]:
    names = post_names(leg, line=line)
    asked: list[Question] = []
    for stair, uppers in _stairs(leg, names=names):
        asked.extend(
            no_upper_post(stair, side=side) for side in stair.rails if uppers[side][1].where is None
        )
        clear = stair_clear(stair, sleeve=site.sleeve, inset=line.inset)
        if clear <= 0:
            asked.append(no_stair_room(stair, clear=clear, step=site.job.step))
    return asked


def _joist_questions(site: Site, leg: LegStands, *, names: tuple[str, ...]) -> list[Question]:
    step = site.job.step
    return [
        Question(
            key=f"on-joist.{name}",
            severity="hold",
            place=f"Post {name}",
            says=(
                f"{name} comes on a joist, {text_with_unit(stand.at + leg.leg.zero, step)} along "
                f"leg {leg.leg.leg.name}; no legal place beside it was found."
            ),
            ask="How is the post to be fixed there? The joist is not cut.",
            options=(Option(key="go-on", says="Go on; the lead decides at the joist"),),
        )
        for name, stand in zip(names, leg.stands, strict=True)
        if stand.at in leg.on_joists
    ]
