"""Both days of a split job gone through again: together they are the job, and the night is safe.

Only keys of steps, hold points, counts and the printed load are read; which day does what is
taken from the bays, posts and pieces themselves, not from the split.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from schemas.plan import Plan

BOTH = ("arrive", "verify", "edges")
"""Steps that each day does again; open questions too."""
ADDED = {"read-openings", "guard-edges", "take-over", "hand-over"}
ON_RAILS = ("bay-", "brackets-", "stair-", "handrail-", "gate-", "saw-", "first-section", "caps")


def recheck_days(whole: Plan, first: Plan, second: Plan) -> tuple[str, ...]:
    """Every breach of a split by day, in words; none is what two packs need."""
    return (
        *_steps(whole, first, second),
        *_night(first),
        *_taken_over(second),
        *_load(whole, first, second),
        *_cuts(whole, first, second),
    )


def _keys(plan: Plan) -> list[str]:
    return [step.key for step in plan.sequence.steps]


def _steps(whole: Plan, first: Plan, second: Plan) -> Iterator[str]:
    one, two = _keys(first), _keys(second)
    for plan in (first, second):
        if [step.number for step in plan.sequence.steps] != list(range(1, len(_keys(plan)) + 1)):
            yield "a day's steps are not numbered one after another"
    times = Counter([*one, *two])
    for step in whole.sequence.steps:
        again = step.key in BOTH or step.key.startswith("ask-") or step.key == "hand-over"
        if times[step.key] != (2 if again else 1):
            yield f"step {step.key} is done {times[step.key]} times on the two days"
    for key in sorted(times.keys() - set(_keys(whole)) - ADDED):
        yield f"step {key} is no step of the job"
    for plan in (first, second):
        order = [key for key in _keys(whole) if key in _keys(plan)]
        if [key for key in _keys(plan) if key in order and key != "hand-over"] != [
            key for key in order if key != "hand-over"
        ]:
            yield "a day does its steps in another order than the job"


def _night(first: Plan) -> Iterator[str]:
    """No rail is begun, and the last hold point is a guard along every edge."""
    steps = first.sequence.steps
    yield from (f"{k} is done on the first day" for k in _keys(first) if k.startswith(ON_RAILS))
    holds = [step for step in steps if step.hold]
    if [step.key for step in steps[-2:]] != ["guard-edges", "hand-over"]:
        yield "the first day does not end with the guard and the hand-over"
    elif holds[-1].key != "guard-edges":
        yield "the guard of the first night is no hold point"
    elif lost := [
        name
        for name in (*(leg.name for leg in first.layout.legs), *(s.name for s in first.job.stairs))
        if name not in steps[-2].text.replace(",", " ").replace(".", " ").split()
    ]:
        yield f"no guard for the first night at {', '.join(lost)}"


def _taken_over(second: Plan) -> Iterator[str]:
    """Posts and guard are looked at before anything is built on them."""
    at = {step.key: step.number for step in second.sequence.steps}
    built = [number for key, number in at.items() if key.startswith((*ON_RAILS, "openings-"))]
    taken = next((s for s in second.sequence.steps if s.key == "take-over"), None)
    if taken is None or taken.hold is None or taken.number > min(built, default=len(at)):
        yield "the second day builds before it has taken over"


def _load(whole: Plan, first: Plan, second: Plan) -> Iterator[str]:
    """Each line of the load goes along once; hours are the job's, set-up and travel twice."""
    lines = Counter((x.item, x.variant, x.packages) for x in whole.takeoff.lines)
    both = Counter(
        (x.item, x.variant, x.packages) for p in (first, second) for x in p.takeoff.lines
    )
    if lines != both:
        odd = sorted({item for item, _, _ in (lines - both) + (both - lines)})
        yield f"not loaded once on the two days: {', '.join(odd)}"
    if first.takeoff.grams + second.takeoff.grams != whole.takeoff.grams:
        yield "the two loads do not weigh what the job's does"
    if first.takeoff.rail_length + second.takeoff.rail_length != whole.takeoff.rail_length:
        yield "the two days' railing is not as long as the job's"
    work = [sum(x.hours for x in p.takeoff.hours if not x.apart) for p in (whole, first, second)]
    if round(work[0] - work[1] - work[2], 2):
        yield "the two days' hours are not the job's"


def _cuts(whole: Plan, first: Plan, second: Plan) -> Iterator[str]:
    """Posts' sticks are cut before posts stand, rails after; nothing twice."""
    if first.cuts.bars or second.cuts.bars != whole.cuts.bars:
        yield "rails are cut on the first day, or not all on the second"
    sticks = Counter(bar.number for p in (first, second) for bar in p.cuts.plain)
    if sticks != Counter(bar.number for bar in whole.cuts.plain):
        yield "a stick is cut twice or not at all"
    if any(bar.what in {"handrail", "stiffener"} for bar in first.cuts.plain) or any(
        bar.what not in {"handrail", "stiffener"} for bar in second.cuts.plain
    ):
        yield "sleeves and cores are not all of the first day"
