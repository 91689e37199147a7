"""What the plan comes to, wherever a rule may ask: legs, level bays, gates, loads."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from schemas.bays import Bays, LevelBay
from schemas.code_profile import Measured
from schemas.job import Job
from schemas.layout import LaidLeg, Layout
from schemas.site import Gate
from services.compliance.measure_stair import of_stairs
from services.compliance.measured import Measure, widest
from services.compliance.wording import found

_LOADS: tuple[Measured, ...] = ("load.point", "load.line", "load.infill")
_RIM = ("inside-rim", "outside-rim")


def measure(job: Job, layout: Layout, bays: Bays) -> tuple[Measure, ...]:
    """Every figure of the plan that a code profile may speak of, in the plan's own order.

    Args:
        job: The job, for measures that the plan only carries along.
        layout: Legs with their drops.
        bays: Bays with their gaps and heights.
    """
    drops = {leg.name: leg.drop for leg in layout.legs}
    return (
        *(of_leg(leg, step=job.step) for leg in layout.legs),
        *(one for bay in bays.level for one in of_level_bay(bay, job=job, drop=drops.get(bay.leg))),
        *of_stairs(job, bays),
        *(of_gate(gate, drop=drops.get(gate.leg)) for gate in job.gates),
        *(of_load(load) for load in _LOADS),
        of_load("load.vertical", by_rule=True),
        *of_what_is_said(job, layout),
    )


def of_leg(leg: LaidLeg, *, step: int) -> Measure:
    """The drop beside a leg, which decides whether a guard is asked for."""
    says = "not measured" if leg.drop is None else found(leg.drop, step=step, worse="up")
    return Measure(
        measures="guard.drop",
        place=f"leg {leg.name}",
        says=says,
        low=leg.drop,
        drop=leg.drop,
        planned=True,
    )


def of_level_bay(bay: LevelBay, *, job: Job, drop: int | None) -> tuple[Measure, ...]:
    """Height, widest opening and lowest foothold of a level bay.

    The height is taken at the high side of a deck that falls, the gap below the bottom rail
    at the low side: each where it is worst.
    """
    foothold = bay.sweep_low + job.system.level.bottom_depth
    ends = {
        "between balusters": bay.gap_between,
        "left end": bay.gap_left,
        "right end": bay.gap_right,
    }
    return (
        Measure(
            measures="guard.height",
            place=bay.name,
            says=found(bay.top, step=job.step, worse="down"),
            low=bay.top,
            drop=drop,
        ),
        widest(
            {**ends, "under the bottom rail": bay.sweep_low},
            measures="guard.opening",
            place=bay.name,
            step=job.step,
            drop=drop,
        ),
        replace(
            widest(ends, measures="guard.opening_above", place=bay.name, step=job.step, drop=drop),
            by_rule=True,
        ),
        Measure(
            measures="guard.foothold",
            place=bay.name,
            says=f"bottom rail's top {found(foothold, step=job.step, worse='up')} up",
            low=foothold,
            drop=drop,
            note="Balusters stand plumb; what else can be climbed is read on site.",
        ),
    )


def of_gate(gate: Gate, *, drop: int | None) -> Measure:
    """A gate's openings, which follow from hardware that is hung on site."""
    pool = "" if gate.pool_barrier is False else " A pool barrier has rules of its own: ask."
    return Measure(
        measures="guard.opening",
        place=f"gate {gate.name}",
        says="not known before the gate hangs",
        drop=drop,
        note=f"Hinge side, latch side and under the gate, closed.{pool}",
    )


def of_what_is_said(job: Job, layout: Layout) -> Iterator[Measure]:
    """What rules put in words only, wherever the job has the thing they speak of."""
    yield _said("said.guards", "all guards")
    yield from (_said("said.handrails", stair.name) for stair in job.stairs if stair.handrail)
    if all(post.in_place for post in layout.posts):
        return
    mount = job.detail.mount if job.detail else None
    yield _said("said.posts", "all posts")
    if mount is None or mount in _RIM:
        yield _said("said.posts_at_side", "all posts")
    if mount is None or mount not in _RIM:
        yield _said("said.posts_on_top", "all posts")
    if job.post.treated:
        yield _said("said.hardware", "all posts")


def _said(measures: Measured, place: str) -> Measure:
    return Measure(measures=measures, place=place, says="looked at on site", by_rule=True)


def of_load(load: Measured, *, by_rule: bool = False) -> Measure:
    """A load, which no arithmetic of ours proves."""
    return Measure(
        measures=load,
        place="all guards",
        says="not computed",
        by_rule=by_rule,
        note="The rail maker's test report and the approved fixing decide.",
    )
