"""Findings gone through again: every rule at every place, and nothing broken by silence."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.code_profile import Measured
from schemas.plan import Plan
from services.recheck.limits import flight_rise, holds

LEVEL: tuple[Measured, ...] = ("guard.height", "guard.opening")
STAIR: tuple[Measured, ...] = ("guard.stair_height", "guard.stair_opening", "guard.triangle")
STEPS: tuple[Measured, ...] = ("stair.riser", "stair.tread", "stair.clear_width_above")
BY_OTHERS = ("riser", "riser_spread", "riser_adjacent", "tread", "tread_spread", "nosing", "pitch",
             "open_riser", "flight_rise", "twice_riser_plus_tread")  # fmt: skip
"""Sizes of the stair itself: a pack may print them with a hold point. Source: common practice."""


def recheck_findings(plan: Plan) -> Iterator[str]:
    """Every rule that was not laid beside a place, and what breaks without an allowance."""
    found = {(f.rule, f.place) for f in plan.compliance.findings}
    for asked, place in _asked(plan):
        if (asked, place) not in found:
            yield f"{place}: no finding on {asked}"
    places = {place for _, place in found}
    for place in _places(plan):
        if place not in places:
            yield f"{place}: no finding at all"
    allowed = [a.question for a in plan.job.answers if a.option == "allow"]
    rules = {rule.id: rule for rule in (plan.job.profile.rules if plan.job.profile else ())}
    held = [question.key for question in plan.job.questions if question.severity == "hold"]
    for finding in plan.compliance.findings:
        rule = rules.get(finding.rule)
        by_others = rule is not None and rule.measures.removeprefix("stair.") in BY_OTHERS
        said = [*allowed, *held] if by_others else allowed
        if finding.verdict == "breaks" and not any(f".{finding.rule[:24]}." in q for q in said):
            yield f"{finding.place}: breaks {finding.rule} and nobody allowed it"
        if finding.verdict == "meets" and (finding.margin or 0) < 0:
            yield f"{finding.place}: meets {finding.rule} from outside its limit"
    for what, head, sheets, equal in plan.compliance.complete:
        if not equal or head != sheets:
            yield f"{what}: job head {head}, sheets {sheets}"


def _places(plan: Plan) -> Iterator[str]:
    yield from (f"leg {leg.name}" for leg in plan.layout.legs)
    yield from (bay.name for bay in plan.bays.level)
    yield from (bay.name for bay in plan.bays.stair)
    yield from (stair.name for stair in plan.job.stairs)
    yield from (f"gate {gate.name}" for gate in plan.job.gates)


def _asked(plan: Plan) -> Iterator[tuple[str, str]]:
    """Every pair of rule and place that the profile surely speaks of."""
    profile = plan.job.profile
    drops = {leg.name: leg.drop for leg in plan.layout.legs}
    stairs = {stair.name: stair for stair in plan.job.stairs}
    for rule in profile.rules if profile else ():
        if rule.trigger or rule.unless_tread is not None:
            continue
        if rule.measures in LEVEL:
            yield from ((rule.id, b.name) for b in plan.bays.level if holds(rule, drops[b.leg]))
        if rule.measures in STAIR:
            rises = ((b.name, flight_rise(stairs[b.stair])) for b in plan.bays.stair)
            yield from ((rule.id, name) for name, rise in rises if holds(rule, rise))
        if rule.measures in STEPS:
            yield from ((rule.id, name) for name in stairs)
