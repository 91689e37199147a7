"""Whether a plan's names and numbers lead anywhere; what does not can not be measured again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from schemas.plan import Plan


def recheck_structure(plan: Plan) -> Iterator[str]:
    """Every leg, bay, post or nosing that is named and is not there."""
    yield from _in_plan(plan)
    yield from _sheets(plan)
    sheets = [bay.name for bay in plan.bays.level] + [bay.name for bay in plan.bays.stair]
    yield from _twice("posts", (post.name for post in plan.layout.posts))
    yield from _twice("bays", (bay.name for bay in plan.layout.bays))
    yield from _twice("bay sheets", sheets)


def _in_plan(plan: Plan) -> Iterator[str]:
    lines = {leg.name: n for n, line in enumerate(plan.job.lines) for leg in line.legs}
    stairs = {stair.name for stair in plan.job.stairs}
    posts = {post.name for post in plan.layout.posts}
    for leg in plan.layout.legs:
        if lines.get(leg.name) != leg.line:
            yield f"leg {leg.name} is not of line {leg.line + 1}"
    for bay in plan.layout.bays:
        if bay.leg not in (stairs if bay.kind == "stair" else lines):
            yield f"{bay.name}: a bay of kind {bay.kind} on {bay.leg}"
        if {bay.left.post, bay.right.post} - {None} - posts:
            yield f"{bay.name}: stands between posts that are not there"


def _sheets(plan: Plan) -> Iterator[str]:
    lines = {leg.name for line in plan.job.lines for leg in line.legs}
    stairs = {stair.name: stair for stair in plan.job.stairs}
    posts = {post.name for post in plan.layout.posts}
    for level in plan.bays.level:
        if level.leg not in lines or not level.marks or not level.top_marks:
            yield f"{level.name}: on no leg, or without balusters"
    for side in plan.bays.stair:
        stair = stairs.get(side.stair)
        if stair is None or not side.marks or {side.upper_post, side.lower_post} - posts:
            yield f"{side.name}: on no stair, without posts or without balusters"
        elif any(not 1 <= nose.nosing <= stair.risers for nose in side.heights):
            yield f"{side.name}: a nosing that the flight does not have"
        elif (side.riser, side.tread) != (stair.riser, stair.tread):
            yield f"{side.name}: riser and tread are not those measured"


def _twice(what: str, names: Iterable[str]) -> Iterator[str]:
    twice = [name for name, count in Counter(names).items() if count > 1]
    if twice:
        yield f"two {what} of one name: {', '.join(twice)}"
