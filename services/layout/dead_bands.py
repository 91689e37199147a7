"""The question of a stretch in which no legal bays exist, with the nearest that would."""

from __future__ import annotations

from dataclasses import replace
from itertools import count, takewhile

from schemas.lengths import Length
from schemas.site import LineEnd, Option, Question
from schemas.wording import either, row, say
from services.layout.asks import Asks
from services.layout.centre_line import CentreLeg
from services.layout.equal_bays import fewest_bays
from services.layout.post_moves import place_posts
from services.layout.rooms import FARTHEST, Room, leaning
from services.layout.stands import Stand
from services.layout.wording import mend
from services.tape import down, text, text_with_unit
from services.wording.terms import term


def no_places(room: Room, *, leg: CentreLeg, number: int, asks: Asks) -> Question:
    """Ask what may move, naming the nearest openings that could be built.

    Args:
        room: The stretch.
        leg: Its leg.
        number: Which stretch of the leg, from 1.
        asks: For the nearest legal openings of a single bay.
    """
    narrower, wider = _nearest(room, asks=asks)
    moves = [
        say(
            "{clear} ({by} {word})",
            clear=text_with_unit(room.clear + by, room.step),
            by=text(abs(by), room.step),
            word=term(word),
        )
        for by, word in ((-narrower, "narrower"), (wider, "wider"))
        if by
    ]
    says = say(
        "Leg {leg}, from {start} to {end} of its measure: {cause}.",
        leg=leg.leg.name,
        start=text(room.left.right + leg.zero, room.step),
        end=text_with_unit(room.right.left + leg.zero, room.step),
        cause=_cause(room),
    )
    near = [say("Nearest that works: {moves}.", moves=either(moves))] if moves else []
    suffix = f".{number}" if number > 1 else ""
    return Question(
        key=f"dead-band.{leg.leg.name}{suffix}",
        severity="stop",
        place=say("Leg {leg}", leg=leg.leg.name),
        says=row((says, *near), " "),
        ask=say("Which post may move, or which measure is wrong?"),
        options=tuple(_options(room, leg=leg, narrower=narrower, wider=wider)),
    )


def _cause(room: Room) -> str:
    bays = fewest_bays(clear=room.clear, longest=room.longest, sleeve=room.sleeve)
    size = text_with_unit(room.clear, room.step)
    free = replace(room, works=lambda **_: True)
    if place_posts(free) is None:
        return say(
            "an opening of {size} asks for {bays} bays, and no posts may stand where they must",
            size=size,
            bays=bays,
        )
    if bays == 1:
        return say("an opening of {size} leaves the rail no legal end margins", size=size)
    return say(
        "an opening of {size} cannot be divided so that every bay has legal end margins", size=size
    )


def _nearest(room: Room, *, asks: Asks) -> tuple[Length, Length]:
    """How much narrower and wider the stretch would have to be; 0 for no answer."""
    left, right = room.left.after, room.right.before
    wider = left.wider_at_top + right.wider_at_top
    if max(room.clear, room.clear + wider) <= room.longest:
        at = down(room.clear, room.step)
        low, high = asks.nearest_legal(
            clear=at,
            left=left.bracket,
            right=right.bracket,
            top_more=down(room.clear + wider, room.step) - at,
            leans=leaning(left, right),
            left_deg=left.mitre_deg,
            right_deg=right.mitre_deg,
        )
        return (at - low if low else 0), (high - at if high else 0)
    return _first_that_works(room, -1), _first_that_works(room, 1)


def _first_that_works(room: Room, sign: int) -> Length:
    for by in takewhile(lambda by: by <= FARTHEST, count(room.step, room.step)):
        moved = replace(room.right, at=room.right.at + sign * by)
        if moved.left <= room.left.right:
            return 0
        if place_posts(replace(room, right=moved)) is not None:
            return by
    return 0


def _options(room: Room, *, leg: CentreLeg, narrower: Length, wider: Length) -> list[Option]:
    """Answers that set one figure: a free end's inset."""
    found = []
    for name, end, stand in (("start", leg.start, room.left), ("end", leg.end, room.right)):
        if name not in leg.written or not _is_free_end(end, stand):
            continue
        inset = leg.zero if name == "start" else leg.leg.length - leg.zero - leg.length
        for by, word in ((narrower, "in"), (-wider, "out")):
            if by and inset + by >= 0:
                found.append(
                    mend(
                        f"{name}-{word}",
                        say(
                            "Move the post at the {end} {by} {word}",
                            end=term(name),
                            by=text_with_unit(abs(by), room.step),
                            word=term(word),
                        ),
                        pointer=f"/lines/{leg.line}/{name}/inset",
                        value=inset + by,
                        step=room.step,
                    )
                )
    return found


def _is_free_end(end: LineEnd | None, stand: Stand) -> bool:
    return end is not None and end.kind == "post" and stand.where == "end"
