"""A line of posts set further back on the deck, so that a stair's rail ends above the deck.

A sleeve goes round its core from the deck up: at the rim the board that the core is bolted to is in
its way. So a rail cannot end on a post below the deck, and a post out there stands back instead.
"""

from __future__ import annotations

from schemas.job import Job
from schemas.lengths import INCH, Length
from schemas.site import Correction, Option, Stair
from schemas.wording import say
from services import tape

RIM = INCH * 3 // 2
"""A rim of 2x lumber, between the deck edge and a core inside it. Common practice: dressed it is
1 1/2 in thick (American Softwood Lumber Standard PS 20, from memory)."""


def stands_outside(job: Job, *, stair: Stair) -> bool:
    """Whether the line of a stair's leg has its posts on the outside of the rim."""
    return any(line.inset < 0 for line in job.lines if stair.leg in {leg.name for leg in line.legs})


def further_back(job: Job, *, stair: Stair, by: Length) -> Option | None:
    """The line of a stair's leg with its post centres that much further from the deck edge.

    Posts on the outside of the rim go to its inside, by the company's detail for that. None where
    posts stand already, or the measure runs along post centres and says nothing of the edge.

    Args:
        job: With its lines and the company's details.
        stair: Whose upper posts stand too far out.
        by: At least.
    """
    number, line = next(
        (n, one) for n, one in enumerate(job.lines) if stair.leg in {leg.name for leg in one.legs}
    )
    stands = any(leg.clears or leg.standing for leg in line.legs)
    if stands or line.measured == "post-centre":
        return None
    inset = tape.up(line.inset + by, job.step)
    sets = []
    inside = [d.key for d in job.company.details if d.mount == "inside-rim"]
    if line.inset < 0:
        inset = max(inset, tape.up(RIM + job.post.core // 2, job.step))
        if not inside:
            return None
        sets.append(Correction(pointer="/post/detail", value=inside[0]))
    sets.append(
        Correction(pointer=f"/lines/{number}/inset", value=tape.as_written(inset, job.step))
    )
    given = stair.upper_post.from_top_nose
    if given is not None:
        at = [one.name for one in job.stairs].index(stair.name)
        face = tape.as_written(given - (inset - line.inset), job.step)
        sets.append(Correction(pointer=f"/stairs/{at}/upper_post/from_top_nose", value=face))
    back = tape.text_with_unit(inset, job.step)
    says = (
        say(
            "The line's posts stand inside the rim by detail {detail}, centres {inset} back from "
            "the deck edge",
            detail=inside[0],
            inset=back,
        )
        if line.inset < 0
        else say(
            "The line's posts stand with their centres {inset} back from the deck edge", inset=back
        )
    )
    return Option(key="back", says=says, sets=tuple(sets))
