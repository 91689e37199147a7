"""What the layout may ask of the bays before its posts stand.

The same rule decides that later makes the bay, so a post is never set for a bay that
cannot be built.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Protocol

from schemas.job import Job
from schemas.lengths import Length
from schemas.rail_system import BracketKind
from schemas.record import Degrees
from services.bays.level_rail import Leans, LevelRule
from services.bays.limits import most_fall
from services.bays.margins import Fit, bracket_of, takes
from services.bays.rules import bears, level_rule, nearest_with_room, stair_rule
from services.geometry.slope import Slope


class Works(Protocol):
    """Whether a level bay of that clear opening can be built."""

    def __call__(
        self,
        *,
        clear: Length,
        left: BracketKind,
        right: BracketKind,
        top_more: Length = 0,
        leans: Leans = "both",
        left_deg: Degrees = 0,
        right_deg: Degrees = 0,
    ) -> bool:
        """The brackets take the angles; some count of balusters is legal and comes from stock."""


class Nearest(Protocol):
    """The nearest openings of level bays that can be built."""

    def __call__(
        self,
        *,
        clear: Length,
        left: BracketKind,
        right: BracketKind,
        top_more: Length = 0,
        leans: Leans = "both",
        left_deg: Degrees = 0,
        right_deg: Degrees = 0,
    ) -> tuple[Length | None, Length | None]:
        """At or below, and at or above, the asked one; none: not within two pitches."""


class Fits(Protocol):
    """The best legal count of a level bay of that clear opening."""

    def __call__(
        self,
        *,
        clear: Length,
        left: BracketKind,
        right: BracketKind,
        top_more: Length = 0,
        leans: Leans = "both",
        left_deg: Degrees = 0,
        right_deg: Degrees = 0,
    ) -> Fit | None:
        """Cuts and margins that the bay would be made with; none: it cannot be built."""


class OnStair(Protocol):
    """Whether a stair bay of that level opening can be built on that slope."""

    def __call__(self, *, riser: Length, tread: Length, clear: Length) -> bool:
        """Some count of balusters is legal and can be cut from stock."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BayAsks:
    """The layout's questions, answered for one job."""

    bay_works: Works
    bay_has_room: Works
    """The same, and it still can with its posts `room` further apart or closer together."""
    bay_fit: Fits
    longest_clear: Length
    most_fall: Length | None
    """From one end of a level bay to the other; none: its spacer alone is too high."""
    nearest_legal: Nearest
    """Those that leave `room` to spare, where there are any."""
    room: Length
    """How far off their places posts are set: the company's. [1/320 mm]"""
    stair_works: OnStair


def asks_for(job: Job) -> BayAsks:
    """Bind the rules of a job's bays; answers are kept, as a search asks them often."""
    longest, room = job.system.level.longest_clear, job.company.post_error
    reach = 2 * job.system.level.hole_pitch

    @cache
    def rule_of(
        left: tuple[BracketKind, Degrees],
        right: tuple[BracketKind, Degrees],
        top_more: Length,
        leans: Leans,
    ) -> LevelRule | None:
        for kind, deg in (left, right):
            bracket = bracket_of(job.system.level, kind)
            if bracket is None or not takes(bracket, deg):
                return None
        return level_rule(
            job,
            left=left[0],
            right=right[0],
            top_more=top_more,
            leans=leans,
            left_deg=left[1],
            right_deg=right[1],
        )

    @cache
    def bay_fit(
        *,
        clear: Length,
        left: BracketKind,
        right: BracketKind,
        top_more: Length = 0,
        leans: Leans = "both",
        left_deg: Degrees = 0,
        right_deg: Degrees = 0,
    ) -> Fit | None:
        rule = rule_of((left, left_deg), (right, right_deg), top_more, leans)
        return next(iter(rule.fits(opening=clear // job.step * job.step)), None) if rule else None

    @cache
    def bay_has_room(
        *,
        clear: Length,
        left: BracketKind,
        right: BracketKind,
        top_more: Length = 0,
        leans: Leans = "both",
        left_deg: Degrees = 0,
        right_deg: Degrees = 0,
    ) -> bool:
        rule = rule_of((left, left_deg), (right, right_deg), top_more, leans)
        return rule is not None and bears(rule, opening=clear // job.step * job.step, off=room)

    @cache
    def nearest(
        *,
        clear: Length,
        left: BracketKind,
        right: BracketKind,
        top_more: Length = 0,
        leans: Leans = "both",
        left_deg: Degrees = 0,
        right_deg: Degrees = 0,
    ) -> tuple[Length | None, Length | None]:
        rule = rule_of((left, left_deg), (right, right_deg), top_more, leans)
        if rule is None:
            return None, None
        return nearest_with_room(rule, opening=clear, longest=longest, reach=reach, off=room)

    @cache
    def stair_works(*, riser: Length, tread: Length, clear: Length) -> bool:
        rail = job.stair_system.stair
        if rail is None:
            return False
        rule = stair_rule(job, rail=rail, slope=Slope(rise=riser, run=tread))
        return bool(rule.fits(opening=clear // job.step * job.step))

    return BayAsks(
        bay_works=_works(bay_fit),
        bay_has_room=bay_has_room,
        bay_fit=bay_fit,
        longest_clear=longest,
        most_fall=most_fall(job),
        nearest_legal=nearest,
        room=room,
        stair_works=stair_works,
    )


def _works(fits: Fits) -> Works:
    """Whether there is a fit."""

    def works(
        *,
        clear: Length,
        left: BracketKind,
        right: BracketKind,
        top_more: Length = 0,
        leans: Leans = "both",
        left_deg: Degrees = 0,
        right_deg: Degrees = 0,
    ) -> bool:
        fit = fits(
            clear=clear,
            left=left,
            right=right,
            top_more=top_more,
            leans=leans,
            left_deg=left_deg,
            right_deg=right_deg,
        )
        return fit is not None

    return works
