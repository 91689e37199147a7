"""Moving posts: from equal bays to the nearest places where every bay can be built.

Order of what counts: every bay legal and no post where none may stand; fewest posts; least
price of stock, where that is asked (`cheaper`); equal look; no post on a joist; bays that bear
posts set a little off.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

from schemas.lengths import INCH, Length
from services.layout.chains import Links, nearest_chain
from services.layout.equal_bays import fewest_bays
from services.layout.rooms import (
    FARTHEST,
    Placed,
    Room,
    bays_of,
    greatest_move,
    walled_in,
    wished_marks,
)
from services.layout.stands import post

LOOKS_EQUAL = 3 * INCH
"""Bays whose posts moved no further still look equal. Source: common practice."""
SYMMETRY = INCH // 2
"""A symmetrical layout may move its posts so much further. Source: common practice."""
MORE_BAYS = 3
"""So many bays more than the fewest are tried."""


def place_posts(room: Room) -> Placed | None:
    """Find the posts of a stretch; None where no legal places exist within the limits."""
    fewest = fewest_bays(clear=room.clear, longest=room.longest, sleeve=room.sleeve)
    for bays in range(fewest, fewest + MORE_BAYS + 1):
        placed = with_bays(room, bays=bays, fewest=fewest)
        if placed is not None:
            return placed
    return None


def with_bays(room: Room, *, bays: int, fewest: int) -> Placed | None:
    """So many bays at the legal places nearest to equal ones; None where there are none."""
    if bays == 1:
        if not room.fits(room.clear, room.left.after, room.right.before):
            return None
        return Placed(centres=(), bays=1, moved=0, fewest=fewest)
    wished = wished_marks(room, bays=bays)
    plain = _settle(room, wished, shut=room.is_shut)
    if plain is None:
        return None
    best, dodged, shut = plain, False, room.is_shut
    if any(room.on_joist(mark * room.step) for mark in plain):

        def shut_or_joist(at: Length) -> bool:
            return room.is_shut(at) or room.on_joist(at)

        beside = _settle(room, wished, shut=shut_or_joist)
        limit = LOOKS_EQUAL // room.step
        if greatest_move(plain, wished) > limit:  # they look unequal anyway
            limit += greatest_move(plain, wished)
        if beside and greatest_move(beside, wished) <= limit:
            best, dodged = beside, greatest_move(beside, wished) > greatest_move(plain, wished)
            shut = shut_or_joist
    eased = _eased(room, best, wished, shut=shut)
    best, dodged = eased or best, dodged and eased is None
    return Placed(
        centres=tuple(mark * room.step for mark in best),
        bays=bays,
        moved=greatest_move(best, wished) * room.step,
        fewest=fewest,
        dodged=dodged,
        eased=eased is not None,
    )


def _eased(
    room: Room, best: tuple[int, ...], wished: tuple[int, ...], *, shut: Callable[[Length], bool]
) -> tuple[int, ...] | None:
    """Places that still look equal where every bay bears posts set off, if these do not."""
    if room.has_room is None:
        return None
    roomy = replace(room, works=room.has_room)
    centres = tuple(mark * room.step for mark in best)
    if all(roomy.fits(*bay) for bay in bays_of(roomy, centres)):
        return None
    marks = _settle(roomy, wished, shut=shut)
    limit = max(greatest_move(best, wished) + SYMMETRY // room.step, LOOKS_EQUAL // room.step)
    return marks if marks and greatest_move(marks, wished) <= limit else None


def _settle(
    room: Room, wished: tuple[int, ...], *, shut: Callable[[Length], bool]
) -> tuple[int, ...] | None:
    """The nearest legal marks; symmetrical ones where they are hardly further."""
    farthest = FARTHEST // room.step
    if any(walled_in(room, mark * room.step, within=farthest * room.step) for mark in wished):
        return None
    links = _links(room, shut=shut)
    nearest = nearest_chain(wished, links=links, farthest=farthest)
    if nearest is None or nearest == wished:
        return nearest
    limit = min(farthest, greatest_move(nearest, wished) + SYMMETRY // room.step)
    return _mirrored(room, wished, links=links, farthest=limit) or nearest


def _links(room: Room, *, shut: Callable[[Length], bool]) -> Links:
    step = room.step
    line = post(0, where="line", sleeve=room.sleeve)
    return Links(
        may_stand=lambda mark: not shut(mark * step),
        first=lambda mark: room.fits(
            mark * step - line.before.reach - room.left.right, room.left.after, line.before
        ),
        between=lambda marks: room.fits(
            marks * step - line.before.reach - line.after.reach, line.after, line.before
        ),
        last=lambda mark: room.fits(
            room.right.left - mark * step - line.after.reach, line.after, room.right.before
        ),
    )


def _mirrored(
    room: Room, wished: tuple[int, ...], *, links: Links, farthest: int
) -> tuple[int, ...] | None:
    """The nearest chain which reads the same from both ends, to a tape mark.

    Half the posts are searched; the others stand at the same distance from the far end,
    and a middle post stands at mid-length.
    """
    both = (room.left.right + room.right.left) // room.step  # a mark and its mirror make this
    half = len(wished) // 2
    middle = (both // 2,) if len(wished) % 2 else ()
    if not half or any(not links.may_stand(mark) for mark in middle):
        return None

    def meets(mark: int) -> bool:
        inner = (mark, *middle, both - mark)
        return all(links.between(b - a) for a, b in pairwise(inner))

    chain = nearest_chain(
        wished[:half],
        links=Links(
            may_stand=lambda mark: links.may_stand(mark) and links.may_stand(both - mark),
            first=lambda mark: links.first(mark) and links.last(both - mark),
            between=links.between,
            last=meets,
        ),
        farthest=farthest,
    )
    if chain is None:
        return None
    whole = (*chain, *middle, *(both - mark for mark in reversed(chain)))
    return whole if greatest_move(whole, wished) <= farthest else None
