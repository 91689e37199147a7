"""Figures in the wrong unit: millimetres among inches, inches among millimetres."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from statistics import median

from schemas.job import Job
from schemas.lengths import FOOT, INCH, PER_MM, Length
from schemas.site import Leg, Option, Question
from schemas.wording import say
from services.intake.cross_checks.asking import legs, set_to, stairs
from services.tape import is_metric, text_with_unit
from services.wording.terms import term

_ODD = 8
"""An opening so many times smaller than the others of its leg is looked at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Figure:
    """A measure, and what such a measure can be on a house. Source: common practice."""

    key: str
    what: str
    pointer: str
    found: Length
    least: Length
    most: Length


def check(job: Job) -> tuple[Question, ...]:
    """Figures that no house has, and that would be ordinary in the other unit."""
    asked = (_ask(job, figure) for figure in _figures(job))
    return tuple(question for question in asked if question is not None)


def _ask(job: Job, figure: _Figure) -> Question | None:
    if figure.least <= figure.found <= figure.most:
        return None
    metric = is_metric(job.step)
    number = figure.found / (PER_MM if metric else INCH)
    unit, other = ("mm", "in") if metric else ("in", "mm")
    meant = round(number * (INCH if metric else PER_MM))
    if not figure.least <= meant <= figure.most:
        return None
    right = say("{number} {other}", number=f"{number:.6g}", other=other)
    return Question(
        key=f"unit.{figure.key}",
        severity="stop",
        place=figure.what,
        says=say(
            "{what} is given as {found}; as {right} it would be like others. It looks "
            "taken in {other} and written as {unit}.",
            what=figure.what,
            found=text_with_unit(figure.found, job.step),
            right=right,
            other=other,
            unit=unit,
        ),
        ask=say("In which unit was it measured?"),
        options=(
            set_to(
                "other-unit", say("It is {right}", right=right), pointer=figure.pointer, value=right
            ),
            Option(key="right", says=say("It is right as given")),
        ),
    )


def _usual(leg: Leg, number: int) -> Length:
    """The middle one of a leg's other openings; 0 where it has none."""
    others = [c.bottom for at, c in enumerate(leg.clears) if at != number]
    return int(median(others)) if others else 0


def _figures(job: Job) -> Iterator[_Figure]:
    yield _Figure(
        key="core",
        what=say("The post core"),
        pointer="/post/core",
        found=job.post.core,
        least=INCH,
        most=FOOT,
    )
    for pointer, _, leg in legs(job):
        yield _Figure(
            key=f"{leg.name}.length",
            what=say("Leg {leg}", leg=leg.name),
            pointer=f"{pointer}/length",
            found=leg.length,
            least=6 * INCH,
            most=100 * FOOT,
        )
        for number, clear in enumerate(leg.clears):
            yield _Figure(
                key=f"{leg.name}.{number + 1}",
                what=say("Leg {leg}, opening {number}", leg=leg.name, number=number + 1),
                pointer=f"{pointer}/clears/{number}/bottom",
                found=clear.bottom,
                least=max(INCH, _usual(leg, number) // _ODD),
                most=20 * FOOT,
            )
    for pointer, stair in stairs(job):
        sizes = (
            ("riser", stair.riser, 2 * INCH, 14 * INCH),
            ("tread", stair.tread, 5 * INCH, 5 * FOOT),
            ("width", stair.width, FOOT, 40 * FOOT),
            ("total_rise", stair.total_rise, 2 * INCH, 40 * FOOT),
            ("total_run", stair.total_run, 5 * INCH, 60 * FOOT),
        )
        for name, found, least, most in sizes:
            if found is not None:
                yield _Figure(
                    key=f"{stair.name}.{name}",
                    what=say("Stair {stair}, {size}", stair=stair.name, size=term(name)),
                    pointer=f"{pointer}/{name}",
                    found=found,
                    least=least,
                    most=most,
                )
