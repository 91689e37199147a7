"""Counts taken again: nothing left out between the measure, the plan and the load."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from schemas.plan import Plan


def recheck_counts(plan: Plan) -> Iterator[str]:
    """Every count that does not agree."""
    measured = {(stair.name, side) for stair in plan.job.stairs for side in stair.rails}
    sides = {(bay.stair, bay.side) for bay in plan.bays.stair}
    if sides != measured:
        yield f"{len(measured)} stair sides measured, {len(sides)} on the plan"
    laid = {bay.name for bay in plan.layout.bays if bay.kind == "stair"}
    if laid != {bay.name for bay in plan.bays.stair}:
        yield f"{len(laid)} stair bays laid out, {len(plan.bays.stair)} built"
    laid = {bay.name for bay in plan.layout.bays if bay.kind == "level"}
    built = {bay.name for bay in plan.bays.level}
    if laid != built:
        yield f"bays laid out but not built: {', '.join(sorted(laid ^ built))}"
    heights = {post.post for post in plan.bays.posts}
    posts = {post.name for post in plan.layout.posts}
    if heights != posts:
        yield f"posts without heights: {', '.join(sorted(posts ^ heights))}"
    legs = [leg.name for line in plan.job.lines for leg in line.legs]
    if legs != [leg.name for leg in plan.layout.legs]:
        yield "legs measured are not the legs on the plan"
    yield from _brackets(plan)


def _brackets(plan: Plan) -> Iterator[str]:
    want = Counter((rail, end) for rail in ("top", "bottom") for end in ("left", "right"))
    fits = [(bay.name, bay.brackets) for bay in plan.bays.level]
    fits += [(bay.name, bay.brackets) for bay in plan.bays.stair]
    for name, brackets in fits:
        if Counter((fit.rail, fit.end) for fit in brackets) != want:
            yield f"{name}: {len(brackets)} brackets, not one at each end of each rail"
