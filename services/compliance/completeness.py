"""The proof that nothing was left out: the job's head against what stands on the sheets.

A pack that silently omits a stair is worse than no pack, so the sums are taken twice, once
from the measure and once from what was made of it, and printed side by side.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from math import hypot

from schemas.bays import Bays
from schemas.job import Job
from schemas.layout import Bay, LaidLeg, Layout, Post
from schemas.wording import row, say
from services import tape
from services.geometry.polyline import SQUARE, from_nearest, reach

_RAILED = ("level", "stair")

Row = tuple[str, str, str, bool]
"""What, job head, sheets, and whether they are equal."""


def complete(job: Job, layout: Layout, bays: Bays) -> tuple[Row, ...]:
    """Every leg, bay, stair side, gate and post of the job, counted on the sheets.

    Args:
        job: The measure.
        layout: Legs, posts and bays.
        bays: What stands on the sheets.
    """
    measured = [leg for line in job.lines for leg in line.legs]
    laid = {leg.name: leg for leg in layout.legs}
    step = job.step
    legs = (
        _row(
            say("Leg {leg} as measured", leg=leg.name),
            tape.feet_and_inches(leg.length, step),
            tape.feet_and_inches(laid[leg.name].measured, step)
            if leg.name in laid
            else say("missing"),
        )
        for leg in measured
    )
    total = sum(leg.length for leg in measured)
    drawn = sum(leg.measured for leg in layout.legs)
    level = [bay.name for bay in layout.bays if bay.kind == "level"]
    sides = [f"{stair.name}-{side[0].upper()}" for stair in job.stairs for side in stair.rails]
    return (
        _row(say("Legs"), _names(leg.name for leg in measured), _names(laid)),
        *legs,
        _row(say("All legs"), tape.feet_and_inches(total, step), tape.feet_and_inches(drawn, step)),
        *(chain(leg, layout, sphere=_sphere(job)) for leg in layout.legs),
        *(
            _row(
                say("Openings of leg {leg}, posts in place", leg=leg.name),
                str(len(leg.clears)),
                str(_openings(laid[leg.name], layout, sphere=_sphere(job))),
            )
            for leg in measured
            if leg.clears and leg.name in laid
        ),
        _row(say("Level bays laid out"), _names(level), _names(bay.name for bay in bays.level)),
        _row(
            say("Railing, clear"),
            tape.feet_and_inches(sum(b.clear for b in layout.bays if b.kind in _RAILED), step),
            tape.feet_and_inches(_clear(bays), step),
        ),
        _row(
            say("Stair sides"),
            _names(sides),
            _names({f"{bay.stair}-{bay.side[0].upper()}" for bay in bays.stair}),
        ),
        _row(say("Stair openings"), str(len(job.stairs)), _count(layout, "stair-opening")),
        _row(
            say("Gates in openings of their own"),
            str(sum(gate.stair is None for gate in job.gates)),
            _count(layout, "gate-opening"),
        ),
        _row(
            say("Posts"),
            _names(post.name for post in layout.posts),
            _names(height.post for height in bays.posts),
        ),
    )


def chain(leg: LaidLeg, layout: Layout, *, sphere: int) -> Row:
    """Whether a leg's bays follow one another from its one end to its other, none missing.

    Args:
        leg: The leg.
        layout: With all posts and bays.
        sphere: Between posts closer than this nothing is missing; 0 is unknown. [1/320 mm]
    """
    bays = _bays_of(leg, layout)
    want = _along(leg)
    got = want[:1]
    for one, two in pairwise(want):
        if (one, two) not in bays and _between(leg, layout, one, two) >= sphere:
            break
        got.append(two)
    return (
        say("Leg {leg} from end to end", leg=leg.name),
        row((name or say("wall") for name in want), " "),
        row((name or say("wall") for name in got), " "),
        got == want,
    )


def _between(leg: LaidLeg, layout: Layout, one: str | None, two: str | None) -> float:
    """From face to face. [1/320 mm]."""
    left = layout.post(one) if one else None
    right = layout.post(two) if two else None
    start, end = left.point if left else leg.start, right.point if right else leg.end
    halves = sum(_half(leg, layout, post) for post in (left, right) if post)
    return hypot(end.x - start.x, end.y - start.y) - halves


def _half(leg: LaidLeg, layout: Layout, post: Post) -> int:
    """From a post's centre to where the leg meets its sleeve."""
    own = next((one.heading_deg for one in layout.legs if one.name == post.leg), leg.heading_deg)
    off = from_nearest(leg.heading_deg, first=own + post.turned_deg, apart=SQUARE)
    return reach(width=post.sleeve, angle_deg=abs(off))


def _sphere(job: Job) -> int:
    """The smallest sphere recorded for a guard's openings; 0 where none is."""
    rules = job.profile.rules if job.profile else ()
    limits = [rule.limit for rule in rules if rule.measures == "guard.opening" and rule.limit]
    return min(limits, default=0)


def _clear(bays: Bays) -> int:
    return sum(bay.clear for bay in bays.level) + sum(bay.clear for bay in bays.stair)


def _on_leg(bay: Bay, leg: str) -> bool:
    return bay.kind != "stair" and bay.leg == leg


def _count(layout: Layout, kind: str) -> str:
    return str(sum(bay.kind == kind for bay in layout.bays))


def _names(names: Iterable[str]) -> str:
    """Count and names, in order, so that two equal counts of different things differ."""
    every = sorted(names)
    return f"{len(every)}: {', '.join(every)}" if every else "0"


def _row(what: str, head: str, sheets: str) -> Row:
    return (what, head, sheets, head == sheets)


def _openings(leg: LaidLeg, layout: Layout, *, sphere: int) -> int:
    """Bays of a leg, and what stays open between neighbours because no sphere passes."""
    bays = _bays_of(leg, layout)
    closed = (
        (one, two) not in bays and _between(leg, layout, one, two) < sphere
        for one, two in pairwise(_along(leg))
    )
    return len(bays) + sum(closed)


def _bays_of(leg: LaidLeg, layout: Layout) -> set[tuple[str | None, str | None]]:
    return {(bay.left.post, bay.right.post) for bay in layout.bays if _on_leg(bay, leg.name)}


def _along(leg: LaidLeg) -> list[str | None]:
    """Posts of a leg with the walls at its ends."""
    starts = [None] if leg.zero_is == "wall" else []
    ends = [None] if leg.end_is == "wall" else []
    return [*starts, *leg.posts, *ends]
