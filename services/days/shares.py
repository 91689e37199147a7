"""Which day a step, a part or an hour belongs to.

Source:
    Common practice: posts on one day, rails on another after the openings are measured again.
"""

from __future__ import annotations

from typing import Final

from schemas.days import Work
from schemas.job import Job
from schemas.layout import Layout
from schemas.plan import Plan
from schemas.sequence import Step
from schemas.takeoff import HoursLine, TakeoffLine

ARRIVING: Final = frozenset({"Arrive", "Edge"})
"""Done on both days: who comes back checks again."""

FIRST: Final = frozenset({"Old rail", "Framing", "Posts", "Dress posts"})
"""Parts of the work that the first day does."""

POST_RATES: Final = frozenset({"remove", "post", "post-surface", "post-concrete", "dress"})

POST_GROUPS: Final = frozenset({"posts", "sleeves", "fixings", "consumables", "disposal", "safety"})

RAIL_PER: Final = frozenset(
    {
        "wall-end", "mitred-end", "level-bay", "stair-bay", "bracket", "foot-block",
        "handrail", "handrail-landing", "gate", "pool-gate", "in-line-post",
    }
)  # fmt: skip
"""What parts by rule are counted by that go on with the rails."""

STAY: Final = frozenset({"consumables", "safety"})
"""Headings of what both days use."""


def posts_to_set(layout: Layout) -> bool:
    """Whether there is a first day's work at all."""
    return any(not post.in_place for post in layout.posts)


def step_on(step: Step, work: Work) -> bool:
    """Whether a day does a step."""
    if step.stage in ARRIVING:
        return True
    return (step.stage in FIRST) == (work == "posts")


def line_on(line: TakeoffLine, job: Job, work: Work) -> bool:
    """Whether a day loads a line of the takeoff."""
    return _with_posts(line, job) == (work == "posts")


def _with_posts(line: TakeoffLine, job: Job) -> bool:
    """Caps and their adhesive come last, on the second day, after wiring and inspection."""
    system = job.system
    if line.item in {system.sleeve.cap_key, system.adhesive_key}:
        return False
    rules = (*job.company.extras, *system.parts, *job.stair_system.parts)
    per = {rule.per for rule in rules if rule.key == line.item}
    return line.group in POST_GROUPS and per.isdisjoint(RAIL_PER)


def hours_on(line: HoursLine, work: Work) -> bool:
    """Whether a day works on something; each day is set up and driven to."""
    return line.apart or (line.rate in POST_RATES) == (work == "posts")


def stays(plan: Plan) -> tuple[tuple[str, int], ...]:
    """What the first day loads and the second uses too."""
    return tuple(
        (line.named, line.packages * line.package)
        for line in plan.takeoff.lines
        if line.group in STAY and line_on(line, plan.job, "posts")
    )
