"""Counts: how many of each part the plan needs, with the places that need them."""

from __future__ import annotations

from schemas.bays import Bays
from schemas.cut_plan import CutPlan
from schemas.job import Job
from schemas.layout import Layout
from schemas.wording import say
from services.takeoff.by_rule import parts_by_rule
from services.takeoff.counted import Count
from services.takeoff.handrails import handrail_parts
from services.takeoff.posts import post_parts, sticks
from services.takeoff.rails import rail_parts


def count_parts(*, job: Job, layout: Layout, bays: Bays, cuts: CutPlan) -> tuple[Count, ...]:
    """Count every part of a job; equal keys are not yet joined, boxed ones not yet taken off."""
    to_set = tuple(post for post in layout.posts if not post.in_place)
    return (
        *post_parts(job, to_set, cuts),
        *rail_parts(job, bays, cuts),
        *sticks(
            cuts,
            "stiffener",
            group="rails",
            spare="stiffener",
            why=say("by the cut list of stiffeners"),
        ),
        *handrail_parts(job, bays, cuts),
        *parts_by_rule(job=job, layout=layout, bays=bays, cuts=cuts),
    )
