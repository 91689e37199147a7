"""A leg whose posts are to be set: stretches, bays, and the reason in words."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from schemas.lengths import INCH, Length
from schemas.site import Gate, Question, Stair
from schemas.wording import row, say
from services.geometry.polyline import from_nearest
from services.layout.centre_line import CentreLeg
from services.layout.dead_bands import no_places, with_shift
from services.layout.given import Site
from services.layout.post_moves import place_posts
from services.layout.reasons import reason_for
from services.layout.rooms import Placed, Room
from services.layout.set_shifts import smallest_shift
from services.layout.stands import Gap, LegStands, Stand, between, post
from services.layout.stretches import Stretch, cut_leg

JOIST = 3 * INCH // 2
"""Thickness of a joist: nominal 2 in lumber. Source: American Softwood Lumber Standard, PS 20."""

SHORTEST = 36 * INCH
"""Bays are made no shorter than this for the sake of a deck's fall. Source: common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A stretch of a leg."""

    stretch: Stretch
    room: Room
    placed: Placed | None
    """Its posts; none: it stays without railing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartedLeg:
    """A leg with its stretches filled, the posts of which may still move."""

    leg: CentreLeg
    parts: tuple[Part, ...]

    def whole(self) -> LegStands:
        """The leg as it stands now."""
        rows = [_row(part) for part in self.parts]
        placed = [(part.room, part.placed) for part in self.parts if part.placed]
        return LegStands(
            leg=self.leg,
            stands=(rows[0][0], *(stand for row in rows for stand in row[1:])),
            gaps=tuple(
                gap for part, row in zip(self.parts, rows, strict=True) for gap in _gaps(part, row)
            ),
            in_place=False,
            reason=_reason([reason_for(*one) for one in placed]),
            on_joists=tuple(
                at for room, posts in placed for at in posts.centres if room.on_joist(at)
            ),
        )


def _reason(parts: list[str]) -> str:
    """Why posts stand where they do, stretch by stretch."""
    if not parts:
        return say("Openings only")
    first, *others = parts
    return row((first, *(say("then {reason}", reason=part) for part in others)), "; ")


def set_posts(
    site: Site, leg: CentreLeg, *, first: Stand, last: Stand, things: tuple[Stair | Gate, ...]
) -> tuple[PartedLeg | None, tuple[Question, ...]]:
    """Choose the posts of a leg.

    Returns:
        The leg, or the questions that stop it.
    """
    stretches, questions = cut_leg(
        leg,
        first=first,
        last=last,
        things=things,
        sleeve=site.sleeve,
        step=site.job.step,
        pointers={
            **{stair.name: f"/stairs/{at}" for at, stair in enumerate(site.job.stairs)},
            **{gate.name: f"/gates/{at}" for at, gate in enumerate(site.job.gates)},
        },
    )
    if questions:
        return None, questions
    filled = [_fill(site, leg, stretch, number=n) for n, stretch in enumerate(stretches, start=1)]
    stopped = [part for part in filled if isinstance(part, Question)]
    if stopped:
        rooms = [_room(site, leg, stretch) for stretch in stretches]
        roomy = [replace(room, works=room.has_room) for room in rooms if room.has_room]
        spare = smallest_shift(site, leg, stretches, roomy) if len(roomy) == len(rooms) else None
        shift = spare or smallest_shift(site, leg, stretches, rooms)
        room = site.asks.room if spare else 0
        return None, tuple(
            with_shift(one, shift, spare=room, step=site.job.step) for one in stopped
        )
    return PartedLeg(leg=leg, parts=tuple(part for part in filled if isinstance(part, Part))), ()


def _fill(site: Site, leg: CentreLeg, stretch: Stretch, *, number: int) -> Part | Question:
    """Lay bays into a stretch, or leave its opening open."""
    room = _room(site, leg, stretch)
    if stretch.thing is not None or room.clear < site.narrow:
        return Part(stretch=stretch, room=room, placed=None)
    placed = place_posts(room)
    if placed is None:
        return no_places(room, leg=leg, number=number, asks=site.asks)
    return Part(stretch=stretch, room=room, placed=placed)


def _row(part: Part) -> tuple[Stand, ...]:
    centres = part.placed.centres if part.placed else ()
    posts = (post(at, where="line", sleeve=part.room.sleeve) for at in centres)
    return (part.stretch.left, *posts, part.stretch.right)


def _gaps(part: Part, row: tuple[Stand, ...]) -> tuple[Gap, ...]:
    if part.placed:
        return tuple(between(a, b) for a, b in pairwise(row))
    thing = part.stretch.thing
    gap = between(*row, thing=thing)
    return (gap if thing is not None else replace(gap, kind="narrow"),)


def _room(site: Site, leg: CentreLeg, stretch: Stretch) -> Room:
    half = -(-site.sleeve // 2)
    return Room(
        left=stretch.left,
        right=stretch.right,
        sleeve=site.sleeve,
        step=site.job.step,
        longest=_longest(site, leg),
        system_longest=site.asks.longest_clear,
        works=site.asks.bay_works,
        has_room=site.asks.bay_has_room,
        shut=tuple(
            (shut.start - leg.zero - half, shut.end - leg.zero + half, shut.why)
            for shut in leg.leg.keep_out
        ),
        on_joist=lambda at: is_on_joist(at, leg=leg, core=site.job.post.core),
    )


def _longest(site: Site, leg: CentreLeg) -> Length:
    """Greatest opening of a bay on this leg: the system's, or less where the deck falls.

    A bay's share of the fall is fall * opening / leg; where that would ask for bays under
    `SHORTEST` the fall is left to be asked about.
    """
    longest, most, fall = site.asks.longest_clear, site.asks.most_fall, leg.leg.fall
    if most is None or fall == 0:
        return longest
    by_fall = most * leg.length // fall
    return min(longest, by_fall) if by_fall >= SHORTEST else longest


def is_on_joist(at: Length, *, leg: CentreLeg, core: Length) -> bool:
    """Whether a post core at this centre would run into a joist, where joists are known."""
    joists, first = leg.leg.joists, leg.leg.first_joist
    if joists is None or first is None:
        return False
    off = from_nearest(at + leg.zero, first=first, apart=joists)
    return abs(off) < (core + JOIST) / 2
