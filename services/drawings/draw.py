"""All drawings of a plan, in the order in which the pack uses them."""

from __future__ import annotations

from schemas.drawings import Drawing
from schemas.plan import Plan
from services.drawings.corner_detail import corner_details
from services.drawings.level_elevation import level_elevation
from services.drawings.post_faces import post_faces
from services.drawings.running_strip import running_strips
from services.drawings.site_plan import key_plan
from services.drawings.stair_elevation import stair_drawings
from services.drawings.stock_bars import plain_bars, stock_bars
from services.tape import is_metric
from services.wording import words_of


def draw(plan: Plan) -> tuple[Drawing, ...]:
    """Draw everything that a plan's pack shows.

    Args:
        plan: A finished plan.
    """
    job, layout, bays = plan.job, plan.layout, plan.bays
    step, metric, words = job.step, is_metric(job.step), words_of(job)
    called = job.company.called
    strips = (
        strip
        for leg in layout.legs
        for strip in running_strips(layout=layout, leg=leg, step=step, metric=metric, words=words)
    )
    return (
        key_plan(job=job, layout=layout),
        *(post_faces(group=group, job=job) for group in bays.shared_posts),
        *corner_details(job=job, layout=layout),
        *strips,
        *(level_elevation(group=group, job=job, layout=layout) for group in bays.alike(layout)),
        *(d for group in bays.alike_stair for d in stair_drawings(group=group, job=job, bays=bays)),
        *stock_bars(cuts=plan.cuts, step=step, metric=metric, words=words, called=called),
        *plain_bars(cuts=plan.cuts, step=step, metric=metric, words=words, called=called),
    )
