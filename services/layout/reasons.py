"""Why posts stand as they do, in words for the page."""

from __future__ import annotations

from schemas.lengths import Length
from schemas.wording import counted, joined, say
from services.layout.asks import Bill
from services.layout.equal_bays import fewest_bays
from services.layout.rooms import Placed, Room, bays_of, wished_marks
from services.tape import down, text, text_with_unit

_LISTED = 4
"""More openings than this are told by the smallest and the largest."""


def reason_for(room: Room, placed: Placed) -> str:
    """The layout of a stretch, what moved its posts, and by how much."""
    openings = tuple(down(clear, room.step) for clear, _, _ in bays_of(room, placed.centres))
    said: str
    if placed.bays == 1:
        said = say("One bay of {openings}", openings=text_with_unit(openings[0], room.step))
    elif not placed.moved:
        said = say(
            "{bays} equal bays of {sizes}", bays=placed.bays, sizes=_sizes(openings, room.step)
        )
    else:
        said = say(
            "{bays} bays of {sizes}: posts moved up to {moved} from equal bays {why}",
            bays=placed.bays,
            sizes=_sizes(openings, room.step),
            moved=text_with_unit(placed.moved, room.step),
            why=_why(room, placed),
        )
    if placed.bays > placed.fewest:
        said = counted(
            "{said}; {count} bay would be short enough, but not with legal end margins",
            "{said}; {count} bays would be short enough, but not with legal end margins",
            said=said,
            count=placed.fewest,
        )
    if room.longest < room.system_longest and placed.bays > _fewest_of_system(room):
        said = say(
            "{said}; no bay over {longest}, so that the deck does not fall too far under its rail",
            said=said,
            longest=text_with_unit(down(room.longest, room.step), room.step),
        )
    stuck = sum(room.on_joist(at) for at in placed.centres)
    return say("{said}; {stuck} on a joist", said=said, stuck=stuck) if stuck else said


def _fewest_of_system(room: Room) -> int:
    return fewest_bays(clear=room.clear, longest=room.system_longest, sleeve=room.sleeve)


def _why(room: Room, placed: Placed) -> str:
    if placed.stock:
        return _instead(placed.stock, room.step)
    if placed.dodged:
        return say("to stand beside a joist")
    if placed.eased:
        return say("so that each bears posts set a little off")
    equal = tuple(mark * room.step for mark in wished_marks(room, bays=placed.bays))
    causes = [say("no post may stand at {why}", why=why) for why in _shut_by(room, equal)]
    if not all(room.fits(*bay) for bay in bays_of(room, equal)):
        size = max(clear for clear, _, _ in bays_of(room, equal))
        causes.append(say("bays of {size} leave no legal end margins", size=text(size, room.step)))
    return say("because {causes}", causes=joined(causes))


def _instead(stock: tuple[Bill, Bill], step: Length) -> str:
    """The stock in which two bills differ."""
    before, after = (dict(bill.kits) for bill in stock)

    def only(own: dict[Length, int], other: dict[Length, int]) -> str:
        more = [(size, count - other.get(size, 0)) for size, count in sorted(own.items())]
        parts = [
            say("{count} of {size}", count=count, size=text_with_unit(size, step))
            for size, count in more
            if count > 0
        ]
        return joined(parts) if parts else ""

    new, old = only(after, before), only(before, after)
    if not new:
        return say("because the level rails then take {old} of stock less", old=old)
    return say(
        "because the level rails then take {new} instead of {old} of stock", new=new, old=old
    )


def _shut_by(room: Room, centres: tuple[Length, ...]) -> list[str]:
    return [why for start, end, why in room.shut if any(start < at < end for at in centres)]


def _sizes(openings: tuple[Length, ...], step: Length) -> str:
    """``61 1/4 in``, or each by itself where they differ by more than a tape mark."""
    least, most = min(openings), max(openings)
    if most - least > step and len(openings) > _LISTED:
        return say("{least} to {most}", least=text(least, step), most=text_with_unit(most, step))
    if most - least > step:
        return joined(text(size, step) for size in openings)
    if most == least:
        return text_with_unit(most, step)
    return say("{least} to {most}", least=text(least, step), most=text_with_unit(most, step))
