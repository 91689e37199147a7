"""The card that stays with the homeowner, and the notice for a door to an open edge."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.pages import Block, Fact, Facts, Heading, Message, Prose, Sheet, Tick, Ticks, WriteIn
from schemas.plan import Plan
from schemas.wording import Said, counted, row, say, shipped
from services import tape
from services.pages.wording import Ruler
from services.wording import words_for, words_of


def homeowner(plan: Plan) -> Sheet:
    """What was built, how to keep it, whom to call. No name, code or price stands on it.

    Args:
        plan: The finished plan.
    """
    job = plan.job
    return Sheet(
        key="homeowner",
        language=job.site.language,
        title=say("For the homeowner"),
        leaf="own",
        place=say("Stays at the house"),
        blocks=(
            Facts(facts=_built(plan), columns=3),
            *_promises(plan),
            Heading(text=say("Looking after it")),
            *(Prose(text=line) for line in _care(plan)),
            Heading(text=say("What was not checked")),
            Prose(
                text=say(
                    "The frame of the deck or porch and the stair itself were taken as found. "
                    "The rules that apply at your house are for the local authority to say. "
                    "Permit: {permit}.",
                    permit=job.permit or say("none recorded with us; ask the authority"),
                )
            ),
            *_call(plan),
            WriteIn(labels=(say("Finished on, day"), say("Shown to you by"))),
        ),
    )


def open_edge(plan: Plan) -> Sheet:
    """The notice that is left at the door where an edge stays open; it parts from the card.

    Args:
        plan: The finished plan.
    """
    return Sheet(
        key="open-edge",
        language=plan.job.site.language,
        title=say("Open edge: keep away"),
        leaf="own",
        place=say("Leave it at the door if an edge stays open"),
        blocks=(
            Message(
                signal="WARNING",
                hazard=say("Open edge: the railing here is not finished."),
                consequence=say("A fall from it can kill or cripple."),
                avoid=say(
                    "Keep everyone away, children and pets above all. Lock the door that leads "
                    "there. Leave the barrier alone until the railing is finished."
                ),
            ),
            *_call(plan),
            WriteIn(
                labels=_both(
                    plan, say("Which edge, which door"), say("Barrier fixed by, day and time")
                )
            ),
        ),
    )


def _both(plan: Plan, *labels: Said) -> tuple[str, ...]:
    """What the crew fills in stands in the house's words and in its own."""
    house, crew = words_for(plan.job.site.language), words_of(plan.job)
    if house.language == crew.language:
        return labels
    return tuple(f"{house.of(label)} / {crew.of(label)}" for label in labels)


def _call(plan: Plan) -> tuple[Block, ...]:
    """The company and its number; a line to write it on where the company file has none."""
    company = plan.job.company
    if company.phone is None:
        return (WriteIn(labels=(say("Whom to call"),)),)
    says = say("Whom to call: {company}, {phone}", company=company.name, phone=company.phone)
    return (Prose(text=says, role="lead"),)


def _care(plan: Plan) -> tuple[Said, ...]:
    """How it is looked after; gates where there are any."""
    trying = _TRY_GATES if plan.job.gates else _TRY
    return (*_CARE, trying, _TICKING)


_CARE = (
    say("Wash with mild soap and a soft brush. No solvents, no scouring, no metal shovel."),
    say("Keep hot things off the rails: grills, fire bowls, mirrors that throw the sun."),
    say("Hang no planters, hammocks or lines on them, and do not sit or climb on them."),
)
_TRY = say(
    "Spring and autumn: push each post by hand, look for rot at its foot and for "
    "loose screws. If anything moves, keep off that edge and call."
)
_TRY_GATES = say(
    "Spring and autumn: push each post by hand, look for rot at its foot and for "
    "loose screws, try gates and latches. If anything moves, keep off that edge "
    "and call."
)
_TICKING = say(
    "Ticking when the sun comes or goes is the rails growing and shrinking; that is usual."
)


def _built(plan: Plan) -> tuple[Fact, ...]:
    ruler = Ruler(step=plan.job.step)
    sides = len({(b.stair, b.side) for b in plan.bays.stair})
    stairs = counted("{count} stair side", "{count} stair sides", count=sides)
    return (
        Fact(
            label=say("Planned for"),
            value=words_for(plan.job.site.language).date(plan.job.install_date),
        ),
        Fact(
            label=say("Railing"),
            value=row((shipped(plan.job.system.title), shipped(plan.job.colour))),
        ),
        Fact(label=say("Guard height, as planned"), value=_heights(plan, ruler)),
        Fact(label=say("Length"), value=_length(plan, ruler)),
        Fact(
            label=say("Bays"),
            value=counted("{count} level bay", "{count} level bays", count=len(plan.bays.level)),
        ),
        Fact(label=say("Stairs"), value=stairs if plan.bays.stair else say("none")),
        *_handrail(plan),
        Fact(label=say("Gates"), value=str(len(plan.job.gates)) if plan.job.gates else say("none")),
    )


def _length(plan: Plan, ruler: Ruler) -> str:
    long = plan.takeoff.rail_length
    return f"{ruler.whole(long)} ({tape.feet_and_inches(long, ruler.step)})"


def _heights(plan: Plan, ruler: Ruler) -> str:
    """To the top of the rail, where it was planned to stand: over the floor, over the nosings."""
    level = sorted({bay.top for bay in plan.bays.level})
    stair = sorted({bay.top_over_nosing for bay in plan.bays.stair})
    return row(
        (
            *((say("{height} over the floor", height=_span(level, ruler)),) if level else ()),
            *((say("{height} over the step edges", height=_span(stair, ruler)),) if stair else ()),
        ),
        "; ",
    )


def _span(sizes: Sequence[int], ruler: Ruler) -> str:
    least, most = sizes[0], sizes[-1]
    if least == most:
        return ruler.whole(most)
    return say("{low} to {high}", low=ruler.mark(least), high=ruler.whole(most))


def _handrail(plan: Plan) -> tuple[Fact, ...]:
    sides = sum(bay.handrail is not None for bay in plan.bays.stair)
    if not sides:
        return ()
    runs = counted("{count} handrail", "{count} handrails", count=sides)
    return (Fact(label=say("Handrail to grip"), value=runs),)


def _promises(plan: Plan) -> tuple[Block, ...]:
    if not plan.job.promises:
        return ()
    ticks = tuple(Tick(text=shipped(promise)) for promise in plan.job.promises)
    return (Heading(text=say("Promised, and shown to you")), Ticks(ticks=ticks))
