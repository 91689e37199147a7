"""A leg whose posts are to be set: stretches, bays, and the reason in words."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from schemas.lengths import INCH, Length
from schemas.site import Gate, Question, Stair
from schemas.wording import row, say
from services.geometry.polyline import from_nearest
from services.layout.centre_line import CentreLeg
from services.layout.dead_bands import no_places
from services.layout.given import Site
from services.layout.post_moves import place_posts
from services.layout.reasons import reason_for
from services.layout.rooms import Room
from services.layout.stands import Gap, LegStands, Stand, between, post
from services.layout.stretches import Stretch, cut_leg

JOIST = 3 * INCH // 2
"""Thickness of a joist: nominal 2 in lumber. Source: American Softwood Lumber Standard, PS 20."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Filled:
    """A stretch with its posts."""

    row: tuple[Stand, ...]
    gaps: tuple[Gap, ...]
    reason: str = ""
    on_joists: tuple[Length, ...] = ()


def _reason(parts: list[str]) -> str:
    """Why posts stand where they do, stretch by stretch."""
    if not parts:
        return say("Openings only")
    first, *others = parts
    return row((first, *(say("then {reason}", reason=part) for part in others)), "; ")


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
    filled = [_fill(site, leg, stretch, number=n) for n, stretch in enumerate(stretches, start=1)]
    stopped = tuple(part for part in filled if isinstance(part, Question))
    parts = [part for part in filled if isinstance(part, _Filled)]
    if stopped:
        return None, stopped
    whole = LegStands(
        leg=leg,
        stands=(stretches[0].left, *(stand for part in parts for stand in part.row[1:])),
        gaps=tuple(gap for part in parts for gap in part.gaps),
        in_place=False,
        reason=_reason([part.reason for part in parts if part.reason]),
        on_joists=tuple(at for part in parts for at in part.on_joists),
    )
    return whole, ()


def _fill(site: Site, leg: CentreLeg, stretch: Stretch, *, number: int) -> _Filled | Question:
    """Lay bays into a stretch, or leave its opening open."""
    room = _room(site, leg, stretch)
    if stretch.thing is not None or room.clear < site.narrow:
        return _Filled(row=(stretch.left, stretch.right), gaps=(_unrailed(stretch),))
    placed = place_posts(room, cents=site.asks.stock_cents)
    if placed is None:
        return no_places(room, leg=leg, number=number, asks=site.asks)
    posts = (post(at, where="line", sleeve=room.sleeve) for at in placed.centres)
    row = (room.left, *posts, room.right)
    return _Filled(
        row=row,
        gaps=tuple(between(a, b) for a, b in pairwise(row)),
        reason=reason_for(room, placed),
        on_joists=tuple(at for at in placed.centres if room.on_joist(at)),
    )


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
        has_room=site.asks.bay_has_room,
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
