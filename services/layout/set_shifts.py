"""A leg whose posts are to be set and cannot: what that is settled may shift, and how little."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from schemas.lengths import Length
from schemas.site import Correction, Option, Stair
from schemas.wording import joined, say
from services.layout.centre_line import CentreLeg
from services.layout.equal_bays import fewest_bays
from services.layout.given import Site
from services.layout.post_moves import place_posts, with_bays
from services.layout.rooms import Room
from services.layout.shifts import SHIFT, smallest_shifts
from services.layout.stretches import SAME_PLACE, Stretch
from services.tape import as_written, text_with_unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """What stands between two stretches and shifts as one."""

    name: str
    pointers: tuple[tuple[str, Length, int], ...]
    """Figures of the submission that say where it stands, and 1 or -1: how they grow with a shift
    away from the leg's zero. None: it stays."""


def smallest_shift(
    site: Site, leg: CentreLeg, stretches: Sequence[Stretch], rooms: Sequence[Room]
) -> Option | None:
    """The answer that shifts settled posts as little as makes every bay of the leg legal.

    Args:
        site: For the tape and the narrowest opening that is railed.
        leg: The leg.
        stretches: All of it.
        rooms: The same stretches as they are to be filled.
    """
    railed = [
        number
        for number, (stretch, room) in enumerate(zip(stretches, rooms, strict=True))
        if stretch.thing is None and room.clear >= site.narrow
    ]
    settled = _settled(site, leg, stretches, railed)
    if not any(one.pointers for one in settled):
        return None
    step = site.job.step
    shifts = smallest_shifts(
        [_can_be(rooms[number]) for number in railed],
        may_move=[bool(one.pointers) for one in settled],
        farthest=SHIFT // step,
    )
    if shifts is None or not any(shifts):
        return None
    moved = [shift * step for shift in shifts]
    for number, left, right in zip(railed, moved, moved[1:], strict=False):
        if place_posts(_shifted(rooms[number], left, right)) is None:
            return None
    return _option(settled, moved, step=step)


def _can_be(room: Room) -> Callable[[int], bool]:
    """Whether the stretch, so many marks wider, can be divided into as few bays as its length."""

    def works(wider: int) -> bool:
        there = _shifted(room, 0, wider * room.step)
        if there.clear <= 0:
            return False
        fewest = fewest_bays(clear=there.clear, longest=room.longest, sleeve=room.sleeve)
        return with_bays(there, bays=fewest, fewest=fewest) is not None

    return works


def _shifted(room: Room, left: Length, right: Length) -> Room:
    return replace(
        room,
        left=replace(room.left, at=room.left.at + left),
        right=replace(room.right, at=room.right.at + right),
    )


def _settled(
    site: Site, leg: CentreLeg, stretches: Sequence[Stretch], railed: Sequence[int]
) -> list[Settled]:
    """What is around and between the railed stretches."""
    inner = [
        _between(site, leg, stretches[before : after + 1]) for before, after in pairwise(railed)
    ]
    first = _end(leg, at_start=True, alone=railed[0] == 0)
    last = _end(leg, at_start=False, alone=railed[-1] == len(stretches) - 1)
    return [first, *inner, last]


def _end(leg: CentreLeg, *, at_start: bool, alone: bool) -> Settled:
    """A free end whose inset was given; anything else stays."""
    name, end = ("start", leg.start) if at_start else ("end", leg.end)
    stays = Settled(name="", pointers=())
    if not alone or end is None or end.kind != "post" or name not in leg.written:
        return stays
    inset = leg.zero if at_start else leg.leg.length - leg.zero - leg.length
    where = f"/lines/{leg.line}/{name}/inset"
    return Settled(
        name=say("the post at the leg's start") if at_start else say("the post at the leg's end"),
        pointers=((where, inset, 1 if at_start else -1),),
    )


def _between(site: Site, leg: CentreLeg, stretches: Sequence[Stretch]) -> Settled:
    """Fixed posts and openings that stand together."""
    low = stretches[0].right.at + leg.zero - SAME_PLACE
    high = stretches[-1].left.at + leg.zero + SAME_PLACE
    names: list[str] = []
    pointers: list[tuple[str, Length, int]] = []
    for number, at in enumerate(leg.leg.fixed_posts):
        if low <= at <= high:
            names.append(say("fixed post {number}", number=number + 1))
            pointers.append((f"{leg.pointer}/fixed_posts/{number}", at, 1))
    for thing in (stretch.thing for stretch in stretches if stretch.thing):
        kind = "stairs" if isinstance(thing, Stair) else "gates"
        number = [one.name for one in getattr(site.job, kind)].index(thing.name)
        names.append(say("{thing} with its posts", thing=thing.name))
        pointers.append((f"/{kind}/{number}/start", thing.start, 1))
    return Settled(name=joined(names) if names else "", pointers=tuple(pointers))


def _option(settled: Sequence[Settled], moved: Sequence[Length], *, step: Length) -> Option | None:
    sets = [
        Correction(pointer=pointer, value=as_written(value + sign * by, step))
        for one, by in zip(settled, moved, strict=True)
        for pointer, value, sign in one.pointers
        if by
    ]
    if any(value + sign * by < 0
           for one, by in zip(settled, moved, strict=True)
           for _, value, sign in one.pointers):  # fmt: skip
        return None
    told = [
        _toward_end(one, by, step) if by > 0 else _toward_start(one, by, step)
        for one, by in zip(settled, moved, strict=True)
        if by
    ]
    return Option(key="shift", says=joined(told), sets=tuple(sets))


def _toward_end(settled: Settled, by: Length, step: Length) -> str:
    return say(
        "{thing} shifts {by} toward the leg's end",
        thing=settled.name,
        by=text_with_unit(by, step),
    )


def _toward_start(settled: Settled, by: Length, step: Length) -> str:
    return say(
        "{thing} shifts {by} toward the leg's start",
        thing=settled.name,
        by=text_with_unit(-by, step),
    )
