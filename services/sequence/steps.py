"""All steps of a job, part by part, not yet in their final order."""

from __future__ import annotations

from schemas.bays import Bays
from schemas.cut_plan import CutPlan
from schemas.job import Job
from schemas.layout import Layout
from schemas.sequence import Step
from services.sequence.arriving import arriving
from services.sequence.finishing import finishing
from services.sequence.posts import posts
from services.sequence.sections import sections
from services.sequence.stairs import stairs
from services.sequence.work import Work


def all_steps(job: Job, layout: Layout, bays: Bays, cuts: CutPlan) -> tuple[Step, ...]:
    """Write every step that this job has."""
    work = Work(job=job, layout=layout, bays=bays, cuts=cuts)
    before = (*arriving(work), *posts(work), *sections(work), *stairs(work))
    return (*before, *finishing(work, before=before))
