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
    marks: tuple[int, ...]
    """Where they stand along it, from its lower end; those near joints are not among them."""
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
    spaced = handrail_brackets(length=length, apart=apart)
    return Grip(
        length=length,
        level=level,
        treads=treads,
        brackets=spaced + joints,
        marks=bracket_marks(length=length, count=spaced, apart=apart, step=job.step),
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


def bracket_marks(*, length: int, count: int, apart: int, step: int) -> tuple[int, ...]:
    """Brackets evenly along a handrail on tape marks, one at each end, none further apart.

    Args:
        length: From end to end. [length, > 0]
        count: Brackets, at least `handrail_brackets`. [>= 2]
        apart: The most between two. [length, > 0]
        step: The tape's graduation. [length]

    Source:
        Common practice.
    """
    each = min(tape.up(-(-length // (count - 1)), step), apart)
    return (*(number * each for number in range(count - 1)), length)


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
