"""Thermal movement of a rail against the gaps left at its ends."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from schemas.bays import LevelBay, Movement, StairBay
from schemas.errors import GeometryError
from schemas.job import Job
from schemas.rail_system import RailSystem
from schemas.site import Option, Question
from schemas.wording import row, say
from services import tape


def free_movement(*, length: int, per_degf: float, degf: float) -> Fraction:
    """Change of length of an unheld part: length * coefficient * difference.

    Args:
        length: [length, >= 0]
        per_degf: Linear expansion. [1/degF, >= 0]
        degf: Difference of temperature. [degF, >= 0]

    Raises:
        GeometryError: A value under nothing.

    Source:
        Linear thermal expansion, as in any textbook of materials; coefficients are the rail
        maker's.
    """
    if min(length, per_degf, degf) < 0:
        msg = f"no such movement: {length=}, {per_degf=}, {degf=}"
        raise GeometryError(msg)
    return length * Fraction(str(per_degf)) * Fraction(str(degf))


def movement(*, system: RailSystem, cut: int, room: int, step: int) -> Movement:
    """The whole range from coldest to hottest, against both end gaps together.

    Args:
        system: For the coefficient and the range of temperature.
        cut: The longer rail of the bay. [length]
        room: Both end gaps of the tighter rail together, along the rail. [length]
        step: Graduation; the movement is printed rounded up to it.
    """
    free = free_movement(
        length=cut,
        per_degf=system.expansion_per_degf,
        degf=system.hottest_degf - system.coldest_degf,
    )
    return Movement(free=tape.up(free, step), room=room, fits=free <= room)


def of_the_day(job: Job, bays: Iterable[LevelBay | StairBay]) -> Iterator[Question]:
    """Rails cut on the forecast day that will not have room when it is hottest.

    growth = length * coefficient * (hottest - the day's lowest), against both end gaps.
    """
    if job.forecast is None:
        return
    low, _ = job.forecast.degf
    tight = [bay for bay in bays if _growth(job, bay, low) > bay.movement.room]
    if not tight:
        return
    worst = max(tight, key=lambda bay: _growth(job, bay, low) - bay.movement.room)
    names = row(bay.name for bay in tight)
    yield Question(
        key="movement.day",
        severity="hold",
        place=names if len(names) <= 200 else say("{bays} bays", bays=len(tight)),
        says=say(
            "Cut at {low} degF, the rails of {worst} grow by {growth} until it is "
            "hottest; both ends together leave {room}.",
            low=f"{low:.0f}",
            worst=worst.name,
            growth=tape.text_with_unit(tape.up(_growth(job, worst, low), job.step), job.step),
            room=tape.text(worst.movement.room, job.step),
        ),
        ask=say("Are they cut shorter, or on a warmer day?"),
        options=(
            Option(key="go-on", says=say("Go on; the lead asks the rail maker's instructions")),
        ),
    )


def _growth(job: Job, bay: LevelBay | StairBay, low_degf: float) -> Fraction:
    if isinstance(bay, LevelBay):
        system, length = job.system, max(bay.bottom_cut, bay.top_cut)
    else:
        system, length = job.stair_system, bay.cut
    return free_movement(
        length=length,
        per_degf=system.expansion_per_degf,
        degf=max(0.0, system.hottest_degf - low_degf),
    )
