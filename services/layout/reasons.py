"""Why posts stand as they do, in words for the page."""

from __future__ import annotations

from schemas.lengths import Length
from services.layout.rooms import Placed, Room, bays_of, wished_marks
from services.layout.wording import listed
from services.tape import down, text, text_with_unit

_LISTED = 4
"""More openings than this are told by the smallest and the largest."""


def reason_for(room: Room, placed: Placed) -> str:
    """The layout of a stretch, what moved its posts, and by how much."""
    openings = tuple(down(clear, room.step) for clear, _, _ in bays_of(room, placed.centres))
    if placed.bays == 1:
        said = f"One bay of {text_with_unit(openings[0], room.step)}"
    elif not placed.moved:
        said = f"{placed.bays} equal bays of {_sizes(openings, room.step)}"
    else:
        said = (
            f"{placed.bays} bays of {_sizes(openings, room.step)}: "
            f"posts moved up to {text_with_unit(placed.moved, room.step)} from equal bays "
            f"{_why(room, placed)}"
        )
    if placed.bays > placed.fewest:
        said += f"; {placed.fewest} would be short enough, but not with legal end margins"
    stuck = sum(room.on_joist(at) for at in placed.centres)
    return f"{said}; {stuck} on a joist" if stuck else said


def _why(room: Room, placed: Placed) -> str:
    if placed.saved:
        return f"because that saves {placed.saved / 100:.2f} of stock"
    if placed.dodged:
        return "to stand beside a joist"
    if placed.eased:
        return "so that each bears posts set a little off"
    equal = tuple(mark * room.step for mark in wished_marks(room, bays=placed.bays))
    causes = [f"no post may stand at {why}" for why in _shut_by(room, equal)]
    if not all(room.fits(*bay) for bay in bays_of(room, equal)):
        size = max(clear for clear, _, _ in bays_of(room, equal))
        causes.append(f"bays of {text(size, room.step)} leave no legal end margins")
    return f"because {listed(tuple(causes))}"


def _shut_by(room: Room, centres: tuple[Length, ...]) -> list[str]:
    return [why for start, end, why in room.shut if any(start < at < end for at in centres)]


def _sizes(openings: tuple[Length, ...], step: Length) -> str:
    """``61 1/4 in``, or each by itself where they differ by more than a tape mark."""
    least, most = min(openings), max(openings)
    if most - least > step and len(openings) > _LISTED:
        return f"{text(least, step)} to {text_with_unit(most, step)}"
    if most - least > step:
        return listed(tuple(text(size, step) for size in openings))
    if most == least:
        return text_with_unit(most, step)
    return f"{text(least, step)} to {text_with_unit(most, step)}"
