"""Brackets, spacer blocks, heat, weight and hands, as the bay sheets print them."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from schemas.bays import BracketFit, LevelBay, StairBay
from schemas.lengths import PER_MM
from schemas.plan import Plan
from schemas.rail_system import RailSystem
from services.recheck.limits import inches

HOLES = {"top": "hole side", "bottom": "plain side"}
"""Holes of a top rail look down and those of a bottom rail up; a bracket sits under its rail."""


def recheck_fittings(plan: Plan) -> Iterator[str]:
    """Every bracket, block or weight that the rails of its bay do not ask for so."""
    if plan.bays.spacer != plan.job.system.spacer_block:
        yield f"a spacer block of {inches(plan.bays.spacer)} is not the system's"
    for bay in plan.bays.level:
        long = max(bay.bottom_cut, bay.top_cut)
        for says in (*_level(plan, bay), *_lift(plan, bay, plan.job.system, long=long)):
            yield f"{bay.name}: {says}"
    for side in plan.bays.stair:
        for says in (*_stair(plan, side), *_lift(plan, side, plan.job.stair_system, long=side.cut)):
            yield f"{side.name}: {says}"


def _level(plan: Plan, bay: LevelBay) -> Iterator[str]:
    """Its rails lie level, so its brackets stand as high as its undersides, the fall added."""
    rail, section = plan.job.system.level, plan.job.level_height
    if bay.sweep != plan.bays.spacer:
        yield f"its bottom rail stands {inches(bay.sweep)} up, not on the spacer block"
    leg = next(one for one in plan.layout.legs if one.name == bay.leg)
    laid = next((one for one in plan.layout.bays if one.name == bay.name), None)
    steep = leg.fall / leg.length if leg.length else 0.0
    low = bay.sweep + (steep * (laid.right.face - laid.left.face) if laid else 0)
    if not -1 < bay.sweep_low - low < plan.job.step:
        yield f"its low end stands {inches(low)} up, not {inches(bay.sweep_low)}"
    line = plan.job.lines[leg.line]
    out = -line.inset - rail.bottom_width / 2 if line.measured == "deck-edge" else 0.0
    if not 0 <= bay.edge_gap - max(0.0, out) < 1:
        yield f"its rail stands {inches(out)} outside the edge, not {inches(bay.edge_gap)}"
    over = rail.bottom_depth + section.visible
    heights = {
        ("bottom", "left"): bay.sweep,
        ("bottom", "right"): bay.sweep_low,
        ("top", "left"): bay.sweep + over,
        ("top", "right"): bay.sweep_low + over,
    }
    mitres = {"left": bay.mitre_left_deg, "right": bay.mitre_right_deg}
    for fit in bay.brackets:
        plain = rail.bracket.least_deg <= abs(mitres[fit.end]) <= rail.bracket.greatest_deg
        yield from _bracket(fit, kind="line" if plain else "angle", at=heights[fit.rail, fit.end])


def _stair(plan: Plan, side: StairBay) -> Iterator[str]:
    """Plumb over the nosing line a rail is as deep as its depth along the slope's secant."""
    rail, section = plan.job.stair_system.stair, plan.job.stair_height
    if rail is None or section is None:
        return
    plumb = rail.bottom_depth * hypot(side.riser, side.tread) / side.tread
    heights = {
        "bottom": float(side.rail_over_nosing),
        "top": side.rail_over_nosing + plumb + section.visible,
    }
    for fit in side.brackets:
        yield from _bracket(fit, kind="stair", at=heights[fit.rail])


def _bracket(fit: BracketFit, *, kind: str, at: float) -> Iterator[str]:
    which = f"its {fit.rail} {fit.end} bracket"
    if fit.kind != kind:
        yield f"{which} is of the kind {fit.kind}, not {kind}"
    if fit.side != HOLES[fit.rail]:
        yield f"{which} is on the {fit.side}"
    if abs(fit.height - at) > 1:
        yield f"{which} stands {inches(fit.height)} up, its rail {inches(at)}"


def _lift(plan: Plan, bay: LevelBay | StairBay, system: RailSystem, *, long: int) -> Iterator[str]:
    """What it weighs, how many lift it, and whether its ends leave room for heat."""
    grams = long * system.rail_grams_per_m / (1000 * PER_MM)
    if not -0.001 < bay.weight - grams < 1:
        yield f"it weighs {grams:.0f} g, not {bay.weight} g"
    company = plan.job.company
    heavy = grams > company.two_people_over or long > company.two_people_longer
    if bay.people != (2 if heavy else 1):
        yield f"lifted by {bay.people}"
    spread = system.hottest_degf - system.coldest_degf
    free = long * system.expansion_per_degf * spread
    if abs(free - bay.movement.room) > 1 and bay.movement.fits != (free < bay.movement.room):
        yield f"moves {inches(free)} in {inches(bay.movement.room)}: printed the other way"
