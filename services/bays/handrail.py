"""The continuous graspable rail beside a stair: its length, its brackets, its height."""

from __future__ import annotations

from dataclasses import dataclass

from schemas.job import Job
from services import tape
from services.bays.limits import handrail_extensions, handrail_height
from services.geometry.slope import Slope


@dataclass(frozen=True, slots=True, kw_only=True)
class Grip:
    """One side's handrail. [1/320 mm]."""

    length: int
    """From end to end, its level part included."""
    level: int
    """The level part beyond the top nosing, behind an elbow; 0 where none is asked for."""
    treads: int
    """That it goes on for beyond the lowest nosing."""
    brackets: int
    height: int | None
    """Top over the nosing line, plumb; none where no rule says."""


def grip(*, job: Job, slope: Slope, run: int, apart: int, stick: int, top: int) -> Grip:
    """Plan the handrail of one side of a whole flight.

    Args:
        job: For what the rules ask beyond the nosings, and for the height.
        slope: Of the flight.
        run: Top nosing to lowest nosing, level. [length]
        apart: Brackets no further apart than this. [length, > 0]
        stick: Length of a stick; each joint has a bracket of its own near it. [length, > 0]
        top: Of the guard's top rail over the nosing line, plumb. [length]
    """
    beyond, treads = handrail_extensions(job)
    level = tape.up(beyond, job.step)
    length = level + handrail_length(slope=slope, run=run + treads * slope.run, step=job.step)
    joints = -(-(length - level) // stick) - 1
    return Grip(
        length=length,
        level=level,
        treads=treads,
        brackets=handrail_brackets(length=length, apart=apart) + joints,
        height=planned_height(job, top=top),
    )


def handrail_length(*, slope: Slope, run: int, step: int) -> int:
    """Along the slope from above the top riser to above the lowest one, rounded up.

    Args:
        slope: Of the flight.
        run: Top nosing to lowest nosing, level, (risers - 1) treads. [length]
        step: Graduation.

    Source:
        International Residential Code 2021, R311.7.8.4: continuous for the full length of the
        flight, from above the top riser to above the lowest riser.
    """
    return tape.up(slope.ceil_along(run), step)


def handrail_brackets(*, length: int, apart: int) -> int:
    """Brackets no further apart than allowed, one at each end."""
    return -(-length // apart) + 1


def planned_height(job: Job, *, top: int) -> int | None:
    """The middle of the recorded window, on a mark: site error counts to both sides.

    Where the guard's top rail stands lower than that and still inside the window, with the
    company's height margin, the handrail goes as high as it does and no higher: posts and rail
    carry it. With a least height only, that height and the margin. None: nothing is recorded,
    or two rules leave no window.

    Args:
        job: For its rules and its company's margin.
        top: Of the guard's top rail over the nosing line, plumb. [length]
    """
    window, step = handrail_height(job), job.step
    if window.least is None:
        return None
    least = tape.up(window.least + job.company.height_margin, step)
    if window.greatest is None:
        return least
    middle = tape.down((window.least + window.greatest) // 2, step)
    if middle < window.least:
        return None
    beside = tape.down(top, step)
    return beside if least <= beside < middle else middle
