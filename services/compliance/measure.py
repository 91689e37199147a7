"""What the plan comes to, wherever a rule may ask: legs, level bays, gates, loads."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from schemas.bays import Bays, LevelBay
from schemas.code_profile import Measured
from schemas.company import FixingDetail
from schemas.job import Job
from schemas.layout import LaidLeg, Layout
from schemas.site import Gate
from schemas.wording import row, say
from services.compliance.measure_stair import of_stairs
from services.compliance.measured import Measure, widest
from services.compliance.wording import found, posts_words

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
    says = say("not measured") if leg.drop is None else found(leg.drop, step=step, worse="up")
    return Measure(
        measures="guard.drop",
        place=say("leg {leg}", leg=leg.name),
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
        say("between balusters"): bay.gap_between,
        say("left end"): bay.gap_left,
        say("right end"): bay.gap_right,
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
            {**ends, say("under the bottom rail"): bay.under},
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
            says=say(
                "bottom rail's top {height} up", height=found(foothold, step=job.step, worse="up")
            ),
            low=foothold,
            drop=drop,
            note=say("Balusters stand plumb; what else can be climbed is read on site."),
        ),
    )


def of_gate(gate: Gate, *, drop: int | None) -> Measure:
    """A gate's openings, which follow from hardware that is hung on site."""
    pool = say("A pool barrier has rules of its own: ask.")
    note = say("Hinge side, latch side and under the gate, closed.")
    return Measure(
        measures="guard.opening",
        place=say("gate {gate}", gate=gate.name),
        says=say("not known before the gate hangs"),
        drop=drop,
        note=note if gate.pool_barrier is False else row((note, pool), " "),
    )


def of_what_is_said(job: Job, layout: Layout) -> Iterator[Measure]:
    """What rules put in words only, wherever the job has the thing they speak of."""
    yield _said("said.guards", say("all guards"))
    yield from (_said("said.handrails", stair.name) for stair in job.stairs if stair.handrail)
    to_set = [post for post in layout.posts if not post.in_place]
    if not to_set:
        return
    yield _said("said.posts", say("all posts"))
    by_place: tuple[tuple[Measured, bool], ...] = (
        ("said.posts_at_side", True),
        ("said.posts_on_top", False),
    )
    for measures, at_side in by_place:
        so = [p.name for p in to_set if _may_be(job.fixing_of(p), at_side=at_side)]
        if so:
            every = len(so) == len(to_set)
            yield _said(measures, say("all posts") if every else posts_words(so))
    if job.post.treated:
        yield _said("said.hardware", say("all posts"))


def _may_be(detail: FixingDetail | None, *, at_side: bool) -> bool:
    """Whether a post's fixing is at the side of the deck, or on top of it; unknown may be both."""
    return detail is None or (detail.mount in _RIM) == at_side


def _said(measures: Measured, place: str) -> Measure:
    return Measure(measures=measures, place=place, says=say("not on the plan"), by_rule=True)


def of_load(load: Measured, *, by_rule: bool = False) -> Measure:
    """A load, which no arithmetic of ours proves."""
    return Measure(
        measures=load,
        place=say("all guards"),
        says=say("not computed"),
        by_rule=by_rule,
        note=say("The rail maker's test report and the approved fixing decide."),
    )
