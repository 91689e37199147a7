"""The post screen gone through again: whether what it finds is over its guides."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.company import FixingDetail
from schemas.lengths import INCH
from schemas.plan import Plan

_LEAST_BENDING = {"southern pine": 1100, "hem-fir": 867}
"""By wood, at the load duration of 1.0. [psi] Source: 1,100 psi of the 2013 Southern Pine values;
850 x 1.5 x 0.85 wet x 0.8 incised of the National Design Specification (read at second hand)."""
_LARGEST = 4 * INCH
"""Thicker wood has other values."""
_PULL = 1800
"""On the top bolt. [lb] Source: AWC DCA 6 (read at second hand)."""
_LB_A_KN = 224.809
"""NIST SP 811 (from memory)."""


def recheck_screen(plan: Plan) -> Iterator[str]:
    """Every figure of the screen that is over its guide and does not say so, or the other way."""
    wanted = _wanted(plan, _pounds(plan))
    for rule, over in wanted.items():
        told = [f.over_guide for f in plan.compliance.findings if f.rule == rule]
        if told != over:
            yield f"{rule}: over its guide {over}, not {told}"
    others = (f for f in plan.compliance.findings if f.rule not in wanted)
    yield from (f"{f.place}: {f.rule} has no guide" for f in others if f.over_guide)


def _wanted(plan: Plan, pounds: float) -> dict[str, list[bool]]:
    """By sum, for every kind of post in the screen's order: lower rails first, then by detail."""
    if not pounds or not plan.layout.posts:
        return {}
    fixings = {post.name: plan.job.fixing_of(post) for post in plan.layout.posts}
    alike: dict[tuple[int, str], FixingDetail | None] = {}
    for height in plan.bays.posts:
        detail = fixings.get(height.post)
        alike[height.rail_top, detail.key if detail else ""] = detail
    groups = [(top, detail) for (top, _), detail in sorted(alike.items(), key=lambda one: one[0])]
    return {
        "post-bending": [_bends(plan, top, detail, pounds) for top, detail in groups],
        "post-hold-down": [_pulls(top, detail, pounds) for top, detail in groups],
    }


def _pounds(plan: Plan) -> float:
    """The point load that the profile names. [lb]."""
    for rule in plan.job.profile.rules if plan.job.profile else ():
        if rule.measures == "load.point" and rule.number:
            return rule.number * (_LB_A_KN if rule.number_unit == "kN" else 1)
    return 0


def _bends(plan: Plan, top: int, detail: FixingDetail | None, pounds: float) -> bool:
    """Whether the moment at the top bolt is more than b d^2 / 6 bears."""
    said = (plan.job.post.species or "").casefold().replace(" fir", "-fir")
    least = next((psi for name, psi in _LEAST_BENDING.items() if name in said), None)
    if least is None or plan.job.post.core > _LARGEST:
        return False
    moment = pounds * (top + (detail.bolt_below if detail else 0)) / INCH
    return 6 * moment > least * (plan.job.post.core / INCH) ** 3


def _pulls(top: int, detail: FixingDetail | None, pounds: float) -> bool:
    """Whether the top bolt's share of the moment about the lower one is over the guide."""
    if detail is None or not detail.bolt_apart:
        return False
    return pounds * (top + detail.bolt_below + detail.bolt_apart) > _PULL * detail.bolt_apart
