"""Hours: the company's own rates times what there is to do, set-up and travel apart."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from schemas.bays import Bays
from schemas.job import Job
from schemas.layout import Layout, Post
from schemas.takeoff import HoursLine
from schemas.wording import say

_SAYS = {
    "remove": say("Take away old railing, a foot"),
    "post": say("Set a post"),
    "post-surface": say("Set a post on the surface"),
    "post-concrete": say("Set a post on concrete"),
    "dress": say("Sleeve, skirt and cap of a post"),
    "level": say("Level bay"),
    "stair": say("Stair bay"),
    "handrail": say("Graspable handrail, a side"),
    "gate": say("Gate"),
    "angle": say("Odd-angle corner, extra"),
    "set-up": say("Set up, protect, tidy, walk through"),
    "travel": say("Travel"),
}

_APART = ("set-up", "travel")
_POSTS = ("post", "post-surface", "post-concrete")


def work_hours(*, job: Job, layout: Layout, bays: Bays) -> tuple[HoursLine, ...]:
    """Crew-hours of a crew of two, one line a kind of work that the job has."""
    return tuple(_lines(job, layout, bays))


def _lines(job: Job, layout: Layout, bays: Bays) -> Iterator[HoursLine]:
    to_set = sum(not post.in_place for post in layout.posts)
    mitred = sum(
        bool(end) for bay in bays.level for end in (bay.mitre_left_deg, bay.mitre_right_deg)
    )
    setting = Counter(_setting(job, post) for post in layout.posts if not post.in_place)
    counts = {
        "remove": job.remove_feet,
        **{task: setting[task] for task in _POSTS},
        "dress": to_set,
        "level": len(bays.level),
        "stair": len(bays.stair),
        "handrail": sum(bool(bay.handrail) for bay in bays.stair),
        "gate": len(job.gates),
        "angle": mitred / 2,
        "set-up": 1,
        "travel": 1,
    }
    for rate in job.company.rates:
        count = float(counts[rate.task])
        if count:
            hours = round(count * rate.hours, 2)
            yield HoursLine(
                task=_SAYS[rate.task], count=count, each=rate.hours, hours=hours,
                apart=rate.task in _APART, rate=rate.task,
            )  # fmt: skip


def _setting(job: Job, post: Post) -> str:
    """Which rate setting a post goes by: that of its mount, where the company has one."""
    detail = job.fixing_of(post)
    own = f"post-{detail.mount}" if detail else "post"
    return own if any(rate.task == own for rate in job.company.rates) else "post"
