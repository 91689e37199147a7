"""The question of a stretch in which no legal bays exist, with the nearest that would."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from schemas.lengths import INCH, Length
from schemas.site import LineEnd, Option, Question
from schemas.wording import either, row, say
from services.layout.asks import Asks
from services.layout.centre_line import CentreLeg
from services.layout.equal_bays import fewest_bays
from services.layout.post_moves import place_posts, with_bays
from services.layout.rooms import Room, leaning
from services.layout.stands import Stand
from services.layout.wording import mend
from services.tape import down, text, text_with_unit, up
from services.wording.terms import term

NEAREST = 6 * INCH
"""No stretch is said to work by more than so much. Source: common practice."""
STRIDE = INCH // 4
"""Moves are first looked at so far apart."""


def no_places(room: Room, *, leg: CentreLeg, number: int, asks: Asks) -> Question:
    """Ask what may move, naming the nearest openings that could be built.

    Args:
        room: The stretch.
        leg: Its leg.
        number: Which stretch of the leg, from 1.
        asks: For the nearest legal openings of a single bay.
    """
    shut = _is_shut(room)
    roomy = replace(room, works=room.has_room) if room.has_room else None
    narrower, wider = (0, 0) if shut else _nearest(room, roomy, asks=asks)
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
        cause=_cause(room, shut=shut),
    )
    near = [_near(moves, room, roomy, by=(-narrower, wider), spare=asks.room)] if moves else []
    suffix = f".{number}" if number > 1 else ""
    return Question(
        key=f"dead-band.{leg.leg.name}{suffix}",
        severity="stop",
        place=say("Leg {leg}", leg=leg.leg.name),
        says=row((says, *near), " "),
        ask=say("Which post may move, or which measure is wrong?"),
        options=tuple(_options(room, leg=leg, narrower=narrower, wider=wider)),
    )


def with_shift(
    question: Question, shift: Option | None, *, spare: Length = 0, step: Length = 1
) -> Question:
    """The same question, the smallest shift that mends the whole leg first among its answers.

    Args:
        question: Of one stretch.
        shift: Of what is settled on the leg; none: there is none.
        spare: What every bay then has to spare, either way; 0: nothing.
        step: Graduation.
    """
    if shift is None:
        return question
    sets = {option.sets for option in question.options}
    smallest = (
        say(
            "The smallest shift of what is settled that makes every bay of the leg legal, with "
            "{spare} to spare either way: {shift}.",
            spare=text_with_unit(up(spare, step), step),
            shift=shift.says,
        )
        if spare
        else say(
            "The smallest shift of what is settled makes every bay of the leg legal: {shift}.",
            shift=shift.says,
        )
    )
    says = row((question.says, smallest), " ")
    options = question.options if shift.sets in sets else (shift, *question.options)
    return question.model_copy(update={"says": says, "options": options})


def _is_shut(room: Room) -> bool:
    """Whether posts find no place even for rails without holes."""
    return place_posts(replace(room, works=lambda **_: True)) is None


def _cause(room: Room, *, shut: bool) -> str:
    bays = fewest_bays(clear=room.clear, longest=room.longest, sleeve=room.sleeve)
    size = text_with_unit(room.clear, room.step)
    if shut:
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


def _near(
    moves: Sequence[str],
    room: Room,
    roomy: Room | None,
    *,
    by: tuple[Length, Length],
    spare: Length,
) -> str:
    """The moves in words, with what they leave for posts set off their places."""
    if roomy is None or not all(_works(roomy, one) for one in by if one):
        return say("Nearest that works: {moves}.", moves=either(moves))
    return say(
        "Nearest that works with {spare} to spare either way: {moves}.",
        spare=text_with_unit(up(spare, room.step), room.step),
        moves=either(moves),
    )


def _nearest(room: Room, roomy: Room | None, *, asks: Asks) -> tuple[Length, Length]:
    """How much narrower and wider the stretch would have to be; 0 for no answer."""
    left, right = room.left.after, room.right.before
    wider = (left.wider_at_top or 0) + (right.wider_at_top or 0)
    if max(room.clear, room.clear + wider) <= room.longest:
        at = down(room.clear, room.step)
        more = down(room.clear + wider, room.step) - at
        low, high = asks.nearest_legal(
            clear=at,
            left=left.bracket,
            right=right.bracket,
            top_more=more,
            leans=leaning(left, right, more=more),
            left_deg=left.mitre_deg,
            right_deg=right.mitre_deg,
        )
        return (at - low if low else 0), (high - at if high else 0)
    return _first_of(room, roomy, -1), _first_of(room, roomy, 1)


def _first_of(room: Room, roomy: Room | None, sign: int) -> Length:
    """One with something to spare, where there is any."""
    return (roomy and _first_that_works(roomy, sign)) or _first_that_works(room, sign)


def _works(room: Room, by: Length) -> bool:
    """Whether the stretch, so much wider, can be divided into as few bays as its length asks."""
    there = replace(room, right=replace(room.right, at=room.right.at + by))
    if there.clear <= 0:
        return False
    fewest = fewest_bays(clear=there.clear, longest=room.longest, sleeve=room.sleeve)
    return with_bays(there, bays=fewest, fewest=fewest) is not None


def _first_that_works(room: Room, sign: int) -> Length:
    """Looked for at every quarter inch, then back again at every mark."""
    stride = max(1, STRIDE // room.step) * room.step
    found = next((by for by in range(stride, NEAREST + 1, stride) if _works(room, sign * by)), 0)
    finer = range(found - stride + room.step, found, room.step) if found else ()
    return next((by for by in finer if _works(room, sign * by)), found)


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
