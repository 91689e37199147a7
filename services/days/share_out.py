"""The plan of each day, out of the plan of the whole job."""

from __future__ import annotations

from collections.abc import Iterable

from schemas.cut_plan import CutPlan
from schemas.days import DayShare, Shared, Work
from schemas.plan import Plan
from schemas.sequence import Sequence, Step
from schemas.takeoff import Cost, PreCut, Takeoff
from schemas.wording import say
from services import tape
from services.days.own_steps import leaving, taking_over
from services.days.shares import hours_on, line_on, stays, step_on


def share_out(plan: Plan) -> tuple[Plan, Plan]:
    """The plans of the first and of the second day.

    Args:
        plan: Of the whole job.
    """
    first, second = _day(plan, "posts"), _day(plan, "rails")
    shared = _shared(plan, first, second)
    return _with(first, "posts", shared, plan), _with(second, "rails", shared, plan)


def _day(plan: Plan, work: Work) -> Plan:
    return plan.model_copy(
        update={
            "cuts": _cuts(plan.cuts, work),
            "takeoff": _load(plan, work),
            "sequence": _order(plan, work),
        }
    )


def _with(plan: Plan, work: Work, shared: tuple[Shared, ...], whole: Plan) -> Plan:
    share = DayShare(work=work, shared=shared, stays=stays(whole))
    return plan.model_copy(update={"day_share": share})


def _order(plan: Plan, work: Work) -> Sequence:
    kept = [step for step in plan.sequence.steps if step_on(step, work)]
    if work == "posts":
        steps = [*kept, *leaving(plan)]
    else:
        edge = next(n for n, step in enumerate(kept) if step.key == "edges")
        steps = [*kept[:edge], taking_over(), *kept[edge:]]
    numbered = tuple(_numbered(steps))
    used = {key for step in numbered for key in step.cautions}
    cautions = tuple(c for c in plan.sequence.cautions if c.key in used)
    return plan.sequence.model_copy(update={"steps": numbered, "cautions": cautions})


def _numbered(steps: list[Step]) -> Iterable[Step]:
    """In the order they stand in; a step waits for what its own day does, hold points first."""
    here = {step.key for step in steps}
    holds: list[str] = []
    for number, step in enumerate(steps, 1):
        after = (*(key for key in step.after if key in here), *holds)
        yield step.model_copy(update={"number": number, "after": tuple(dict.fromkeys(after))})
        if step.hold in {"H11", "H12"}:
            holds.append(step.key)


ON_RAILS = ("handrail", "stiffener")
"""Sticks that are cut with the rails."""


def _load(plan: Plan, work: Work) -> Takeoff:
    """Its lines, hours and money; cut stock's waste goes with the stock."""
    takeoff, rails = plan.takeoff, work == "rails"
    lines = tuple(line for line in takeoff.lines if line_on(line, plan.job, work))
    hours = tuple(line for line in takeoff.hours if hours_on(line, work))
    groups = dict.fromkeys(line.group for line in lines)
    cents = {g: sum(line.cents for line in lines if line.group == g) for g in groups}
    sticks = [bar for bar in plan.cuts.plain if (bar.what in ON_RAILS) == rails]
    unused = (bar.length - sum(end - start for _, start, end in bar.pieces) for bar in sticks)
    cost = Cost(
        material_cents=sum(cents.values()),
        waste_cents=takeoff.cost.waste_cents if rails else 0,
        stick_waste_cents=sum(
            bar.cents * left // bar.length for bar, left in zip(sticks, unused, strict=True)
        ),
        by_group=tuple(sorted(cents.items())),
    )
    return takeoff.model_copy(
        update={
            "lines": lines,
            "hours": hours,
            "crew_hours": round(sum(line.hours for line in hours), 2),
            "grams": sum(line.grams for line in lines),
            "cost": cost,
            "rail_length": takeoff.rail_length if rails else 0,
            "pre_cut": _comes_cut(plan, rails=rails),
        }
    )


def _comes_cut(plan: Plan, *, rails: bool) -> PreCut | None:
    """Of what the shop cuts: sleeves and cores come on the first day, rails on the second."""
    comes = plan.takeoff.pre_cut
    if comes is None:
        return None
    ready = tuple(one for one in comes.rails if (one.rail in {"top", "bottom"}) == rails)
    sticks = {bar.stock for bar in plan.cuts.plain}
    kits = tuple(kit for kit in comes.kits if (kit[0] not in sticks) == rails)
    return PreCut(rails=ready, kits=kits, bag=comes.bag if rails else ()) if ready else None


def _cuts(cuts: CutPlan, work: Work) -> CutPlan:
    """Sleeves and cores on the first day; rails and handrail, each on its own stock, after it."""
    rails = work == "rails"
    plain = tuple(bar for bar in cuts.plain if (bar.what in ON_RAILS) == rails)
    proofs = tuple(one for one in cuts.plain_proofs if (one.what in ON_RAILS) == rails)
    held = {
        "plain": plain,
        "plain_pieces": tuple(p for p in cuts.plain_pieces if (p.what in ON_RAILS) == rails),
        "plain_offered": tuple(p for p in cuts.plain_offered if (p.what in ON_RAILS) == rails),
        "plain_cents": sum(bar.cents for bar in plain),
        "plain_bound_cents": sum(proof.cents for proof in proofs),
        "plain_proofs": proofs,
    }
    if rails:
        return cuts.model_copy(update=held)
    none = {"pieces": (), "bars": (), "set_ups": (), "proofs": (), "offered": ()}
    money = {"cents": 0, "bound_cents": 0, "first_fit_cents": 0}
    return cuts.model_copy(update={**held, **none, **money})


def _shared(plan: Plan, first: Plan, second: Plan) -> tuple[Shared, ...]:
    """What both days do beside what the job has, each counted on its own plan."""
    whole = _counts(plan)
    ones, twos = _counts(first), _counts(second)
    rows = [
        Shared(
            what=what, whole=str(number), first=str(ones[what]), second=str(twos[what]),
            equal=ones[what] + twos[what] == number,
        )
        for what, number in whole.items()
    ]  # fmt: skip
    lengths = [one.takeoff.rail_length for one in (plan, first, second)]
    told = [tape.feet_and_inches(length, plan.job.step) for length in lengths]
    railing = Shared(
        what=say("Railing, clear"), whole=told[0], first=told[1], second=told[2],
        equal=lengths[0] == lengths[1] + lengths[2],
    )  # fmt: skip
    return (railing, *rows)


def _counts(plan: Plan) -> dict[str, int]:
    keys = [step.key for step in plan.sequence.steps]
    new = sum(not post.in_place for post in plan.layout.posts)
    packages = sum(line.packages for line in plan.takeoff.lines)
    return {
        say("Posts to set"): new if "framing" in keys else 0,
        say("Level bays"): sum(f"bay-{bay.name}" in keys for bay in plan.bays.level),
        say("Stair sides"): sum(f"stair-{bay.name}" in keys for bay in plan.bays.stair),
        say("Gates"): sum(f"gate-{gate.name}" in keys for gate in plan.job.gates),
        say("Rails to cut"): len(plan.cuts.pieces),
        say("Sleeves, cores, handrail"): sum(len(bar.pieces) for bar in plan.cuts.plain),
        say("Packages to load"): packages,
    }
