"""The four edges of a stair's rails where they meet a post, drawn as lines over the nosings."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from schemas.bays import StairBay
from schemas.plan import Plan
from services.recheck.stair import faces_of


def rake_edges(plan: Plan, side: StairBay, post: str) -> Iterator[tuple[str, str, float, float]]:
    """Bay, rail, underside and topside at the faces of a post, not yet on a mark.

    A line h over the nosings, x downhill of the top one, stands h - x * riser / tread over the
    deck; a rail's other edge is its depth times the slope's secant away, plumb.
    """
    rail = plan.job.stair_system.stair
    laid = next((one for one in plan.layout.bays if one.name == side.name), None)
    if rail is None or laid is None:
        return
    stair = next(one for one in plan.job.stairs if one.name == side.stair)
    span = faces_of(plan, stair, side, laid)
    fall = side.riser / side.tread
    secant = hypot(side.riser, side.tread) / side.tread
    under, top = side.rail_over_nosing, side.top_over_nosing
    edges = (
        ("bottom", under, under + rail.bottom_depth * secant),
        ("top", top - rail.top_depth * secant, top),
    )
    for name, at, foot in (
        (side.upper_post, span.upper, span.upper_foot),
        (side.lower_post, span.lower, span.lower_foot),
    ):
        if name == post:
            lower = at * fall - foot
            yield from ((side.name, which, low - lower, high - lower) for which, low, high in edges)
