"""Tools, bits and blades by task, as data."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files

from schemas.bays import Bays
from schemas.job import Job
from schemas.layout import Layout
from schemas.wording import shipped


def tools_for(*, job: Job, layout: Layout, bays: Bays) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Tasks that this job has, each with its tools."""
    has = {
        "job": True,
        "post-to-set": any(not post.in_place for post in layout.posts),
        "stair": bool(job.stairs),
        "handrail": any(bay.handrail for bay in bays.stair),
        "concrete": job.detail is not None and job.detail.mount == "concrete",
        "removed": job.remove_feet > 0,
        "gate": bool(job.gates),
    }
    return tuple((says, tools) for says, needs, tools in tools_written() if has[needs])


@cache
def tools_written() -> tuple[tuple[str, str, tuple[str, ...]], ...]:
    """All shipped tasks: its words, what it needs, its tools."""
    tree = tomllib.loads((files(__package__) / "tools.toml").read_text("utf-8"))
    return tuple(
        (shipped(task["says"]), task["needs"], tuple(map(shipped, task["tools"])))
        for task in tree["task"]
    )
