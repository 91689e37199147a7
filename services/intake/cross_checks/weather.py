"""The day's weather against what is glued, lifted and cut on it."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.job import Job
from schemas.site import Forecast, Question
from services.intake.cross_checks.asking import GO_ON
from services.tape import is_metric

_WHY = {
    "rain": "adhesive and sealant do not hold on wet faces, and decks are slippery",
    "wind": "long sections catch it",
    "lightning": "nobody works at metal or in the open",
}


def check(job: Job) -> tuple[Question, ...]:
    """Adhesive too cold, a day outside the rail's range, and what is forecast besides."""
    if job.forecast is None:
        return ()
    return (*_adhesive(job, job.forecast), *_range(job, job.forecast), *_besides(job.forecast))


def _degrees(job: Job, degf: float) -> str:
    return f"{(degf - 32) * 5 / 9:.0f} degC" if is_metric(job.step) else f"{degf:.0f} degF"


def _adhesive(job: Job, forecast: Forecast) -> Iterator[Question]:
    low, high = forecast.degf
    least = job.system.adhesive_least_degf
    if low >= least:
        return
    when = "all day" if high < least else f"until it has warmed to {_degrees(job, least)}"
    yield Question(
        key="weather.adhesive",
        severity="hold",
        place="Caps",
        says=(
            f"The adhesive of {job.system.title} is not used below {_degrees(job, least)}; "
            f"{_degrees(job, low)} to {_degrees(job, high)} is forecast, so not {when}."
        ),
        ask="Are the caps set on another day, or is another adhesive taken along?",
        options=(GO_ON,),
    )


def _range(job: Job, forecast: Forecast) -> Iterator[Question]:
    low, high = forecast.degf
    system = job.system
    if system.coldest_degf <= low and high <= system.hottest_degf:
        return
    yield Question(
        key="weather.range",
        severity="hold",
        place="Rails",
        says=(
            f"{_degrees(job, low)} to {_degrees(job, high)} is forecast; the end clearances of "
            f"{system.title} are for {_degrees(job, system.coldest_degf)} to "
            f"{_degrees(job, system.hottest_degf)}."
        ),
        ask="Are the rails cut and fixed on that day?",
        options=(GO_ON,),
    )


def _besides(forecast: Forecast) -> Iterator[Question]:
    for what in dict.fromkeys(forecast.warnings):
        yield Question(
            key=f"weather.{what}",
            severity="hold",
            place="Job",
            says=f"{what.capitalize()} is forecast: {_WHY[what]}.",
            ask="Does the crew go, and what is done first?",
            options=(GO_ON,),
        )
