"""Post heights: what the rails at a post ask of its sleeve and its core.

Every post shows the same reveal between its highest rail and its cap. A stair's upper
post carries the level rail and the rake, and the higher one decides; the lower post's
mark follows from the rake, and its cap stands as far over it.
"""

from __future__ import annotations

from typing import Protocol

from schemas.bays import FaceMark, LevelBay, PostHeight, StairBay
from schemas.company import FixingDetail
from schemas.job import Job
from schemas.layout import Layout
from schemas.site import Question
from services import tape
from services.bays import post_questions
from services.bays.feet import feet_unfixed
from services.bays.flight import Flight, flight_of
from services.bays.heights import level_heights, post_height
from services.bays.stair_line import at_lower, at_upper


class AtFace(Protocol):
    """Where a line over the nosings meets a post's face."""

    def __call__(self, *, flight: Flight, over_nosing: int, step: int) -> int:
        """Its height above what the post stands on, on a mark."""


def post_heights(
    job: Job, layout: Layout, level: tuple[LevelBay, ...], stair: tuple[StairBay, ...]
) -> tuple[PostHeight, ...]:
    """Every post of the layout, in its order."""
    faces = _faces(job, layout, level, stair)
    ordinary = level_heights(
        rail=job.system.level, section=job.level_height, spacer=job.system.spacer_block
    )
    heights = (
        post_height(
            post=post.name,
            faces=faces.get(post.name, ()),
            otherwise=ordinary.top,
            sleeve=job.system.sleeve,
            step=job.step,
        )
        for post in layout.posts
    )
    to_set = {post.name: post for post in layout.posts if not post.in_place}
    return tuple(
        _out_of_a_stick(job, h, job.fixing_of(to_set[h.post]))
        if h.post in to_set
        else h.model_copy(update={"in_place": True})
        for h in heights
    )


def _out_of_a_stick(job: Job, height: PostHeight, detail: FixingDetail | None) -> PostHeight:
    """Its core ends no higher than the longest stick reaches from the foot of its detail."""
    sticks = _sticks(job)
    if not sticks or detail is None:
        return height
    reach = tape.down(max(sticks) - detail.core_foot, job.step)
    if reach < height.core_least:
        return height
    return height.model_copy(update={"core_most": min(height.core_most, reach)})


def _sticks(job: Job) -> list[int]:
    """What the core sticks on sale give, their ends squared."""
    return [
        job.company.squared(stock.length)
        for stock in job.company.cores
        if stock.core == job.post.core
    ]


def ask_of_posts(job: Job, layout: Layout, heights: tuple[PostHeight, ...]) -> tuple[Question, ...]:
    """Sleeves and cores longer than any on sale, and cores without room under the cap."""
    sold = [length for _, length in job.system.sleeve.stock]
    longest = job.company.squared(max(sold))
    sticks = _sticks(job)
    to_set = {post.name: post for post in layout.posts if not post.in_place}
    asked = list(feet_unfixed(job, to_set.values()))
    for height in heights:
        detail = job.fixing_of(to_set[height.post]) if height.post in to_set else None
        below = detail.core_foot if detail else 0
        if sticks and height.post in to_set and height.core_least + below > max(sticks):
            asked.append(
                post_questions.core_too_short(
                    post=height.post,
                    core=height.core_least + below,
                    longest=max(sticks),
                    step=job.step,
                )
            )
        if height.sleeve > longest and height.sleeve not in sold:
            asked.append(
                post_questions.sleeve_too_short(
                    post=height.post, sleeve=height.sleeve, longest=longest, step=job.step
                )
            )
        if height.core_least > height.core_most:
            asked.append(
                post_questions.core_has_no_room(
                    post=height.post,
                    least=height.core_least,
                    most=height.core_most,
                    step=job.step,
                )
            )
    return tuple(asked)


def _faces(
    job: Job, layout: Layout, level: tuple[LevelBay, ...], stair: tuple[StairBay, ...]
) -> dict[str, tuple[FaceMark, ...]]:
    """Marks by post, in the layout's order of bays, bottom rail before top rail."""
    levels = {bay.name: bay for bay in level}
    stairs = {bay.name: bay for bay in stair}
    mids = frozenset(post.name for post in layout.posts if post.where == "stair-mid")
    marks: dict[str, tuple[FaceMark, ...]] = {}
    for bay in layout.bays:
        if found := levels.get(bay.name):
            ends = (bay.left.post, found.sweep), (bay.right.post, found.sweep_low)
            for post, underside in ends:
                if post:
                    marks[post] = marks.get(post, ()) + _level_marks(job, found, underside)
        elif slanted := stairs.get(bay.name):
            measured = next(one for one in job.stairs if one.name == slanted.stair)
            run = flight_of(job, bay, stair=measured, mids=mids)
            lower, upper = _stair_marks(job, slanted, run)
            marks[slanted.lower_post] = marks.get(slanted.lower_post, ()) + lower
            marks[slanted.upper_post] = marks.get(slanted.upper_post, ()) + upper
    return marks


def _level_marks(job: Job, bay: LevelBay, underside: int) -> tuple[FaceMark, ...]:
    rail = job.system.level
    topside = underside + bay.top - bay.sweep
    return (
        FaceMark(
            bay=bay.name,
            rail="bottom",
            underside=underside,
            topside=underside + rail.bottom_depth,
        ),
        FaceMark(bay=bay.name, rail="top", underside=topside - rail.top_depth, topside=topside),
    )


def _stair_marks(
    job: Job, bay: StairBay, run: Flight
) -> tuple[tuple[FaceMark, ...], tuple[FaceMark, ...]]:
    """The rake's marks at the lower and at the upper post, all plumb.

    Each edge of each rail is a line of its own over the nosings and is rounded once, where it
    meets the face: depth / cos stands between a rail's two edges.
    """
    rail = job.stair_system.stair
    assert rail is not None, bay.name
    bottom, top = (
        (run.slope.floor_along(depth) + run.slope.ceil_along(depth)) // 2
        for depth in (rail.bottom_depth, rail.top_depth)
    )
    bottom_top = bay.rail_over_nosing + bottom
    top_under = bay.top_over_nosing - top

    def marks(at: AtFace, underside: int, topside: int) -> tuple[FaceMark, ...]:
        bottom_edge, top_edge = (
            at(flight=run, over_nosing=line, step=job.step) for line in (bottom_top, top_under)
        )
        return (
            FaceMark(bay=bay.name, rail="bottom", underside=underside, topside=bottom_edge),
            FaceMark(bay=bay.name, rail="top", underside=top_edge, topside=topside),
        )

    return (
        marks(at_lower, bay.bottom_at_lower, bay.top_at_lower),
        marks(at_upper, bay.bottom_at_upper, bay.top_at_upper),
    )
