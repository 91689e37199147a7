"""Doubts about the load and the day: too much for the crew, too heavy, metal that corrodes."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.job import Job
from schemas.site import Option, Question
from schemas.takeoff import Takeoff
from services.takeoff.corrosion import UNFIT
from services.takeoff.take_off import crew_of

_GO_ON = Option(key="go-on", says="Go on; the office knows")


def load_doubts(takeoff: Takeoff, job: Job) -> tuple[Question, ...]:
    """What must be settled before the crew leaves the yard; each is a hold."""
    return (*_day(takeoff, job), *_truck(takeoff, job), *_corrosion(takeoff))


def _day(takeoff: Takeoff, job: Job) -> Iterator[Question]:
    if takeoff.crew_hours > takeoff.day_hours:
        crew = crew_of(job)
        over = takeoff.crew_hours - takeoff.day_hours
        yield Question(
            key="day-over.hours",
            severity="hold",
            place=f"Crew {crew.name}",
            says=f"The job takes {takeoff.crew_hours:.1f} crew-hours by the company's rates, "
            f"set-up and travel included; the day of crew {crew.name} has "
            f"{takeoff.day_hours:.1f}. It is {over:.1f} too long.",
            ask="What is left for another day, and where does the temporary guard stand?",
            options=(_GO_ON,),
        )


def _truck(takeoff: Takeoff, job: Job) -> Iterator[Question]:
    if takeoff.grams > takeoff.truck_grams:
        crew = crew_of(job)
        yield Question(
            key="truck-over.load",
            severity="hold",
            place=f"Truck of crew {crew.name}",
            says=f"The load weighs {takeoff.grams / 1000:.0f} kg; the truck of crew {crew.name} "
            f"may carry {takeoff.truck_grams / 1000:.0f} kg. Posts and rails weigh most.",
            ask="What goes on a second trip or another truck?",
            options=(_GO_ON,),
        )


def _corrosion(takeoff: Takeoff) -> Iterator[Question]:
    for line in takeoff.lines:
        if line.note == UNFIT:
            yield Question(
                key=f"corrosion.{line.item}",
                severity="hold",
                place=line.says,
                says=f"{line.says} goes into treated wood and is not recorded as hot-dip "
                "galvanized or stainless in the price book.",
                ask="What is it made of? Anything else is not used there.",
                options=(_GO_ON,),
            )
