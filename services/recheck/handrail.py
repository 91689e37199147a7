"""Handrails measured again: length, brackets, height, and what is free beside them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import hypot

from schemas.bays import StairBay
from schemas.code_profile import Measured, Rule
from schemas.lengths import INCH
from schemas.plan import Plan
from schemas.rail_system import Handrail
from schemas.site import Stair
from services.recheck.limits import inches, rules_at

_STUB = 12 * INCH
"""No piece of a joined handrail is shorter (common practice)."""


def recheck_handrail(plan: Plan, stair: Stair, bay: StairBay) -> Iterator[str]:
    """Every limit that the handrail of a stair bay breaks; each side has one at its lowest bay."""
    sold = plan.job.stair_system.handrail
    side = f"{stair.name}-{bay.side[0].upper()}"
    if sold is None or bay.side not in stair.handrail or bay.name not in {side, f"{side}1"}:
        told = (bay.handrail, bay.handrail_height)
        counts = (bay.handrail_brackets, bay.handrail_elbows, bay.handrail_treads)
        if told != (None, None) or any(counts) or bay.handrail_level or bay.handrail_marks:
            yield "a handrail is planned where none was asked for"
        return
    if bay.handrail is None:
        yield "its handrail is missing"
        return
    yield from _length(plan, stair, bay, bay.handrail)
    stick = sold.stock - 2 * plan.job.company.end_trim
    joints = -((bay.handrail_level - bay.handrail) // stick) - 1
    if (bay.handrail_brackets - joints - 1) * sold.bracket_apart < bay.handrail:
        yield f"{bay.handrail_brackets} brackets leave its handrail too long between two"
    yield from _marks(
        bay, count=bay.handrail_brackets - joints, apart=sold.bracket_apart, step=plan.job.step
    )
    yield from _height(plan, stair, bay)
    yield from _beside(plan, stair, sold)


def _marks(bay: StairBay, *, count: int, apart: int, step: int) -> Iterator[str]:
    """One bracket at each end, the others between them as even as the tape allows."""
    marks = bay.handrail_marks
    spaces = [after - before for before, after in pairwise(marks)]
    if len(marks) != count or marks[:1] != (0,) or marks[-1:] != (bay.handrail,):
        yield f"{len(marks)} bracket marks from end to end of its handrail, not {count}"
    elif not 0 < min(spaces) <= max(spaces) <= apart or any(
        not 0 <= space - marks[-1] / len(spaces) < step for space in spaces[:-1]
    ):
        yield "its handrail's bracket marks are uneven or too far apart"


def _length(plan: Plan, stair: Stair, bay: StairBay, length: int) -> Iterator[str]:
    """From over the top nosing to over the lowest, and as far beyond as the rules ask."""
    top = max((r.limit or 0 for r in _rules(plan, stair, "handrail.extension_top")), default=0)
    beyond = [r.number or 0 for r in _rules(plan, stair, "handrail.extension_bottom")]
    run = sum(stair.each_tread) or (stair.risers - 1) * stair.tread
    level = run + max(beyond, default=0) * stair.tread
    want = top + level * hypot(stair.riser, stair.tread) / stair.tread
    if not -1 < length - want < 2 * plan.job.step + 1:
        yield f"its handrail is not {inches(want)}, nosing to nosing and beyond"
    if not 0 <= bay.handrail_level - top < plan.job.step:
        yield f"its handrail runs level for {inches(bay.handrail_level)}, not {inches(top)}"
    if bay.handrail_elbows != (1 if top else 0):
        yield f"{bay.handrail_elbows} elbows in its handrail"
    if not 0 <= bay.handrail_treads - max(beyond, default=0) < 1:
        yield f"its handrail goes on for {bay.handrail_treads} treads"
    pieces = [
        end - start
        for bar in plan.cuts.plain
        for name, start, end in bar.pieces
        if bar.what == "handrail" and f"{name} ".startswith(f"{bay.name} handrail ")
    ]
    if len(pieces) > 1 + bool(bay.handrail_level) and min(pieces) < _STUB:
        yield f"a piece of {inches(min(pieces))} is joined into its handrail"
    if sum(pieces) != length:
        yield f"{inches(sum(pieces))} of handrail on the cut list, not {inches(length)}"


def _height(plan: Plan, stair: Stair, bay: StairBay) -> Iterator[str]:
    for rule in _rules(plan, stair, "handrail.height"):
        height = bay.handrail_height
        low = rule.limit is not None and (height is None or height < rule.limit)
        high = rule.upper is not None and (height is None or height > rule.upper)
        if low or high:
            shown = "no height" if height is None else inches(height)
            yield f"its handrail has {shown}, outside the recorded window"
    want = _planned(plan, stair, bay)
    if bay.handrail_height != want:
        shown = "none" if want is None else inches(want)
        yield f"its handrail's height is {shown} by the rules, not as printed"


def _planned(plan: Plan, stair: Stair, bay: StairBay) -> int | None:
    """On the mark in the middle of the window, or at the guard's own top where that is lower.

    The window is what all rules leave; its lower half is a place for it only from the company's
    margin up. None: no rule says, or no mark lies in the window.
    """
    rules = list(_rules(plan, stair, "handrail.height"))
    floors = [rule.limit for rule in rules if rule.limit is not None]
    tops = [rule.upper for rule in rules if rule.upper is not None]
    if not floors:
        return None
    step, least = plan.job.step, max(floors)
    sure = -(-(least + plan.job.company.height_margin) // step) * step
    if not tops:
        return sure
    middle = (least + min(tops)) // 2
    middle -= middle % step
    guard = bay.top_over_nosing - bay.top_over_nosing % step
    if middle < least:
        return None
    return guard if sure <= guard < middle else middle


def _beside(plan: Plan, stair: Stair, sold: Handrail) -> Iterator[str]:
    """Room for the hand behind it, its thickness, and what is left between both sides."""
    out = sold.clearance + sold.diameter
    wide = (stair.clear_width or stair.width) - len(stair.handrail) * out
    width: Measured = (
        "stair.clear_width_one_rail" if len(stair.handrail) == 1 else "stair.clear_width_two_rails"
    )
    sizes: tuple[tuple[Measured, int, str], ...] = (
        ("handrail.clearance", sold.clearance, "is free behind its handrail"),
        ("handrail.diameter", sold.diameter, "is its handrail thick"),
        ("handrail.projection", out, "its handrail stands out"),
        ("handrail.bracket_apart", sold.bracket_apart, "lie between two brackets"),
        (width, wide, "are left clear beside its handrails"),
    )
    for measures, size, says in sizes:
        for rule in _rules(plan, stair, measures):
            if rule.confidence == "quoted" and _outside(rule, size):
                yield f"{inches(size)} {says}, outside the recorded limit"


def _outside(rule: Rule, size: int) -> bool:
    least = rule.limit if rule.compare in {">=", "within"} else None
    most = rule.upper if rule.compare == "within" else rule.limit
    if least is not None and size < least:
        return True
    return rule.compare in {"<=", "within"} and most is not None and size > most


def _rules(plan: Plan, stair: Stair, measures: Measured) -> list[Rule]:
    return [rule for rule in rules_at(plan, stair.name) if rule.measures == measures]
