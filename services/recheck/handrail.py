"""Handrails measured again: length, brackets, height, and what is free beside them."""

from __future__ import annotations

from collections.abc import Iterator
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
        if bay.handrail is not None or bay.handrail_brackets:
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
    yield from _height(plan, stair, bay)
    yield from _beside(plan, stair, sold)


def _length(plan: Plan, stair: Stair, bay: StairBay, length: int) -> Iterator[str]:
    """From over the top nosing to over the lowest, and as far beyond as the rules ask."""
    top = max((r.limit or 0 for r in _rules(plan, stair, "handrail.extension_top")), default=0)
    beyond = [r.number or 0 for r in _rules(plan, stair, "handrail.extension_bottom")]
    treads = stair.risers - 1 + max(beyond, default=0)
    want = top + treads * hypot(stair.riser, stair.tread)
    if not -1 < length - want < 2 * plan.job.step + 1:
        yield f"its handrail is not {inches(want)}, nosing to nosing and beyond"
    if bay.handrail_level < top:
        yield f"its handrail runs level for {inches(bay.handrail_level)}, not {inches(top)}"
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
