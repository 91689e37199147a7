"""Counts taken again: nothing left out between the measure, the plan and the load."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.plan import Plan


def recheck_counts(plan: Plan) -> Iterator[str]:
    """Every count that does not agree."""
    stairs = sum(len(stair.rails) for stair in plan.job.stairs)
    if len(plan.bays.stair) != stairs:
        yield f"{stairs} stair sides measured, {len(plan.bays.stair)} on the plan"
    laid = {bay.name for bay in plan.layout.bays if bay.kind == "level"}
    built = {bay.name for bay in plan.bays.level}
    if laid != built:
        yield f"bays laid out but not built: {', '.join(sorted(laid ^ built))}"
    heights = {post.post for post in plan.bays.posts}
    posts = {post.name for post in plan.layout.posts}
    if heights != posts:
        yield f"posts without heights: {', '.join(sorted(posts ^ heights))}"
    fits = [(bay.name, len(bay.brackets)) for bay in plan.bays.level]
    fits += [(bay.name, len(bay.brackets)) for bay in plan.bays.stair]
    for name, count in fits:
        if count != 4:
            yield f"{name}: {count} brackets, not one at each end of each rail"
    yield from _load(plan)


def _load(plan: Plan) -> Iterator[str]:
    to_set = sum(not post.in_place for post in plan.layout.posts)
    loaded = {line.item: line.packages * line.package for line in plan.takeoff.lines}
    sleeve = plan.job.system.sleeve
    for key in (sleeve.cap_key, sleeve.skirt_key):
        if loaded.get(key, 0) < to_set:
            yield f"{loaded.get(key, 0)} {key} loaded for {to_set} posts"
    kits: dict[str, int] = {}
    for bar in plan.cuts.bars:
        if bar.stock.kit:
            kits[bar.stock.kit] = kits.get(bar.stock.kit, 0) + 1
    for key, count in kits.items():
        if loaded.get(key, 0) < count:
            yield f"{loaded.get(key, 0)} {key} loaded, {count} on the cut list"
