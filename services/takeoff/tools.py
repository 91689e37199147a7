"""Tools, bits and blades by task, as data."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from schemas.bays import Bays
from schemas.job import Job
from schemas.layout import Layout
from schemas.lengths import PER_64TH, PER_MM
from schemas.wording import say, shipped
from services.tape import text_with_unit


def tools_for(*, job: Job, layout: Layout, bays: Bays) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Tasks that this job has, each with its tools."""
    fixings = [job.fixing_of(post) for post in layout.posts if not post.in_place]
    has = {
        "job": True,
        "post-to-set": any(not post.in_place for post in layout.posts),
        "stair": bool(job.stairs),
        "handrail": any(bay.handrail for bay in bays.stair),
        "concrete": any(detail and detail.mount == "concrete" for detail in fixings),
        "removed": job.remove_feet > 0,
        "gate": bool(job.gates),
    }
    return tuple(
        (task.says, (*task.tools, *check_balls(job, task.balls)))
        for task in tools_written()
        if has[task.needs]
    )


def check_balls(job: Job, measures: tuple[str, ...]) -> tuple[str, ...]:
    """A ball for each sphere that the job's rules name, in the rules' own unit.

    A ball of another size passes what fails: 4 in is more than 100 mm. With no rules known the
    task has none; the question about the rules stands on the job card.
    """
    if job.profile is None:
        return ()
    step = PER_64TH if job.profile.unit in {"in", "ft"} else PER_MM
    sizes = {
        rule.limit
        for rule in job.profile.rules
        if rule.measures in measures and rule.limit is not None and rule.compare != "as said"
    }
    return tuple(
        say("{size} check ball", size=text_with_unit(size, step)) for size in sorted(sizes)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A task with its tools, as shipped."""

    says: str
    needs: str
    """Which jobs have it."""
    tools: tuple[str, ...]
    balls: tuple[str, ...]
    """What is measured with a ball."""


@cache
def tools_written() -> tuple[Task, ...]:
    """All shipped tasks."""
    tree = tomllib.loads((files(__package__) / "tools.toml").read_text("utf-8"))
    return tuple(
        Task(
            says=shipped(task["says"]),
            needs=task["needs"],
            tools=tuple(map(shipped, task["tools"])),
            balls=tuple(task.get("balls", ())),
        )
        for task in tree["task"]
    )
