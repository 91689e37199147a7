"""The day's weather against what is glued, lifted and cut on it."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.job import Job
from schemas.site import Forecast, Question
from schemas.wording import say
from services.intake.cross_checks.asking import GO_ON
from services.tape import is_metric

_WHY = {
    "rain": say("adhesive and sealant do not hold on wet faces, and decks are slippery"),
    "wind": say("long sections catch it"),
    "lightning": say("nobody works at metal or in the open"),
}


_WEATHER = {"rain": say("Rain"), "wind": say("Wind"), "lightning": say("Lightning")}


def check(job: Job) -> tuple[Question, ...]:
    """Adhesive too cold, a day outside the rail's range, and what is forecast besides."""
    if job.forecast is None:
        return ()
    return (*_adhesive(job, job.forecast), *_range(job, job.forecast), *_besides(job.forecast))


def _degrees(job: Job, degf: float) -> str:
    return (
        say("{degf} degC", degf=f"{(degf - 32) * 5 / 9:.0f}")
        if is_metric(job.step)
        else say("{degf} degF", degf=f"{degf:.0f}")
    )


def _adhesive(job: Job, forecast: Forecast) -> Iterator[Question]:
    low, high = forecast.degf
    least = job.system.adhesive_least_degf
    if low >= least:
        return
    when = (
        say("all day")
        if high < least
        else say("until it has warmed to {job}", job=_degrees(job, least))
    )
    yield Question(
        key="weather.adhesive",
        severity="hold",
        place=say("Caps"),
        says=say(
            "The adhesive of {system} is not used below {job}; {job2} to {job3} is "
            "forecast, so not {when}.",
            system=job.system.title,
            job=_degrees(job, least),
            job2=_degrees(job, low),
            job3=_degrees(job, high),
            when=when,
        ),
        ask=say("Are the caps set on another day, or is another adhesive taken along?"),
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
        place=say("Rails"),
        says=say(
            "{job} to {job2} is forecast; the end clearances of {system} are for {job3} to {job4}.",
            job=_degrees(job, low),
            job2=_degrees(job, high),
            system=system.title,
            job3=_degrees(job, system.coldest_degf),
            job4=_degrees(job, system.hottest_degf),
        ),
        ask=say("Are the rails cut and fixed on that day?"),
        options=(GO_ON,),
    )


def _besides(forecast: Forecast) -> Iterator[Question]:
    for what in dict.fromkeys(forecast.warnings):
        yield Question(
            key=f"weather.{what}",
            severity="hold",
            place=say("Job"),
            says=say("{weather} is forecast: {why}.", weather=_WEATHER[what], why=_WHY[what]),
            ask=say("Does the crew go, and what is done first?"),
            options=(GO_ON,),
        )
