"""Posts in place of other sizes: the faces that the tape was held to, and those that come.

A post that stays keeps its outside. One that is replaced was measured as it stands; ours
comes centre on centre, so that the openings beside it change by half the difference.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from schemas.job import Job
from schemas.lengths import Length
from schemas.site import Leg, StandingPost
from services.geometry.polyline import reach
from services.layout.centre_line import CentreLeg
from services.layout.stands import Face, Stand


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingAt:
    """What was noted of the posts along a leg."""

    first: StandingPost | None
    last: StandingPost | None
    between: dict[int, StandingPost]
    """By place between the openings, from 0."""


def standing_at(job: Job, leg: CentreLeg) -> StandingAt:
    """Look up a leg's own posts, and at its end the corner post that the next leg names."""
    noted = {post.number: post for post in leg.leg.standing}
    starts_at_wall = leg.start is not None and leg.start.kind == "wall"
    lead = 1 if starts_at_wall else 2
    count = max(0, len(leg.leg.clears) - 1)
    following = _next(job, leg)
    last = (
        next((post for post in following.standing if post.number == 1), None)
        if following
        else noted.get(lead + count)
    )
    return StandingAt(
        first=None if starts_at_wall else noted.get(1),
        last=last if leg.end is None or leg.end.kind == "post" else None,
        between={at: noted[lead + at] for at in range(count) if lead + at in noted},
    )


def _next(job: Job, leg: CentreLeg) -> Leg | None:
    """The leg after the corner at the end of this one."""
    legs = job.lines[leg.line].legs
    return legs[(leg.number + 1) % len(legs)] if leg.after is not None else None


def sized(stand: Stand, standing: StandingPost | None) -> Stand:
    """A stand with the faces of the post that was found there."""
    if standing is None or stand.where is None:
        return stand
    width = standing.sleeve or standing.core
    assert width is not None, standing.number
    return replace(
        _faced(stand, width),
        standing=standing,
    )


def replaced(stand: Stand, *, sleeve: Length) -> Stand:
    """The same stand with our post, where the one in place goes."""
    return _faced(stand, sleeve) if is_replaced(stand) else stand


def is_replaced(stand: Stand) -> bool:
    """Whether one of our posts takes the place of the one that was found."""
    return stand.standing is not None and stand.standing.keep is False


def _faced(stand: Stand, width: Length) -> Stand:
    return replace(
        stand, before=_face(stand.before, width=width), after=_face(stand.after, width=width)
    )


def _face(face: Face, *, width: Length) -> Face:
    return replace(face, reach=reach(width=width, angle_deg=face.mitre_deg))
