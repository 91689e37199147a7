"""Tools, bits and blades by task, as data."""

from __future__ import annotations

import re
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
        "wall": bool(_walls(job)),
        "masonry": any(_MASONRY.search(wall) for wall in _walls(job)),
        "old-paint": job.may_hold_lead and bool(_walls(job) or job.remove_feet),
        "gate": bool(job.gates),
    }
    return tuple(
        (task.says, (*task.tools, *_block(job, bays, task), *check_balls(job, task.balls)))
        for task in tools_written()
        if has[task.needs]
    )


_MASONRY = re.compile("brick|masonry|stone|stucco|concrete|block wall", re.IGNORECASE)
"""What a wood bit does not go through, as measure techs write it down."""


def _walls(job: Job) -> tuple[str, ...]:
    """What the walls are made of at which a line ends; empty where nobody wrote it down."""
    ends = (end for line in job.lines if not line.closed for end in (line.start, line.end))
    return tuple(end.substrate or "" for end in ends if end.kind == "wall")


def _block(job: Job, bays: Bays, task: Task) -> tuple[str, ...]:
    """The block that carries every level bottom rail while it is fixed."""
    if not task.spacer or not bays.level:
        return ()
    sizes = sorted({bay.sweep for bay in bays.level})
    return tuple(say("{size} spacer block", size=text_with_unit(s, job.step)) for s in sizes)


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
    spacer: bool
    """Whether rails are set on the spacer block."""


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
            spacer=task.get("spacer", False),
        )
        for task in tree["task"]
    )
