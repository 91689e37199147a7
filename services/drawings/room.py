"""Whether a site can be drawn at all, asked before its posts are cut for."""

from __future__ import annotations

from schemas.errors import GeometryError
from schemas.job import Job
from schemas.layout import Layout
from schemas.site import Question
from schemas.wording import counted, say
from services.drawings.site_plan import barest

CROWDED = 8
"""Sites of no more legs than this always have room."""


def no_room(job: Job, layout: Layout) -> tuple[Question, ...]:
    """A site that no key plan holds is stopped, and told how to come as several jobs.

    Args:
        job: With its guard lines, the field that is too long.
        layout: Legs and posts in plan.
    """
    if len(layout.legs) <= CROWDED:
        return ()
    try:
        barest(job=job, layout=layout)
    except GeometryError:
        return (_split(job, layout),)
    return ()


def _split(job: Job, layout: Layout) -> Question:
    lines = len(job.lines)
    middle = (lines + 1) // 2
    where = (
        say(
            "Its guard lines can be parted, for instance before the line of leg {leg}.",
            leg=job.lines[middle].legs[0].name,
        )
        if lines > 1
        else say("It is one guard line: end it at a post, and start the next job at that post.")
    )
    return Question(
        key="key-plan.lines",
        severity="stop",
        place=say("Job"),
        says=say(
            "/lines has {legs} in {lines}: no key plan has room for their letters and "
            "posts. {where}",
            legs=counted("{count} leg", "{count} legs", count=len(layout.legs)),
            lines=counted("{count} guard line", "{count} guard lines", count=lines),
            where=where,
        ),
        ask=say("Which legs are sent as a job of their own?"),
    )
