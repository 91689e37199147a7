"""Hold points: steps that are not passed until checked and initialled.

A hold point guards every step of the later stages. It stands in the sequence only where the
job has what it is for. Its key is the same on every job; on paper it bears the number of its
step, so that no number is missing and none can be taken for a post's name.

Source:
    Common practice: the checks that prevent hidden faults and wrong cuts.
"""

from __future__ import annotations

from schemas.sequence import Step
from schemas.wording import say
from services.sequence.stages import STAGES

HOLDS = {
    "H0": say("Right job, right revision, scope agreed"),
    "H1": say("Measure agrees with this sheet"),
    "H2": say("Open edges under control"),
    "H3": say("Framing takes the approved fixing"),
    "H4": say("Posts stiff, plumb, in line; photographed"),
    "H5": say("Every opening measured again and written down"),
    "H6": say("First section fits"),
    "H7": say("Stair heights, triangle, openings, lower post"),
    "H8": say("Handrail continuous, clear, at height"),
    "H9": say("Gates swing and latch"),
    "H10": say("All openings tried, all posts pushed, signed off"),
    "H11": say("Split by day: every edge guarded for the night"),
    "H12": say("Split by day: posts and guard taken over"),
}
"""What each hold point is for; open questions of the office are Q1, Q2 and so on."""


def guarded(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """The steps, each made to wait for the hold points of all earlier stages."""
    place = {str(stage): number for number, stage in enumerate(STAGES)}
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
