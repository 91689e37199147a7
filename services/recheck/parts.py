"""What the bought parts take, measured again: angles, margins, lengths, heat, lifting."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import atan2, degrees, hypot

from schemas.bays import LevelBay, StairBay
from schemas.plan import Plan
from schemas.rail_system import RailSystem
from services.recheck.limits import inches

ANGLE = 1e-6
"""Floats of one angle are alike to so much. [degrees]"""


def recheck_parts(plan: Plan) -> Iterator[str]:
    """Every bay that asks more of a part than its sheet allows."""
    for bay in plan.bays.level:
        for says in (*_mitres(plan, bay), *_drains(plan, bay)):
            yield f"{bay.name}: {says}"
        room = (bay.clear - bay.bottom_cut, bay.clear_top - bay.top_cut)
        long = max(bay.bottom_cut, bay.top_cut)
        yield from _heat_and_lift(plan, bay, plan.job.system, long=long, room=min(room))
    for side in plan.bays.stair:
        for says in _slope(plan, side):
            yield f"{side.name}: {says}"
        along = side.clear * hypot(side.riser, side.tread) / side.tread
        system = plan.job.stair_system
        yield from _heat_and_lift(plan, side, system, long=side.cut, room=along - side.cut)


def _mitres(plan: Plan, bay: LevelBay) -> Iterator[str]:
    """Each bracket takes the angle at its end, and the rail is as it was laid out."""
    laid = {(b.left.long_side, b.right.long_side) for b in plan.layout.bays if b.name == bay.name}
    if laid - {(bay.long_left, bay.long_right)}:
        yield "mitred to another hand than it was laid out"
    rail = plan.job.system.level
    kinds = {"line": rail.bracket, "angle": rail.angle_bracket}
    mitres = {"left": abs(bay.mitre_left_deg), "right": abs(bay.mitre_right_deg)}
    for fit in bay.brackets:
        bracket, deg = kinds.get(fit.kind), mitres[fit.end]
        if bracket is None or not bracket.least_deg <= deg <= bracket.greatest_deg:
            yield f"no {fit.kind} bracket takes {deg:.1f} degrees at its {fit.end} end"


def _drains(plan: Plan, bay: LevelBay) -> Iterator[str]:
    """A drain hole at each side of each foot block, as near as everything else lets it be."""
    sold = plan.job.system
    near = sold.foot_block.width // 2 + sold.drain_from_block
    offs = range(near, near + (bay.pitch if len(bay.marks) > 1 else 0) + 1, plan.job.step)
    wanted: set[int] = set()
    for block in bay.foot_blocks:
        for away in (-1, 1):
            places = (block + away * off for off in offs)
            free = next((p for p in places if not any(_meets(plan, bay, p))), None)
            if free is not None:
                wanted.add(free)
    for hole in bay.drain_holes:
        yield from (f"the drain hole at {inches(hole)} {says}" for says in _meets(plan, bay, hole))
    for hole in sorted(wanted ^ set(bay.drain_holes)):
        which = "no drain hole" if hole in wanted else "a drain hole"
        yield f"{which} at {inches(hole)}"


def _meets(plan: Plan, bay: LevelBay, hole: int) -> Iterator[str]:
    """What a drain hole there would run into."""
    rail, radius = plan.job.system.level, plan.job.system.drain_hole / 2
    kinds = {"line": rail.bracket, "angle": rail.angle_bracket}
    room = {"left": 0.0, "right": 0.0}
    for fit in bay.brackets:
        bracket = kinds.get(fit.kind)
        if fit.rail == "bottom" and bracket is not None:
            room[fit.end] = bracket.least_margin - rail.baluster_width // 2
    if not room["left"] + radius <= hole <= bay.bottom_cut - room["right"] - radius:
        yield "meets a bracket"
    clear = plan.job.system.foot_block.width / 2 + radius
    if any(abs(hole - block) < clear for block in bay.foot_blocks):
        yield "meets a foot block"
    if any(abs(hole - mark) < rail.baluster_width / 2 + radius for mark in bay.marks):
        yield "meets a baluster"


def _slope(plan: Plan, side: StairBay) -> Iterator[str]:
    """Slots, adapters, margins and the longest rail on the slope."""
    rail = plan.job.stair_system.stair
    if rail is None:
        return
    deg = degrees(atan2(side.riser, side.tread))
    if max(abs(deg - side.slope_deg), abs(deg - side.saw_deg)) > ANGLE:
        yield f"riser and tread slope {deg:.2f} degrees, not {side.slope_deg:.2f}"
    if not rail.slot_least_deg <= deg <= rail.slot_greatest_deg:
        yield f"its slots do not take {deg:.2f} degrees"
    if not rail.bracket.least_deg <= deg <= rail.bracket.greatest_deg:
        yield f"its bracket does not take {deg:.2f} degrees"
    ends = (side.marks[0], side.cut - side.marks[-1])
    if min(ends) < rail.bracket.least_margin:
        yield "a margin is too short for its bracket"
    if max(ends) > rail.greatest_margin:
        yield "a margin runs into the next factory hole"
    if side.clear * hypot(side.riser, side.tread) / side.tread > rail.longest_clear + 1:
        yield "opening over the system's longest"


def _heat_and_lift(
    plan: Plan, bay: LevelBay | StairBay, system: RailSystem, *, long: int, room: float
) -> Iterator[str]:
    """Growth of the longer rail over the whole range, and who lifts the section."""
    range_of = Fraction(str(system.hottest_degf)) - Fraction(str(system.coldest_degf))
    free = long * Fraction(str(system.expansion_per_degf)) * range_of
    moves = bay.movement
    if not 0 <= moves.free - free < plan.job.step or abs(moves.room - room) > 1:
        yield f"{bay.name}: moves {inches(float(free))} in {inches(room)}, not as printed"
    if moves.fits and free > moves.room:
        yield f"{bay.name}: its ends do not leave room for its movement"
    company = plan.job.company
    heavy = bay.weight > company.two_people_over or long > company.two_people_longer
    if heavy and bay.people < 2:
        yield f"{bay.name}: too heavy or too long for one"
