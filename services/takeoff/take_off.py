"""The finished takeoff: whole packages, load, hours and cost."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

from schemas.bays import Bays
from schemas.company import Company, Crew, StockItem
from schemas.cut_plan import CutPlan
from schemas.errors import UnknownThing
from schemas.job import Job
from schemas.layout import Layout
from schemas.takeoff import Cost, Group, Takeoff, TakeoffLine
from services.takeoff.counts import Count, count_parts, spare_for
from services.takeoff.hours import work_hours
from services.takeoff.tools import tools_for


def take_off(*, job: Job, layout: Layout, bays: Bays, cuts: CutPlan) -> Takeoff:
    """Count a job through: parts, packages, weights, hours, cost.

    Raises:
        UnknownThing: A part that the company's price book does not list.
    """
    counts = count_parts(job=job, layout=layout, bays=bays, cuts=cuts)
    lines = tuple(sorted(_lines(counts, job.company), key=lambda line: (line.load, line.item)))
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
    )


def crew_of(job: Job) -> Crew:
    """The crew that the job is for."""
    return next(crew for crew in job.company.crews if crew.key == job.crew)


def _lines(counts: Iterable[Count], company: Company) -> Iterable[TakeoffLine]:
    together: dict[str, list[Count]] = {}
    for count in counts:
        together.setdefault(count.key, []).append(count)
    items = {item.key: item for item in company.price_book}
    for key, same in together.items():
        if key not in items:
            msg = f"the price book has no {key}, which {same[0].places[0]} needs; add it there"
            raise UnknownThing(msg)
        if any(count.needed for count in same) or same[0].spare:
            line = _line(same, items[key], company)
            if line.packages:
                yield line


def _line(same: list[Count], item: StockItem, company: Company) -> TakeoffLine:
    needed = max(0, sum(count.needed - count.boxed for count in same))
    # what comes boxed with the rails may run short all the same, so its spares go along
    base = needed or (1 if same[0].spare in {"baluster", "bracket", "foot-block"} else 0)
    spare = spare_for(same[0].spare, base, company.spares)
    packages = ceil((needed + spare) / item.package)
    places = tuple(dict.fromkeys(place for count in same for place in count.places))
    return TakeoffLine(
        group=same[0].group,
        item=item.key,
        says=item.says,
        needed=needed,
        spare=spare,
        package=item.package,
        packages=packages,
        grams=packages * item.package * item.grams,
        cents=packages * item.cents,
        load=item.load,
        why="; ".join(dict.fromkeys(count.why for count in same)),
        places=places,
    )


def _cost(lines: Iterable[TakeoffLine], cuts: CutPlan) -> Cost:
    by_group: dict[Group, int] = {}
    for line in lines:
        by_group[line.group] = by_group.get(line.group, 0) + line.cents
    wasted = sum(bar.stock.cents * bar.waste // bar.stock.length for bar in cuts.bars)
    return Cost(
        material_cents=sum(by_group.values()),
        waste_cents=wasted,
        by_group=tuple(sorted(by_group.items())),
    )
