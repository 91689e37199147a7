"""Weights, hours and money of the takeoff added up again, line by line."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from schemas.part_rule import Group
from schemas.plan import Plan

CENT = 0.005
"""Hours are printed to a hundredth; half of that may be lost in rounding. [h]"""


def recheck_takeoff_sums(plan: Plan) -> Iterator[str]:
    """Every sum of the takeoff that its lines, the price book or the rates do not make."""
    yield from _lines(plan)
    yield from _hours(plan)
    yield from _money(plan)
    clear = [bay.clear for bay in plan.bays.level] + [bay.clear for bay in plan.bays.stair]
    if plan.takeoff.rail_length != sum(clear):
        yield "the takeoff's length of railing is not that of its bays"


def _lines(plan: Plan) -> Iterator[str]:
    """Each line beside its item of the price book."""
    book = {item.key: item for item in plan.job.company.price_book}
    for line in plan.takeoff.lines:
        item = book.get(line.item)
        if item is None:
            yield f"{line.item}: not in the price book"
            continue
        if (line.package, line.load) != (item.package, item.load):
            yield f"{line.item}: package or place on the truck is not the price book's"
        grams, cents = item.grams * item.package * line.packages, item.cents * line.packages
        if (line.grams, line.cents) != (grams, cents):
            yield f"{line.item}: {line.packages} packages weigh {grams} g and cost {cents} cents"


def _hours(plan: Plan) -> Iterator[str]:
    """Each task at a rate of the company's, and the crew's day as its people have it."""
    takeoff, company = plan.takeoff, plan.job.company
    rates = {rate.hours for rate in company.rates}
    for line in takeoff.hours:
        if line.each not in rates or abs(line.hours - line.count * line.each) > CENT + 1e-9:
            yield f"{line.task}: {line.count} at {line.each} h are not {line.hours} h"
    apart = sum(line.hours for line in takeoff.hours if line.apart)
    fixed = [rate.hours for rate in company.rates if rate.task in {"set-up", "travel"}]
    if abs(apart - sum(round(hours, 2) for hours in fixed)) > 2 * CENT:
        yield f"{apart} h stand apart from the work, not set-up and travel"
    if abs(takeoff.crew_hours - sum(line.hours for line in takeoff.hours)) > CENT:
        yield f"{takeoff.crew_hours} crew-hours are not the sum of their lines"
    crew = next(one for one in company.crews if one.key == plan.job.crew)
    if abs(takeoff.day_hours - crew.hours * crew.people / 2) > CENT:
        yield f"{takeoff.day_hours} h are not what the crew has in a day"
    if takeoff.truck_grams != round(crew.truck_kg * 1000):
        yield "the truck's limit is not its own"


def _money(plan: Plan) -> Iterator[str]:
    """The takeoff's sums, and what of the stock bought ends in no piece."""
    cost = plan.takeoff.cost
    groups: Counter[Group] = Counter()
    for line in plan.takeoff.lines:
        groups[line.group] += line.cents
    if dict(cost.by_group) != dict(groups):
        yield "costs by heading are not those of the lines"
    if cost.material_cents != groups.total():
        yield f"material costs {groups.total()} cents, not {cost.material_cents}"
    rails = 0
    for bar in plan.cuts.bars:
        lost = bar.waste + (bar.waste if bar.waste_bottom is None else bar.waste_bottom)
        rails += bar.stock.cents * lost // (2 * bar.stock.length)
    sticks = sum(
        bar.cents * (bar.length - sum(end - start for _, start, end in bar.pieces)) // bar.length
        for bar in plan.cuts.plain
    )
    if (cost.waste_cents, cost.stick_waste_cents) != (rails, sticks):
        yield f"waste costs {rails} and {sticks} cents"
