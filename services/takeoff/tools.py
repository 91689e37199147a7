"""Tools, bits and blades by task, as data."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files

from schemas.bays import Bays
from schemas.job import Job
from schemas.layout import Layout


def tools_for(*, job: Job, layout: Layout, bays: Bays) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Tasks that this job has, each with its tools."""
    has = {
        "job": True,
        "post-to-set": any(not post.in_place for post in layout.posts),
        "stair": bool(job.stairs),
        "handrail": any(bay.handrail for bay in bays.stair),
    }
    return tuple((says, tools) for says, needs, tools in _tasks() if has[needs])


@cache
def _tasks() -> tuple[tuple[str, str, tuple[str, ...]], ...]:
    tree = tomllib.loads((files(__package__) / "tools.toml").read_text("utf-8"))
    return tuple((task["says"], task["needs"], tuple(task["tools"])) for task in tree["task"])
