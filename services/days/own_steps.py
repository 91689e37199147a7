"""The steps that a split adds: leaving a job with posts and no rails, and taking it over.

Source:
    Common practice: an edge is never left open overnight; who takes over believes no post.
"""

from __future__ import annotations

from schemas.plan import Plan
from schemas.sequence import Step
from schemas.wording import row, say


def leaving(plan: Plan) -> tuple[Step, ...]:
    """The first day's end: openings read, every edge guarded, handed over."""
    edges = row((*(leg.name for leg in plan.layout.legs), *(s.name for s in plan.job.stairs)))
    return (
        Step(
            number=0,
            key="read-openings",
            stage=say("Hand over"),
            text=say(
                "Read every opening between the posts that stand, bottom and top, and write both "
                "on the hand-over sheet. Photo of the sheet to the office: the second day is "
                "planned from it."
            ),
            tool=say("Two rules or a tape that was checked"),
            slip=say("Copying the plan's figure instead of reading the tape"),
        ),
        Step(
            number=0,
            key="guard-edges",
            stage=say("Hand over"),
            hold="H11",
            text=say(
                "No railing stands tonight. Temporary guard fixed along the whole of every edge: "
                "{edges}. It holds a push by hand; no way past it. Door to the deck and stairs "
                "shut off; the house is told, the notice on the door. Photo of each edge.",
                edges=edges,
            ),
            people=2,
            tool=say("Temporary guard timber, screws, tape, barrier"),
            slip=say("Tape in place of a guard; the stair forgotten"),
            cautions=("open-edge", "public"),
        ),
        Step(
            number=0,
            key="hand-over",
            stage=say("Hand over"),
            text=say(
                "Sleeves covered against rain. Hand-over sheet filled in: what stands, what is "
                "open, where the guard is, what stays on site. Copy for who comes next; signature."
            ),
            slip=say("Told by phone, written nowhere"),
        ),
    )


def taking_over() -> Step:
    """The second day's start, before its edges are looked at and anything is cut."""
    return Step(
        number=0,
        key="take-over",
        stage=say("Take over"),
        hold="H12",
        text=say(
            "Hand-over sheet of the first day in hand. Push every post: no give; plumb both ways. "
            "The temporary guard stands as written and stays until the railing behind it is "
            "whole. What was left on site is there. Anything else: stop, call."
        ),
        people=2,
        tool=say("Level, the first day's hand-over sheet"),
        slip=say("A post loosened overnight, built on unseen"),
        cautions=("open-edge",),
    )
