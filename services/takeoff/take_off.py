"""The finished takeoff: whole packages, load, hours and cost."""

from __future__ import annotations

from collections.abc import Iterable

from schemas.bays import Bays
from schemas.company import Crew
from schemas.cut_plan import Bar, CutPlan, PlainBar
from schemas.job import Job
from schemas.layout import Layout
from schemas.part_rule import Group
from schemas.takeoff import Cost, Takeoff, TakeoffLine
from services.takeoff.corrosion import minded
from services.takeoff.counts import count_parts
from services.takeoff.hours import work_hours
from services.takeoff.lines import takeoff_lines
from services.takeoff.pre_cut import pre_cut
from services.takeoff.rails import boxed_parts
from services.takeoff.tools import tools_for


def take_off(*, job: Job, layout: Layout, bays: Bays, cuts: CutPlan) -> Takeoff:
    """Count a job through: parts, packages, weights, hours, cost.

    Raises:
        UnknownThing: A part that the company's price book does not list.
    """
    counts = count_parts(job=job, layout=layout, bays=bays, cuts=cuts)
    boxed = boxed_parts(job, bays, cuts)
    plain = takeoff_lines(counts, boxed=boxed, company=job.company)
    counted = (minded(line, job, layout) for line in plain)
    lines = tuple(sorted(counted, key=lambda line: (line.load, line.item, line.variant or "")))
    crew = crew_of(job)
    hours = work_hours(job=job, layout=layout, bays=bays)
    return Takeoff(
        lines=lines,
        hours=hours,
        crew_hours=round(sum(line.hours for line in hours), 2),
        day_hours=round(crew.hours * crew.people / 2, 2),
        grams=sum(line.grams for line in lines),
        truck_grams=round(crew.truck_kg * 1000),
        cost=_cost(lines, cuts),
        rail_length=sum(bay.clear for bay in bays.level) + sum(bay.clear for bay in bays.stair),
        tools=tools_for(job=job, layout=layout, bays=bays),
        pre_cut=pre_cut(job=job, cuts=cuts),
    )


def crew_of(job: Job) -> Crew:
    """The crew that the job is for."""
    return next(crew for crew in job.company.crews if crew.key == job.crew)


def _cost(lines: Iterable[TakeoffLine], cuts: CutPlan) -> Cost:
    by_group: dict[Group, int] = {}
    for line in lines:
        by_group[line.group] = by_group.get(line.group, 0) + line.cents
    return Cost(
        material_cents=sum(by_group.values()),
        waste_cents=sum(_wasted(bar) for bar in cuts.bars),
        stick_waste_cents=sum(bar.cents * _unused(bar) // bar.length for bar in cuts.plain),
        by_group=tuple(sorted(by_group.items())),
    )


def _wasted(bar: Bar) -> int:
    """The wasted share of a kit's price: half of it is the top rail's, half the bottom rail's."""
    bottom = bar.waste if bar.waste_bottom is None else bar.waste_bottom
    return bar.stock.cents * (bar.waste + bottom) // (2 * bar.stock.length)


def _unused(bar: PlainBar) -> int:
    """What of a stick ends in no piece: cuts and the rest."""
    return bar.length - sum(end - start for _, start, end in bar.pieces)
