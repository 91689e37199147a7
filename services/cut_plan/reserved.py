"""The cut plan against the stock that was set aside for the job."""

from __future__ import annotations

from collections import Counter

from schemas.cut_plan import CutPlan
from schemas.job import Job
from schemas.site import Option, Question
from schemas.wording import joined, say


def beyond_reserved(job: Job, cuts: CutPlan) -> tuple[Question, ...]:
    """Ask where the cut plan takes more kits than were set aside for the job.

    Args:
        job: With what is reserved; a job that reserves nothing by kit is not asked about.
        cuts: Its cut plan; each bar of a kit takes one.
    """
    taken = Counter(bar.stock.kit for bar in cuts.bars if bar.stock.kit)
    there = Counter({one.kit: 0 for one in job.reserved})
    for one in job.reserved:
        there[one.kit] += one.count
    short = [
        say("{count} {kit}, {reserved} reserved", count=count, kit=kit, reserved=there[kit])
        for kit, count in sorted(taken.items())
        if count > there[kit]
    ]
    if not job.reserved or not short:
        return ()
    return (
        Question(
            key="reserved.short",
            severity="stop",
            place=say("Stock"),
            says=say(
                "The cut plan takes more than is set aside for the job: {kits}.",
                kits=joined(short),
            ),
            ask=say("Is more set aside, or are other kits taken?"),
            options=(Option(key="set-aside", says=say("What lacks is on the truck in time")),),
        ),
    )
