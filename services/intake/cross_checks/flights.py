"""Stairs: their measures against each other."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from math import atan2, degrees

from schemas.job import Job
from schemas.lengths import INCH, Length
from schemas.site import Option, Question, Stair
from services.intake.cross_checks.asking import GO_ON, put_right, rules, set_to, stairs
from services.tape import nearest, text, text_with_unit

RISE_OFF = INCH // 4
"""Risers and total rise may differ by so much. Source: common practice."""
RUN_OFF = INCH // 2
"""Treads and total run may differ by so much. Source: common practice."""
ANGLE_OFF = 1.0
"""Read and computed slope may differ by so much. Source: common practice. [degrees]"""


def check(job: Job) -> tuple[Question, ...]:
    """Stairs whose measures disagree, with the figure that would make them agree."""
    return tuple(
        chain.from_iterable(
            (
                *_rise(job, stair, pointer),
                *_count(stair),
                *_spread(job, stair),
                *_run(job, stair, pointer),
                *_slope(stair, pointer),
            )
            for pointer, stair in stairs(job)
        )
    )


def _rise(job: Job, stair: Stair, pointer: str) -> Iterator[Question]:
    total, step = stair.total_rise, job.step
    if total is None:
        return
    each = len(stair.each_riser) == stair.risers
    made = sum(stair.each_riser) if each else stair.risers * stair.riser
    if abs(total - made) <= RISE_OFF:
        return
    one_by_one = "the risers measured one by one"
    by = one_by_one if each else f"{stair.risers} risers of {text(stair.riser, step)}"
    says = (
        f"{stair.name}: {by} make {text_with_unit(made, step)}, but the total rise was measured "
        f"{text(total, step)}: {text(abs(total - made), step)} "
        f"{'more' if total > made else 'less'}."
    )
    options: list[Option] = []
    if not each and (count := _other_count(stair, total)):
        says += f" {count} risers would make {text(count * stair.riser, step)}"
        says += _run_agrees(stair, count) + "."
        options.append(_recount(stair, pointer, count))
    riser = nearest(total / stair.risers, step)
    if not each and riser > 0:
        options.append(
            put_right(
                "riser",
                f"One riser is {text_with_unit(riser, step)}, {stair.risers} of them",
                pointer=f"{pointer}/riser",
                value=riser,
                step=step,
            )
        )
    options.append(
        put_right(
            "total-rise",
            f"The total rise is {text_with_unit(made, step)}",
            pointer=f"{pointer}/total_rise",
            value=made,
            step=step,
        )
    )
    yield Question(
        key=f"rise.{stair.name}",
        severity="stop",
        place=f"Stair {stair.name}",
        says=says,
        ask="What was misread: one riser, their count, or the total rise?",
        options=tuple(options),
    )


def _other_count(stair: Stair, total: Length) -> int | None:
    """Another whole count of risers that makes the total rise."""
    count = round(total / stair.riser)
    fits = abs(total - count * stair.riser) <= RISE_OFF
    return count if fits and count != stair.risers and 1 <= count <= 40 else None


def _run_agrees(stair: Stair, count: int) -> str:
    if stair.total_run is None:
        return ""
    agrees = abs(stair.total_run - (count - 1) * stair.tread) <= RUN_OFF
    return ", and the total run agrees with that count" if agrees else ""


def _recount(stair: Stair, pointer: str, count: int) -> Option:
    return set_to(
        "risers",
        f"There are {count} risers, not {stair.risers}",
        pointer=f"{pointer}/risers",
        value=count,
    )


def _count(stair: Stair) -> Iterator[Question]:
    if stair.each_riser and len(stair.each_riser) != stair.risers:
        yield Question(
            key=f"riser-count.{stair.name}",
            severity="stop",
            place=f"Stair {stair.name}",
            says=(
                f"{stair.name} has {stair.risers} risers, but {len(stair.each_riser)} were "
                f"measured one by one. Counting treads for risers gives one too few."
            ),
            ask="How many risers are there, landing and deck included?",
        )


def _spread(job: Job, stair: Stair) -> Iterator[Question]:
    if not stair.each_riser:
        return
    spread = max(stair.each_riser) - min(stair.each_riser)
    limits = [r.limit for r in rules(job, "stair.riser_spread") if r.limit is not None]
    if limits and spread > min(limits):
        yield Question(
            key=f"riser-spread.{stair.name}",
            severity="hold",
            place=f"Stair {stair.name}",
            says=(
                f"Risers of {stair.name} run from {text(min(stair.each_riser), job.step)} to "
                f"{text_with_unit(max(stair.each_riser), job.step)}; the recorded limit for the "
                f"difference is {text(min(limits), job.step)}. The stair itself may fail, not the "
                f"rail."
            ),
            ask="Has the owner been told, and is the stair to stay as it is?",
            options=(GO_ON,),
        )


def _run(job: Job, stair: Stair, pointer: str) -> Iterator[Question]:
    total, step = stair.total_run, job.step
    made = (stair.risers - 1) * stair.tread
    if total is None or abs(total - made) <= RUN_OFF:
        return
    says = (
        f"{stair.name}: {stair.risers} risers have {stair.risers - 1} treads of "
        f"{text(stair.tread, step)} between them, {text_with_unit(made, step)}, but the total run "
        f"was measured {text(total, step)}."
    )
    options: list[Option] = []
    count = round(total / stair.tread) + 1
    if abs(total - (count - 1) * stair.tread) <= RUN_OFF and count <= 40:
        says += f" {count - 1} treads would make it"
        says += ", as when treads are counted for risers." if count == stair.risers + 1 else "."
        options.append(_recount(stair, pointer, count))
    if stair.risers > 1 and (tread := nearest(total / (stair.risers - 1), step)) > 0:
        options.append(
            put_right(
                "tread",
                f"One tread runs {text_with_unit(tread, step)}",
                pointer=f"{pointer}/tread",
                value=tread,
                step=step,
            )
        )
    if made:
        options.append(
            put_right(
                "total-run",
                f"The total run is {text_with_unit(made, step)}",
                pointer=f"{pointer}/total_run",
                value=made,
                step=step,
            )
        )
    yield Question(
        key=f"run.{stair.name}",
        severity="stop",
        place=f"Stair {stair.name}",
        says=says,
        ask="What was misread: one tread, the count, or the total run?",
        options=tuple(options),
    )


def _slope(stair: Stair, pointer: str) -> Iterator[Question]:
    if stair.slope_deg is None:
        return
    made = degrees(atan2(stair.riser, stair.tread))
    if abs(stair.slope_deg - made) <= ANGLE_OFF:
        return
    says = (
        f"{stair.name}: riser and tread make {made:.1f} degrees, but {stair.slope_deg:g} was read "
        f"on the straightedge."
    )
    if abs(90 - stair.slope_deg - made) <= ANGLE_OFF:
        says += " It looks read from plumb instead of from level."
    yield Question(
        key=f"slope.{stair.name}",
        severity="stop",
        place=f"Stair {stair.name}",
        says=says,
        ask="Was the straightedge on all nosings, and are riser and tread right?",
        options=(
            set_to(
                "read-again",
                f"Riser and tread are right; the slope is {made:.1f} degrees",
                pointer=f"{pointer}/slope_deg",
                value=round(made, 1),
            ),
        ),
    )
