"""The order of work: each step after those it stands on, the same for the same job."""

from __future__ import annotations

from heapq import heapify, heappop, heappush

from schemas.bays import Bays
from schemas.cut_plan import CutPlan
from schemas.errors import BrokenPlan
from schemas.job import Job
from schemas.layout import Layout
from schemas.sequence import Sequence, Step
from services.sequence.cautions import called_for, law_of
from services.sequence.hazards import further_hazards, site_hazards
from services.sequence.hold_points import guarded
from services.sequence.stages import STAGES
from services.sequence.steps import all_steps


def order_work(job: Job, layout: Layout, bays: Bays, cuts: CutPlan) -> Sequence:
    """Write the steps of a job and put them in order.

    Args:
        job: The job; its open hold questions become hold points at the start.
        layout: Where every post stands.
        bays: Every bay as it is built.
        cuts: The cut plan; pieces of other jobs on it are left out.

    Raises:
        BrokenPlan: The steps wait for one another in a circle, or for one that is not there.
    """
    steps = in_order(guarded(all_steps(job, layout, bays, cuts)))
    return Sequence(
        steps=steps,
        cautions=called_for(steps, law=law_of(job)),
        site_hazards=site_hazards(job, layout, bays),
        further_hazards=further_hazards(job, layout, bays),
    )


def in_order(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """Number the steps so that each follows all it waits for.

    Among steps that are free to be done, the earlier stage goes first, then the order in
    which they were written.

    Raises:
        BrokenPlan: Two steps of one key, a circle, or a step that waits for a missing one.

    Source:
        Kahn 1962: topological sorting of large networks.
    """
    by_key = {step.key: step for step in steps}
    missing = sorted({key for step in steps for key in step.after} - by_key.keys())
    if missing or len(by_key) < len(steps):
        msg = f"steps wait for what is not there or share a key: {missing}"
        raise BrokenPlan(msg)
    rank = {
        step.key: (STAGES.index(step.stage), written, step.key)
        for written, step in enumerate(steps)
    }
    waits = {step.key: set(step.after) for step in steps}
    free = [rank[key] for key, others in waits.items() if not others]
    heapify(free)
    done: list[Step] = []
    while free:
        key = heappop(free)[2]
        stage = STAGES[STAGES.index(by_key[key].stage)]
        done.append(by_key[key].model_copy(update={"number": len(done) + 1, "stage": stage}))
        for other, others in waits.items():
            if key in others:
                others.remove(key)
                if not others:
                    heappush(free, rank[other])
    if len(done) < len(steps):
        stuck = sorted(by_key.keys() - {step.key for step in done})
        msg = f"steps wait for one another: {', '.join(stuck)}"
        raise BrokenPlan(msg)
    return tuple(done)
