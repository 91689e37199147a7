"""What the plan comes to at the stairs: guard, triangle, steps, widths, handrail."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import atan2, degrees

from schemas.bays import Bays, StairBay
from schemas.code_profile import Measured
from schemas.job import Job
from schemas.rail_system import Handrail
from schemas.site import Stair
from schemas.wording import counted, say
from services.compliance.measured import Measure, widest
from services.compliance.sphere import triangle_sphere
from services.compliance.wording import found

_EACH_RISER = say("not known: each riser was not measured")
_EACH_TREAD = say("not known: each tread was not measured")
_ON_SITE = say("not known: set on site")
_SIDES = {
    (): say("not planned"),
    ("left",): say("left"),
    ("right",): say("right"),
    ("left", "right"): say("left and right"),
}


def of_stairs(job: Job, bays: Bays) -> tuple[Measure, ...]:
    """Every figure of every stair, the guard of each side after the stair it stands on."""
    every = []
    for stair in job.stairs:
        every += [*of_steps(stair, step=job.step), *of_widths(stair, job=job)]
        every += of_handrail(stair, job=job, bays=bays)
        for bay in bays.stair:
            if bay.stair == stair.name:
                every += of_stair_bay(bay, stair=stair, step=job.step)
    return tuple(every)


def rise(stair: Stair) -> int:
    """Rise of the flight: measured in one, or its risers together. [1/320 mm]."""
    return stair.total_rise or sum(stair.each_riser) or stair.risers * stair.riser


def of_stair_bay(bay: StairBay, *, stair: Stair, step: int) -> tuple[Measure, ...]:
    """Heights at every nosing, openings and triangle of one side."""
    tops = [height.top for height in bay.heights] or [bay.top_over_nosing]
    low, high = min(tops), max(tops)
    height: str = found(low, step=step, worse="down")
    if high > low:
        height = say("{low} to {high}", low=height, high=found(high, step=step, worse="up"))
    drop = rise(stair)
    says = counted(
        "{height} over {count} nosing", "{height} over {count} nosings",
        count=len(tops), height=height,
    )  # fmt: skip
    heights = Measure(
        measures="guard.stair_height", place=bay.name, says=says, low=low, high=high, drop=drop
    )
    gripped = Measure(
        measures="guard.stair_height_as_handrail",
        place=bay.name,
        says=says,
        low=low,
        high=high,
        number=stair.risers,
        drop=drop,
    )
    gaps = {
        say("between balusters"): bay.level_gap,
        say("lower end"): bay.gap_lower,
        say("upper end"): bay.gap_upper,
    }
    return (
        heights,
        *(() if stair.handrail else (gripped,)),
        widest(gaps, measures="guard.stair_opening", place=bay.name, step=step, drop=drop),
        of_triangle(bay, stair=stair, step=step),
    )


def of_triangle(bay: StairBay, *, stair: Stair, step: int) -> Measure:
    """The sphere that passes between tread, riser and bottom rail."""
    drop = rise(stair)
    if stair.open_risers or stair.nosing is None:
        says = (
            say("not known: open risers do not close it")
            if stair.open_risers
            else say("not known: the nosing is not measured")
        )
        return Measure(measures="guard.triangle", place=bay.name, says=says, drop=drop)
    gap = max([height.gap for height in bay.heights], default=bay.rail_over_nosing)
    over = max(gap, bay.rail_over_nosing, 0)
    sphere = triangle_sphere(riser=bay.riser, tread=bay.tread, nosing=stair.nosing, over=over)
    return Measure(
        measures="guard.triangle",
        place=bay.name,
        says=say(
            "{sphere} sphere, rail {over} over the nosing line",
            sphere=found(sphere, step=step, worse="up"),
            over=found(over, step=step, worse="up"),
        ),
        low=sphere,
        drop=drop,
        unsure=""
        if stair.open_risers is False
        else say("whether the risers are closed is not recorded"),
        note=say(
            "Riser {riser}, tread {tread}, nosing {nosing}.",
            riser=found(bay.riser, step=step, worse="up"),
            tread=found(bay.tread, step=step, worse="up"),
            nosing=found(stair.nosing, step=step, worse="up"),
        ),
    )


def of_steps(stair: Stair, *, step: int) -> tuple[Measure, ...]:
    """The steps as they were found: rise, risers, treads, nosing, pitch."""
    risers = stair.each_riser or (stair.riser,)
    spread = max(risers) - min(risers) if stair.each_riser else None
    treads = stair.each_tread or (stair.tread,)
    tread_spread = max(treads) - min(treads) if stair.each_tread else None
    pitch = degrees(atan2(stair.riser, stair.tread))
    riser_says: str = found(max(risers), step=step, worse="up")
    if len(set(risers)) > 1:
        least = found(min(risers), step=step, worse="down")
        riser_says = say("{low} to {high}", low=least, high=riser_says)
    closed = stair.open_risers is False
    steps = [abs(one - other) for one, other in pairwise(stair.each_riser)]
    adjacent = max(steps, default=None) if stair.each_riser else None
    return (
        _at(stair, "stair.flight_rise", rise(stair), step=step),
        Measure(
            measures="stair.riser",
            place=stair.name,
            says=riser_says,
            low=min(risers),
            high=max(risers),
        ),
        _at(stair, "stair.riser_spread", spread, step=step, unknown=_EACH_RISER),
        replace(
            _at(stair, "stair.riser_adjacent", adjacent, step=step, unknown=_EACH_RISER),
            by_rule=True,
        ),
        _at(stair, "stair.tread", min(treads), step=step, worse="down"),
        _at(stair, "stair.tread_spread", tread_spread, step=step, unknown=_EACH_TREAD),
        Measure(
            measures="stair.open_riser",
            place=stair.name,
            says=say("closed risers") if closed else say("not measured"),
            low=0 if closed else None,
            drop=rise(stair),
        ),
        Measure(
            measures="stair.nosing",
            place=stair.name,
            says=say("not measured")
            if stair.nosing is None
            else found(stair.nosing, step=step, worse="up"),
            low=stair.nosing,
            tread=stair.tread,
        ),
        Measure(
            measures="stair.pitch",
            place=stair.name,
            says=say("{degrees} degrees", degrees=f"{pitch:.1f}"),
            number=pitch,
        ),
        _at(stair, "stair.twice_riser_plus_tread", 2 * stair.riser + stair.tread, step=step),
    )


def of_widths(stair: Stair, *, job: Job) -> tuple[Measure, ...]:
    """Clear width above the handrail, and between what stands into it."""
    wide = stair.clear_width or stair.width
    grip = _grip(job)
    above = _at(stair, "stair.clear_width_above", wide, step=job.step, worse="down")
    if not stair.handrail or grip is None:
        return (above,)
    into = len(stair.handrail) * (grip.clearance + grip.diameter)
    return (
        above,
        Measure(
            measures="stair.clear_width_one_rail"
            if len(stair.handrail) == 1
            else "stair.clear_width_two_rails",
            place=stair.name,
            says=found(wide - into, step=job.step, worse="down"),
            low=wide - into,
            note=say(
                "{wide} less {handrail} for the handrail.",
                wide=found(wide, step=job.step, worse="down"),
                handrail=found(into, step=job.step, worse="up"),
            ),
        ),
    )


def of_handrail(stair: Stair, *, job: Job, bays: Bays) -> tuple[Measure, ...]:
    """Whether a handrail is asked for, and the sizes of the one that is planned."""
    sides = _SIDES[tuple(sorted(stair.handrail))]
    need = Measure(
        measures="handrail.risers",
        place=stair.name,
        says=say("{risers} risers, handrail {sides}", risers=stair.risers, sides=sides),
        number=stair.risers,
        planned=bool(stair.handrail),
        note="" if stair.handrail else _instead(job),
    )
    grip = _grip(job)
    if not stair.handrail or grip is None:
        return (need,)
    side = next((b for b in bays.stair if b.stair == stair.name and b.handrail is not None), None)
    height = side.handrail_height if side else None
    level, treads = (side.handrail_level, side.handrail_treads) if side else (0, 0)
    into = grip.clearance + grip.diameter
    return (
        need,
        replace(
            _number(
                stair,
                "handrail.sides",
                len(stair.handrail),
                counted("{count} side", "{count} sides", count=len(stair.handrail)),
            ),
            width=stair.clear_width or stair.width,
        ),
        _at(stair, "handrail.height", height, step=job.step, unknown=_ON_SITE),
        _at(stair, "handrail.projection", into, step=job.step),
        _at(stair, "handrail.clearance", grip.clearance, step=job.step, worse="down"),
        _at(stair, "handrail.diameter", grip.diameter, step=job.step),
        _at(stair, "handrail.bracket_apart", grip.bracket_apart, step=job.step),
        replace(_at(stair, "handrail.bracket_end", 0, step=job.step), by_rule=True),
        replace(_at(stair, "handrail.extension_top", level, step=job.step), by_rule=True),
        _number(
            stair,
            "handrail.extension_bottom",
            treads,
            counted("{count} tread", "{count} treads", count=treads),
        ),
    )


def _number(stair: Stair, measures: Measured, number: int, says: str) -> Measure:
    return Measure(measures=measures, place=stair.name, says=says, number=number, by_rule=True)


def _at(
    stair: Stair,
    measures: Measured,
    size: int | None,
    *,
    step: int,
    worse: str = "up",
    unknown: str = "",
) -> Measure:
    says = unknown if size is None else found(size, step=step, worse=worse)
    return Measure(measures=measures, place=stair.name, says=says, low=size)


def _grip(job: Job) -> Handrail | None:
    return job.stair_system.handrail or job.system.handrail


def _instead(job: Job) -> str:
    """What the top rail is, should it be meant to serve as the handrail."""
    rail = job.stair_system.stair
    if rail is None:
        return say("No graspable handrail is planned.")
    around = 2 * (rail.top_width + rail.top_depth)
    return say(
        "No separate handrail is planned. Whether the top rail, about {around} around, can be "
        "gripped is not ours to say.",
        around=found(around, step=job.step, worse="up"),
    )
