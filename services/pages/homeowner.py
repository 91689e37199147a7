"""The card that stays with the homeowner."""

from __future__ import annotations

from schemas.pages import Block, Fact, Facts, Heading, Prose, Sheet, Tick, Ticks, WriteIn
from schemas.plan import Plan
from services.pages.wording import Ruler, count_words, day_words


def homeowner(plan: Plan) -> Sheet:
    """What was built, how to keep it, whom to call. No name, code or price stands on it.

    Args:
        plan: The finished plan.
    """
    job = plan.job
    return Sheet(
        key="homeowner",
        title="For the homeowner",
        place="Stays at the house",
        blocks=(
            Facts(facts=_built(plan), columns=3),
            *_promises(plan),
            Heading(text="Looking after it"),
            *(Prose(text=line) for line in _CARE),
            Heading(text="What was not checked"),
            Prose(
                text="The frame of the deck or porch and the stair itself were taken as found. "
                "The rules that apply at your house are for the local authority to say. "
                f"Permit: {job.permit or 'none recorded with us; ask the authority'}."
            ),
            Heading(text="If an edge is left open"),
            Prose(text="Keep everyone away from it, lock the door that leads there, and leave the "
                  "temporary barrier alone until the railing is finished.", role="lead"),
            WriteIn(labels=("Shown to you by", "Whom to call")),
        ),
    )  # fmt: skip


_CARE = (
    "Wash with mild soap and a soft brush. No solvents, no scouring, no metal shovel.",
    "Keep hot things off the rails: grills, fire bowls, mirrors that throw the sun.",
    "Hang no planters, hammocks or lines on them, and do not sit or climb on them.",
    (
        "Spring and autumn: push each post by hand, look for rot at its foot and for loose screws, "
        "try gates and latches. If anything moves, keep off that edge and call."
    ),
    "Ticking when the sun comes or goes is the rails growing and shrinking; that is usual.",
)


def _built(plan: Plan) -> tuple[Fact, ...]:
    ruler = Ruler(step=plan.job.step)
    stairs = count_words(len({(b.stair, b.side) for b in plan.bays.stair}), "stair side")
    return (
        Fact(label="Built on", value=day_words(plan.job.install_date.isoformat())),
        Fact(label="Railing", value=f"{plan.job.system.title}, {plan.job.colour}"),
        Fact(label="Length", value=ruler.long(plan.takeoff.rail_length)),
        Fact(label="Bays", value=count_words(len(plan.bays.level), "level bay")),
        Fact(label="Stairs", value=stairs if plan.bays.stair else "none"),
        Fact(label="Gates", value=str(len(plan.job.gates)) if plan.job.gates else "none"),
    )


def _promises(plan: Plan) -> tuple[Block, ...]:
    if not plan.job.promises:
        return ()
    ticks = tuple(Tick(text=promise) for promise in plan.job.promises)
    return (Heading(text="Promised, and shown to you"), Ticks(ticks=ticks))
