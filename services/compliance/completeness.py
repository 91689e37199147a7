"""The proof that nothing was left out: the job's head against what stands on the sheets.

A pack that silently omits a stair is worse than no pack, so the sums are taken twice, once
from the measure and once from what was made of it, and printed side by side.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from schemas.bays import Bays
from schemas.job import Job
from schemas.layout import Bay, LaidLeg, Layout
from services import tape

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
            f"Leg {leg.name} as measured",
            tape.feet_and_inches(leg.length, step),
            tape.feet_and_inches(laid[leg.name].measured, step) if leg.name in laid else "missing",
        )
        for leg in measured
    )
    total = sum(leg.length for leg in measured)
    drawn = sum(leg.measured for leg in layout.legs)
    level = [bay.name for bay in layout.bays if bay.kind == "level"]
    sides = [f"{stair.name}-{side[0].upper()}" for stair in job.stairs for side in stair.rails]
    return (
        _row("Legs", _names(leg.name for leg in measured), _names(laid)),
        *legs,
        _row("All legs", tape.feet_and_inches(total, step), tape.feet_and_inches(drawn, step)),
        *(chain(leg, layout.bays) for leg in layout.legs),
        *(
            _row(
                f"Openings of leg {leg.name}, posts in place",
                str(len(leg.clears)),
                str(sum(_on_leg(bay, leg.name) for bay in layout.bays)),
            )
            for leg in measured
            if leg.clears
        ),
        _row("Level bays laid out", _names(level), _names(bay.name for bay in bays.level)),
        _row(
            "Railing, clear",
            tape.feet_and_inches(sum(b.clear for b in layout.bays if b.kind in _RAILED), step),
            tape.feet_and_inches(_clear(bays), step),
        ),
        _row(
            "Stair sides",
            _names(sides),
            _names({f"{bay.stair}-{bay.side[0].upper()}" for bay in bays.stair}),
        ),
        _row("Stair openings", str(len(job.stairs)), _count(layout, "stair-opening")),
        _row("Gates", str(len(job.gates)), _count(layout, "gate-opening")),
        _row(
            "Posts",
            _names(post.name for post in layout.posts),
            _names(height.post for height in bays.posts),
        ),
    )


def chain(leg: LaidLeg, bays: tuple[Bay, ...]) -> Row:
    """Whether a leg's bays follow one another from its one end to its other, none missing."""
    along = sorted((bay for bay in bays if _on_leg(bay, leg.name)), key=lambda bay: bay.left.face)
    starts = None if leg.zero_is == "wall" else leg.posts[0]
    ends = None if leg.end_is == "wall" else leg.posts[-1]
    want = [starts, *(p for p in leg.posts if p not in {starts, ends}), ends]
    got: list[str | None] = [along[0].left.post] if along else []
    got += [bay.right.post for bay in along]
    joined = all(one.right.post == two.left.post for one, two in pairwise(along))
    return (
        f"Leg {leg.name} from end to end",
        " ".join(name or "wall" for name in want)[:200],
        " ".join(name or "wall" for name in got)[:200] or "no bay",
        joined and got == want,
    )


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
    return (what, head[:200], sheets[:200], head == sheets)
