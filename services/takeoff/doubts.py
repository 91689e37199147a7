"""Doubts about the load and the day: too much for the crew, too heavy, metal that corrodes."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.job import Job
from schemas.site import Option, Question
from schemas.takeoff import Takeoff
from schemas.wording import row, say
from services.takeoff.by_rule import handrail_landings, rules_of
from services.takeoff.corrosion import UNFIT
from services.takeoff.take_off import crew_of
from services.wording.terms import term

_GO_ON = Option(key="go-on", says=say("Go on; the office knows"))


def load_doubts(takeoff: Takeoff, job: Job) -> tuple[Question, ...]:
    """What must be settled before the crew leaves the yard; each is a hold."""
    return (
        *_day(takeoff, job), *_truck(takeoff, job), *_corrosion(takeoff), *_round_landings(job),
    )  # fmt: skip


def _day(takeoff: Takeoff, job: Job) -> Iterator[Question]:
    if takeoff.crew_hours > takeoff.day_hours:
        crew = crew_of(job)
        over = takeoff.crew_hours - takeoff.day_hours
        yield Question(
            key="day-over.hours",
            severity="hold",
            place=say("Crew {crew}", crew=crew.name),
            says=say(
                "The job takes {hours} crew-hours by the company's rates, set-up and travel "
                "included; the day of crew {crew} has {day}. It is {over} too long.",
                hours=f"{takeoff.crew_hours:.1f}", crew=crew.name,
                day=f"{takeoff.day_hours:.1f}", over=f"{over:.1f}",
            ),
            ask=say("What is left for another day, and where does the temporary guard stand?"),
            options=(_GO_ON,),
        )  # fmt: skip


def _truck(takeoff: Takeoff, job: Job) -> Iterator[Question]:
    if takeoff.grams > takeoff.truck_grams:
        crew = crew_of(job)
        yield Question(
            key="truck-over.load",
            severity="hold",
            place=say("Truck of crew {crew}", crew=crew.name),
            says=say(
                "The load weighs {load} kg; the truck of crew {crew} may carry {carries} kg. Posts "
                "and rails weigh most.",
                load=f"{takeoff.grams / 1000:.0f}", crew=crew.name,
                carries=f"{takeoff.truck_grams / 1000:.0f}",
            ),
            ask=say("What goes on a second trip or another truck?"),
            options=(_GO_ON,),
        )  # fmt: skip


def _corrosion(takeoff: Takeoff) -> Iterator[Question]:
    for line in takeoff.lines:
        if line.note == UNFIT:
            yield Question(
                key=f"corrosion.{line.item}",
                severity="hold",
                place=line.says,
                says=say(
                    "{part} goes into treated wood and is not recorded as hot-dip galvanized or "
                    "stainless in the price book.",
                    part=line.says,
                ),
                ask=say("What is it made of? Anything else is not used there."),
                options=(_GO_ON,),
            )


def _round_landings(job: Job) -> Iterator[Question]:
    """Handrails of two flights that both end at a landing, with nothing to carry them round it."""
    if any(rule.per == "handrail-landing" for rule in rules_of(job)):
        return
    above = {stair.name: stair.from_landing for stair in job.stairs}
    sides: dict[str, list[str]] = {}
    for name, side in handrail_landings(job):
        sides.setdefault(name, []).append(term(side))
    for name, both in sides.items():
        landing = above[name]
        assert landing is not None, name
        yield Question(
            key=f"handrail-landing.{name}",
            severity="hold",
            place=say("Stair {stair}", stair=name),
            says=say(
                "The handrails of {upper} and {stair} ({sides}) both end in a return at the "
                "landing between them; no elbow and no rail is on the load to carry them round "
                "it.",
                sides=row(both), upper=landing.stair, stair=name,
            ),
            ask=say("Are both returned there, or which elbows and how much rail go along?"),
            options=(Option(key="returned", says=say("Both are returned at the landing")), _GO_ON),
        )  # fmt: skip
