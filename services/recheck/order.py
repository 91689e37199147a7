"""The order of work gone through again: nothing is done before what it stands on.

Only the printed numbers, the hold points and the keys of the steps are read; what must come
before what is taken from the plan's own bays, posts and stairs.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from schemas.plan import Plan

HOLDS_BEFORE = {"bay": ("H3", "H4", "H5", "H6"), "stair": ("H3", "H4", "H5")}
"""Hold points that stand before a level bay and before a stair bay, where the job has them."""


def recheck_order(plan: Plan) -> Iterator[str]:
    """Every step out of its place, and every part of the plan that no step builds."""
    steps = plan.sequence.steps
    at = {step.key: step.number for step in steps}
    if [step.number for step in steps] != list(range(1, len(steps) + 1)) or len(at) < len(steps):
        yield "its steps are not numbered one after another"
    for step in steps:
        late = [key for key in step.after if at.get(key, step.number) >= step.number]
        if late:
            yield f"step {step.number}: stands before {', '.join(late)}, which it waits for"
    yield from _bays(plan, at)
    yield from _hands(plan)
    yield from _stairs(plan, at)
    yield from _last(plan, at)


def _bays(plan: Plan, at: Mapping[str, int]) -> Iterator[str]:
    """Each bay has its step, behind the hold points and the parts it is fixed to."""
    holds = {step.hold: step.number for step in plan.sequence.steps if step.hold}
    built = [("bay", bay.name) for bay in plan.bays.level]
    built += [("stair", bay.name) for bay in plan.bays.stair]
    for kind, name in built:
        number = at.get(f"{kind}-{name}")
        if number is None:
            yield f"{name}: no step builds it"
            continue
        early = [hold for hold in HOLDS_BEFORE[kind] if holds.get(hold, 0) > number]
        early += [key for key in ("skirts", "sleeves") if at.get(key, 0) > number]
        if early:
            yield f"{name}: built before {', '.join(early)}"
    for bay in plan.bays.level:
        if at.get(f"brackets-{bay.leg}", len(at)) > at.get(f"bay-{bay.name}", len(at)):
            yield f"{bay.name}: built before its brackets"


def _hands(plan: Plan) -> Iterator[str]:
    """A section that two must lift is lifted by two at its step; nobody works alone at less."""
    lifts = {f"bay-{bay.name}": bay.people for bay in plan.bays.level}
    lifts |= {f"stair-{bay.name}": bay.people for bay in plan.bays.stair}
    for step in plan.sequence.steps:
        if step.people < lifts.get(step.key, 1):
            yield f"step {step.number}: {step.people} for what {lifts.get(step.key, 1)} lift"


def _stairs(plan: Plan, at: Mapping[str, int]) -> Iterator[str]:
    """A lower post is cut to a line that was proved; its rails and the check follow."""
    standing = {post.name for post in plan.layout.posts if post.in_place}
    for stair in dict.fromkeys(bay.stair for bay in plan.bays.stair):
        sides = [bay for bay in plan.bays.stair if bay.stair == stair]
        row = [f"line-{stair}", *(f"stair-{bay.name}" for bay in sides), f"check-{stair}"]
        if {bay.lower_post for bay in sides} - standing:
            row.insert(1, f"lower-{stair}")
        if any(bay.handrail is not None for bay in sides):
            row += [f"handrail-{stair}", f"handrail-check-{stair}"]
        missing = [key for key in row if key not in at]
        numbers = [at[key] for key in row if key in at]
        if missing or numbers != sorted(numbers):
            yield f"{stair}: its steps are not {', '.join(row)} in that order"
        yield from _on_long_posts(plan, at, stair)


def _on_long_posts(plan: Plan, at: Mapping[str, int], stair: str) -> Iterator[str]:
    """No level rail is fixed to a post that is still to be cut."""
    cut = at.get(f"lower-{stair}", 0)
    long = {bay.lower_post for bay in plan.bays.stair if bay.stair == stair}
    for bay in plan.layout.bays:
        on_it = bay.kind == "level" and {bay.left.post, bay.right.post} & long
        if on_it and at.get(f"bay-{bay.name}", cut) < cut:
            yield f"{bay.name}: fixed to a post that is cut for {stair} later"


def _last(plan: Plan, at: Mapping[str, int]) -> Iterator[str]:
    """Gates before caps, caps before the last check, which only the hand-over follows."""
    gates = [f"gate-check-{gate.name}" for gate in plan.job.gates]
    row = [*gates, *(["caps"] if plan.layout.posts else []), "last-check", "hand-over"]
    if missing := [key for key in row if key not in at]:
        yield f"no step for {', '.join(missing)}"
    elif [at[key] for key in row[-2:]] != [len(at) - 1, len(at)] or any(
        at[key] > at[row[-2]] for key in row[:-2]
    ):
        yield "something is left to do after the last check"
