"""Hold points: steps that are not passed until checked and initialled.

A hold point guards every step of the later stages. It stands in the sequence only where the
job has what it is for; nothing is renumbered, so that H7 is the stair check on every job.

Source:
    Common practice: the checks that prevent hidden faults and wrong cuts.
"""

from __future__ import annotations

from schemas.sequence import Step
from services.sequence.stages import STAGES

HOLDS = {
    "H0": "Right job, right revision, scope agreed",
    "H1": "Measure agrees with this sheet",
    "H2": "Open edges under control",
    "H3": "Framing takes the approved fixing",
    "H4": "Posts stiff, plumb, in line; photographed",
    "H5": "Every opening measured again and written down",
    "H6": "First section fits",
    "H7": "Stair heights, triangle, openings, lower post",
    "H8": "Handrail continuous, clear, at height",
    "H9": "Gates swing and latch",
    "H10": "All openings tried, all posts pushed, signed off",
}
"""What each hold point is for; open questions of the office are Q1, Q2 and so on."""


def guarded(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """The steps, each made to wait for the hold points of all earlier stages."""
    place = {stage: number for number, stage in enumerate(STAGES)}
    holds = [step for step in steps if step.hold]
    return tuple(
        step.model_copy(
            update={
                "after": tuple(
                    dict.fromkeys(
                        (
                            *step.after,
                            *(h.key for h in holds if place[h.stage] < place[step.stage]),
                        )
                    )
                )
            }
        )
        for step in steps
    )
