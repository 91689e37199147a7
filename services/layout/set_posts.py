"""A leg whose posts are to be set: stretches, bays, and the reason in words."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

from schemas.job import Job
from schemas.lengths import INCH, Length
from schemas.site import Gate, Question, Stair
from services.geometry.polyline import from_nearest
from services.layout.asks import Asks
from services.layout.centre_line import CentreLeg
from services.layout.dead_bands import no_places
from services.layout.post_moves import Placed, Room, place_posts
from services.layout.reasons import reason_for
from services.layout.stands import Gap, LegStands, Stand, between, post
from services.layout.stretches import Stretch, cut_leg

JOIST = 3 * INCH // 2
"""Thickness of a joist: nominal 2 in lumber. Source: American Softwood Lumber Standard, PS 20."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """What holds for all legs of a job."""

    job: Job
    asks: Asks
    narrow: Length
    """An opening under this lets no sphere through and stays without railing; 0 is unknown."""

    @property
    def sleeve(self) -> Length:
        """Sleeve, face to face. [1/320 mm]."""
        return self.job.system.sleeve.outside


def set_posts(
    site: Site, leg: CentreLeg, *, first: Stand, last: Stand, things: tuple[Stair | Gate, ...]
) -> tuple[LegStands | None, tuple[Question, ...]]:
    """Choose the posts of a leg.

    Returns:
        The leg, or the questions that stop it.
    """
    stretches, questions = cut_leg(
        leg, first=first, last=last, things=things, sleeve=site.sleeve, step=site.job.step
    )
    if questions:
        return None, questions
    stands, gaps, reasons = [first], list[Gap](), list[str]()
    stands[0] = stretches[0].left
    on_joists: list[Length] = []
    stopped: list[Question] = []
    for number, stretch in enumerate(stretches, start=1):
        room = _room(site, leg, stretch)
        if stretch.thing is not None or room.clear < site.narrow:
            gaps.append(_unrailed(stretch))
            stands.append(stretch.right)
            continue
        placed = place_posts(room, cents=site.asks.stock_cents)
        if placed is None:
            stopped.append(no_places(room, leg=leg, number=number, asks=site.asks))
            continue
        row = _row(room, placed)
        stands.extend(row[1:])
        gaps.extend(between(a, b) for a, b in itertools.pairwise(row))
        on_joists.extend(at for at in placed.centres if room.on_joist(at))
        reasons.append(reason_for(room, placed))
    if stopped:
        return None, tuple(stopped)
    return (
        LegStands(
            leg=leg,
            stands=tuple(stands),
            gaps=tuple(gaps),
            in_place=False,
            reason="; then ".join(reasons) or "Nothing but openings",
            on_joists=tuple(on_joists),
        ),
        (),
    )


def _row(room: Room, placed: Placed) -> tuple[Stand, ...]:
    posts = (post(at, where="line", sleeve=room.sleeve) for at in placed.centres)
    return (room.left, *posts, room.right)


def _unrailed(stretch: Stretch) -> Gap:
    gap = between(stretch.left, stretch.right, thing=stretch.thing)
    return gap if stretch.thing is not None else replace(gap, kind="narrow")


def _room(site: Site, leg: CentreLeg, stretch: Stretch) -> Room:
    half = -(-site.sleeve // 2)
    return Room(
        left=stretch.left,
        right=stretch.right,
        sleeve=site.sleeve,
        step=site.job.step,
        longest=site.asks.longest_clear,
        works=site.asks.bay_works,
        shut=tuple(
            (shut.start - leg.zero - half, shut.end - leg.zero + half, shut.why)
            for shut in leg.leg.keep_out
        ),
        on_joist=lambda at: is_on_joist(at, leg=leg, core=site.job.post.core),
    )


def is_on_joist(at: Length, *, leg: CentreLeg, core: Length) -> bool:
    """Whether a post core at this centre would run into a joist, where joists are known."""
    joists, first = leg.leg.joists, leg.leg.first_joist
    if joists is None or first is None:
        return False
    off = from_nearest(at + leg.zero, first=first, apart=joists)
    return abs(off) < (core + JOIST) / 2
