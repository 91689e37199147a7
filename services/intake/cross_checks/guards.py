"""Guards against the recorded rules: height, and edges that stay open."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.code_profile import Rule
from schemas.job import Job
from schemas.lengths import Length
from schemas.site import Leg, Option, Question
from schemas.wording import row, say
from services.intake.cross_checks.asking import GO_ON, legs, recorded, rules, set_to, stairs
from services.tape import text_with_unit
from services.wording.terms import term


def check(job: Job) -> tuple[Question, ...]:
    """Rails lower than the recorded rule; gates and stair sides at an edge that needs a guard."""
    return (*_height(job), *_gates(job), *_open_sides(job), *_open_edges(job))


def _height(job: Job) -> Iterator[Question]:
    rail = job.system.level
    top = job.system.spacer_block + rail.bottom_depth + job.level_height.visible + rail.top_depth
    low = [
        (leg.name, rule.limit)
        for _, _, leg in legs(job)
        for rule in rules(job, "guard.height")
        if rule.limit is not None and _holds(job, rule, leg) and top < rule.limit
    ]
    if not low:
        return
    names = sorted({name for name, _ in low})
    limit = max(limit for _, limit in low)
    yield Question(
        key="rail-height",
        severity="stop",
        place=say("Leg {leg}", leg=names[0])
        if len(names) == 1
        else say("Legs {legs}", legs=row(names)),
        says=say(
            "The {level_height} section on its spacer block stands {top} high; the "
            "recorded limit is {limit}.",
            level_height=job.level_height.name,
            top=text_with_unit(top, job.step),
            limit=recorded(job, limit),
        ),
        ask=say("Is a higher section to be used, or does another rule hold here?"),
        options=_higher(job, limit) or (_LOWER,),
    )


_LOWER = Option(
    key="lower",
    says=say("The guard may be lower here; the findings ask who allows it, and why"),
)
"""Where no section of the system is high enough: the finding that breaks takes the answer."""


def _higher(job: Job, limit: Length) -> tuple[Option, ...]:
    """Sections of the same system, for the stairs too, that stand high enough."""
    rail = job.system.level
    stairs = {h.name for h in job.stair_system.stair.heights} if job.stair_system.stair else set()
    below = job.system.spacer_block + rail.bottom_depth + rail.top_depth
    return tuple(
        set_to(
            f"height-{height.name}",
            say(
                "The {height} section is used, {top} high",
                height=height.name,
                top=text_with_unit(below + height.visible, job.step),
            ),
            pointer="/rail/height",
            value=height.name,
        )
        for height in rail.heights
        if below + height.visible >= limit and (not job.stairs or height.name in stairs)
    )


def _holds(job: Job, rule: Rule, leg: Leg) -> bool:
    """Whether a height rule holds along a leg; an unknown drop is taken to need a guard."""
    if _no_guard_needed(job, leg.drop):
        return False
    if rule.where == "all" or leg.drop is None or rule.where_drop is None:
        return rule.where == "all"
    over = leg.drop > rule.where_drop
    return over if rule.where == "drop-over" else not over


def _no_guard_needed(job: Job, drop: Length | None) -> bool:
    asks = rules(job, "guard.drop")
    return drop is not None and bool(asks) and not any(rule.stands(drop) for rule in asks)


def _open_sides(job: Job) -> Iterator[Question]:
    """Stairs high enough to need a guard with a side that has no rail of ours."""
    asks = rules(job, "guard.drop")
    limits = [r.limit for r in asks if r.limit is not None]
    for _, stair in stairs(job):
        rise = stair.total_rise or stair.risers * stair.riser
        needed = bool(limits) and any(rule.stands(rise) for rule in asks)
        for side in ("left", "right"):
            if needed and side not in stair.rails:
                yield Question(
                    key=f"open-side.{stair.name}.{side}",
                    severity="hold",
                    place=say("Stair {stair}", stair=stair.name),
                    says=say(
                        "{stair} rises {rise}, and its {side} side (as seen going up) has no "
                        "rail of ours; from {limit} on a guard seems required at an open side.",
                        stair=stair.name,
                        rise=text_with_unit(rise, job.step),
                        side=term(side),
                        limit=recorded(job, min(limits)),
                    ),
                    ask=say("What closes that side?"),
                    options=(
                        Option(key="closed", says=say("A wall or a guard of others is there")),
                        GO_ON,
                    ),
                )


def _gates(job: Job) -> Iterator[Question]:
    asks = rules(job, "guard.drop")
    limits = [r.limit for r in asks if r.limit is not None]
    drops = {leg.name: leg.drop for _, _, leg in legs(job)}
    for gate in job.gates:
        drop = drops[gate.leg]
        if limits and drop is not None and any(rule.stands(drop) for rule in asks):
            yield Question(
                key=f"guard-gap.{gate.name}",
                severity="hold",
                place=say("Gate {gate}", gate=gate.name),
                says=say(
                    "Gate {gate} opens at an edge {drop} above what is below; from {limits} on a "
                    "guard seems required there, also while the gate stands open.",
                    gate=gate.name,
                    drop=text_with_unit(drop, job.step),
                    limits=recorded(job, min(limits)),
                ),
                ask=say("What is behind the gate, and when may it be opened?"),
                options=(GO_ON,),
            )


def _open_edges(job: Job) -> Iterator[Question]:
    """Edges that the plan leaves without railing, high enough to need a guard, or of no drop known.

    What no sphere passes is left alone.
    """
    asks = rules(job, "guard.drop")
    spheres = [r.limit for r in rules(job, "guard.opening") if r.limit is not None]
    for number, edge in enumerate(job.open_edges):
        low = edge.drop is not None and asks and not any(rule.stands(edge.drop) for rule in asks)
        narrow = bool(spheres) and edge.width < min(spheres)
        if low or narrow or edge.closed_by is not None:
            continue
        yield Question(
            key=f"open-edge.{number + 1}",
            severity="hold",
            place=say("Leg {leg}", leg=edge.leg),
            says=say(
                "{where}: {width} of the edge stay without railing ({why}), {drop}. A guard seems "
                "required there.",
                where=edge.where,
                width=text_with_unit(edge.width, job.step),
                why=WHY_OPEN[edge.why],
                drop=say("its drop is not known")
                if edge.drop is None
                else say("with a drop of {drop}", drop=text_with_unit(edge.drop, job.step)),
            ),
            ask=say("What closes that edge, and who puts it there before the old guard is off?"),
            options=(
                set_to(
                    "closed",
                    say("A guard or wall of others closes it"),
                    pointer=f"/open_edges/{number}/closed_by",
                    value="a guard or wall of others, by the office's answer",
                ),
                GO_ON,
            ),
        )


WHY_OPEN = {
    "stairs-removed": say("stairs removed"),
    "bench": say("a bench in the way"),
    "other": say("left open"),
}
