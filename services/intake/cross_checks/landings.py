"""Landings between flights: both flights measured, their posts, the landing's own guard."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from schemas.job import Job
from schemas.lengths import INCH
from schemas.site import Correction, FromLanding, GuardLine, Option, Question, Stair
from schemas.wording import say
from services.intake.cross_checks.asking import GO_ON, rules, set_to, stairs
from services.tape import text, text_with_unit
from services.wording.terms import term

_TURNS = {
    "straight": say("goes straight on"),
    "left": say("turns left"),
    "right": say("turns right"),
    "back": say("turns back"),
}
_LITTLE = INCH
"""A leg no longer than its opening and two posts, to this, carries no railing."""


def check(job: Job) -> tuple[Question, ...]:
    """Flights that were not measured, posts that cannot be shared, landings without a guard."""
    of_flights = (
        (*_not_measured(job, stair), *_from_landing(job, stair, pointer))
        for pointer, stair in stairs(job)
    )
    return (*chain.from_iterable(of_flights), *_line_ends(job))


def _not_measured(job: Job, stair: Stair) -> Iterator[Question]:
    """A turn without both flights."""
    below = [s for s in job.stairs if s.from_landing and s.from_landing.stair == stair.name]
    landing = stair.from_landing
    if stair.goes_on is not None and not below:
        yield _missing(
            stair, say("its way {goes_on} below its landing", goes_on=_TURNS[stair.goes_on])
        )
    if landing is not None and landing.stair not in {s.name for s in job.stairs}:
        yield _missing(stair, say("it starts at the landing of {stair}", stair=landing.stair))


def _missing(stair: Stair, why: str) -> Question:
    return Question(
        key=f"landing.{stair.name}",
        severity="hold",
        place=say("Stair {stair}", stair=stair.name),
        says=say(
            "{stair}: {why}, but the other flight was not measured. Its posts and "
            "heights at the landing follow from both.",
            stair=stair.name,
            why=why,
        ),
        ask=say("Is the other flight to have a rail, and what are its measures?"),
        options=(Option(key="no-rail", says=say("The other flight has no rail of ours")), GO_ON),
    )


def _from_landing(job: Job, stair: Stair, pointer: str) -> Iterator[Question]:
    landing = stair.from_landing
    if landing is None:
        return
    above = next((s for s in job.stairs if s.name == landing.stair), None)
    if _is_above_itself(job, stair):
        yield _loop(stair, landing)
        return
    if above is not None:
        yield from _turn(stair, above, landing, pointer)
        yield from _level(job, stair, above)
        yield from _shared(stair, above, landing, pointer)
    yield from _guard(job, stair, landing)


def _is_above_itself(job: Job, stair: Stair) -> bool:
    flights = {s.name: s for s in job.stairs}
    seen: set[str] = set()
    at: Stair | None = stair
    while at is not None and at.from_landing is not None:
        if at.name in seen:
            return True
        seen.add(at.name)
        at = flights.get(at.from_landing.stair)
    return False


def _loop(stair: Stair, landing: FromLanding) -> Question:
    return Question(
        key=f"landing-order.{stair.name}",
        severity="stop",
        place=say("Stair {stair}", stair=stair.name),
        says=say(
            "{stair} starts at the landing of {stair2}, and that one comes down from "
            "{stair} in the end; no flight is the top one.",
            stair=stair.name,
            stair2=landing.stair,
        ),
        ask=say("Which flight goes up to the deck?"),
    )


def _turn(stair: Stair, above: Stair, landing: FromLanding, pointer: str) -> Iterator[Question]:
    if above.goes_on is None or above.goes_on == landing.turn:
        return
    yield Question(
        key=f"landing-turn.{stair.name}",
        severity="hold",
        place=say("Landing of {above}", above=above.name),
        says=say(
            "At the landing the way {goes_on} by what was noted at {above}, and {turn} "
            "by what was noted at {stair}. One of them was likely noted going down.",
            goes_on=_TURNS[above.goes_on],
            above=above.name,
            turn=_TURNS[landing.turn],
            stair=stair.name,
        ),
        ask=say("How does the way turn, seen going up?"),
        options=(
            set_to(
                above.goes_on,
                say("It {goes_on}", goes_on=_TURNS[above.goes_on]),
                pointer=f"{pointer}/from_landing/turn",
                value=above.goes_on,
            ),
            GO_ON,
        ),
    )


def _level(job: Job, stair: Stair, above: Stair) -> Iterator[Question]:
    if _line_of(job, stair) is not _line_of(job, above):
        return
    yield Question(
        key=f"landing-level.{stair.name}",
        severity="stop",
        place=say("Stair {stair}", stair=stair.name),
        says=say(
            "{stair} starts at the landing of {above}, but it breaks leg {leg}, which is "
            "on the same line as leg {leg2}, a flight higher.",
            stair=stair.name,
            above=above.name,
            leg=stair.leg,
            leg2=above.leg,
        ),
        ask=say("Which leg of the landing's own line does it break?"),
    )


def _shared(stair: Stair, above: Stair, landing: FromLanding, pointer: str) -> Iterator[Question]:
    side = landing.shared
    if side is None:
        return
    if landing.turn == "back":
        why = say("at a turn of 180 degrees the two flights need a post each")
    elif landing.turn == "straight":
        why = say("of two flights in line the posts stand at both ends of the landing")
    elif landing.turn != side:
        why = say(
            "the way turns {turn}, so only the posts on that side can be one",
            turn=term(landing.turn),
        )
    elif side not in stair.rails or side not in above.rails:
        why = say("not both flights have a rail on the {side}", side=term(side))
    else:
        return
    apart = Correction(pointer=f"{pointer}/from_landing/shared", value=None)
    yield Question(
        key=f"landing-post.{stair.name}",
        severity="stop",
        place=say("Landing of {above}", above=above.name),
        says=say(
            "One post is to carry the {side} rails of {stair} and {above}, but {why}.",
            side=term(side),
            stair=stair.name,
            above=above.name,
            why=why,
        ),
        ask=say("Where do the posts stand at the turn?"),
        options=(Option(key="two-posts", says=say("Two posts stand there"), sets=(apart,)),),
    )


def _guard(job: Job, stair: Stair, landing: FromLanding) -> Iterator[Question]:
    """An open landing high enough to need a guard, or a guard that was not measured."""
    line = _line_of(job, stair)
    drop = next(leg.drop for leg in line.legs if leg.name == stair.leg)
    asks = rules(job, "guard.drop")
    limits = [r.limit for r in asks if r.limit is not None]
    least = stair.width + 2 * job.system.sleeve.outside + _LITTLE
    bare = len(line.legs) == 1 and line.legs[0].length <= least
    if landing.guard == "legs" and bare:
        says = say(
            "The landing of {stair} is to have a guard, but of its edges only the "
            "opening of {stair2} was measured.",
            stair=landing.stair,
            stair2=stair.name,
        )
    elif landing.guard == "none" and (drop is None or any(rule.stands(drop) for rule in asks)):
        if drop is None:
            high = say("and how high it lies is not known")
        else:
            high = say(
                "and lies {drop} above what is below; from {limits} on a guard seems required",
                drop=text_with_unit(drop, job.step),
                limits=text(min(limits), job.step),
            )
        says = say(
            "The landing of {stair} has no guard between its flights, {high}.",
            stair=landing.stair,
            high=high,
        )
    else:
        return
    yield Question(
        key=f"landing-guard.{stair.name}",
        severity="hold",
        place=say("Landing of {stair}", stair=landing.stair),
        says=says,
        ask=say("What closes the landing's open edges?"),
        options=(GO_ON,),
    )


def _line_ends(job: Job) -> Iterator[Question]:
    """Ends of a landing's line at a flight's foot that is not there."""
    feet = {f"{s.name}-{side[0].upper()}" for s in job.stairs for side in s.rails}
    for number, line in enumerate(job.lines):
        ends = (("start", line.start, line.legs[0]), ("end", line.end, line.legs[-1]))
        for name, end, leg in () if line.closed else ends:
            if end.same_as is None or (end.same_as in feet and end.kind == "post"):
                continue
            clear = Correction(pointer=f"/lines/{number}/{name}/same_as", value=None)
            why = say("a wall ends it") if end.kind == "wall" else say("no flight has a rail there")
            yield Question(
                key=f"landing-end.{leg.name}.{name}",
                severity="stop",
                place=say("Leg {leg}", leg=leg.name),
                says=say(
                    "The line's {end} is to be the lower post {same_as}, but {why}.",
                    end=term(name),
                    same_as=end.same_as,
                    why=why,
                ),
                ask=say("Which post does the line end at?"),
                options=(Option(key="own-post", says=say("A post of its own"), sets=(clear,)),),
            )


def _line_of(job: Job, stair: Stair) -> GuardLine:
    return next(line for line in job.lines if stair.leg in {leg.name for leg in line.legs})
