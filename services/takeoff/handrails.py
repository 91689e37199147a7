"""What the graspable handrails take: sticks, brackets, returns, joiners."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from schemas.bays import Bays, StairBay
from schemas.cut_plan import CutPlan
from schemas.job import Job
from schemas.part_rule import SpareKind
from schemas.rail_system import Handrail
from schemas.wording import counted, say
from services.takeoff.counted import Count
from services.takeoff.posts import sticks


def handrail_parts(job: Job, bays: Bays, cuts: CutPlan) -> Iterator[Count]:
    """Parts of every handrail; an elbow where one goes on level beyond the top nosing.

    A company that carries it on round a landing names elbow and rail in part rules; without
    them a landing between two handrails is asked about (`doubts`).
    """
    rail = job.stair_system.handrail
    on = [bay for bay in bays.stair if bay.handrail]
    if rail is None or not on:
        return
    names = tuple(bay.name for bay in on)
    elbows = sum(bay.handrail_elbows for bay in on)
    brackets = sum(bay.handrail_brackets for bay in on)
    yield from sticks(
        cuts, "handrail", group="handrail", spare="handrail", why=say("by the handrail cut list")
    )
    ends = counted("2 ends x {count} handrail", "2 ends x {count} handrails", count=len(on))
    parts: tuple[tuple[str, int, str, SpareKind], ...] = (
        (rail.bracket_key, brackets, say("by length and spacing"), "handrail-fitting"),
        (rail.return_key, 2 * len(on), ends, "handrail"),
        (rail.elbow_key, elbows, say("1 where the slope changes"), "handrail-fitting"),
        (
            rail.joiner_key,
            joints(job, on, rail),
            say("1 a joint between sticks"),
            "handrail-fitting",
        ),
    )
    for key, needed, why, spare in parts:
        if key == rail.elbow_key and not needed:
            continue
        yield Count(group="handrail", key=key, needed=needed, why=why, places=names, spare=spare)


def joints(job: Job, on: list[StairBay], rail: Handrail) -> int:
    """Joints between sticks, all handrails together; a stick's ends are squared first."""
    stick = job.company.squared(rail.stock)
    return sum(ceil(((bay.handrail or 0) - bay.handrail_level) / stick) - 1 for bay in on)
