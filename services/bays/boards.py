"""The deck boards under a level bay, where the tech wrote down how they lie."""

from __future__ import annotations

from schemas.job import Job
from schemas.layout import LaidLeg
from services.bays.foot_blocks import BoardGaps


def board_gaps(job: Job, leg: LaidLeg, *, rail_start: int) -> BoardGaps | None:
    """The gaps between deck boards as a bay's bottom rail passes them; none: not known.

    Args:
        job: With its legs as measured.
        leg: As laid out.
        rail_start: The rail's left end from the leg's zero. [length]
    """
    measured = next(one for line in job.lines for one in line.legs if one.name == leg.name)
    if measured.board is None or measured.first_gap is None:
        return None
    return BoardGaps(
        first=measured.first_gap - leg.zero - rail_start,
        apart=measured.board,
        block=job.system.foot_block.width,
    )
