"""Posts that the measure itself settles: cores in their sleeves, joists, keep-outs."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, pairwise

from schemas.job import Job
from schemas.lengths import INCH, Length
from schemas.site import Leg, Option, Question
from services.geometry.polyline import from_nearest
from services.intake.cross_checks.asking import GO_ON, legs, put_right, set_to, things_in
from services.tape import text, text_with_unit

JOIST = 3 * INCH // 2
"""Thickness of a joist: nominal 2 in lumber. Source: American Softwood Lumber Standard, PS 20."""
RUNNING_OFF = INCH // 4
"""The last running measure and the whole may differ so much. Source: common practice."""
DRESSED = {4 * INCH: 7 * INCH // 2, 6 * INCH: 11 * INCH // 2}
"""Nominal timber and what it measures. Source: American Softwood Lumber Standard, PS 20."""


def check(job: Job) -> tuple[Question, ...]:
    """Cores too big for the sleeve; settled posts that come on a joist or in a keep-out."""
    places = chain.from_iterable(
        (*_joists(job, leg), *_keep_outs(job, leg)) for _, _, leg in legs(job)
    )
    standing = chain.from_iterable(_standing(job, leg, at) for at, _, leg in legs(job))
    running = chain.from_iterable(_running(job, leg) for _, _, leg in legs(job))
    return (*_core(job), *running, *standing, *places)


def _running(job: Job, leg: Leg) -> Iterator[Question]:
    """Running measures from the leg's start must grow, and end within it."""
    step = job.step
    rows = [*leg.fixed_posts, leg.length]
    wrong = [
        (number, at, following)
        for number, (at, following) in enumerate(pairwise(rows), start=1)
        if at >= following + (RUNNING_OFF if number == len(rows) - 1 else 0)
    ]
    wrong.extend(
        (len(rows), shut.start, shut.end)
        for shut in leg.keep_out
        if shut.end <= shut.start or shut.start > leg.length + RUNNING_OFF
    )
    if wrong:
        number, at, following = wrong[0]
        what = f"measure {number}" if number < len(rows) else "a keep-out"
        yield Question(
            key=f"running.{leg.name}",
            severity="stop",
            place=f"Leg {leg.name}",
            says=(
                f"Running measures along leg {leg.name} do not grow: {what} is "
                f"{text_with_unit(at, step)} and the next is {text(following, step)}; the leg is "
                f"{text(leg.length, step)}. One of them was likely read from another zero."
            ),
            ask="Which of them was misread?",
        )


def _core(job: Job) -> Iterator[Question]:
    sleeve, core, step = job.system.sleeve, job.post.core, job.step
    if sleeve.inside >= core + sleeve.core_gap_least:
        return
    options: list[Option] = []
    dressed = DRESSED.get(core)
    says = (
        f"The core is {text_with_unit(core, step)}; the sleeve is {text(sleeve.inside, step)} "
        f"inside and needs {text(sleeve.core_gap_least, step)} of play."
    )
    if dressed and dressed + sleeve.core_gap_least <= sleeve.inside:
        says += f" Timber named {text(core, step)} measures {text(dressed, step)}."
        options.append(
            put_right(
                "dressed",
                f"The core measures {text_with_unit(dressed, step)}",
                pointer="/post/core",
                value=dressed,
                step=step,
            )
        )
    yield Question(
        key="core.sleeve",
        severity="stop",
        place="Posts",
        says=says,
        ask="What does the core measure, face to face?",
        options=tuple(options),
    )


def _standing(job: Job, leg: Leg, pointer: str) -> Iterator[Question]:
    """Posts in place: whether they stay, and whether our sleeve goes over a bare core."""
    for number, post in enumerate(leg.standing):
        where = f"post {post.number} of leg {leg.name}"
        keep = f"{pointer}/standing/{number}/keep"
        ours = set_to("replace", "One of ours takes its place", pointer=keep, value=False)
        if post.keep is None:
            yield Question(
                key=f"post-keep.{leg.name}.{post.number}",
                severity="hold",
                place=f"Leg {leg.name}",
                says=f"It is not known whether {where} stays; it is taken as it stands.",
                ask="Does it stay, or does one of ours take its place?",
                options=(set_to("keep", "It stays", pointer=keep, value=True), ours, GO_ON),
            )
        if post.keep is not False and post.sleeve is None and post.core is not None:
            yield from _bare(job, leg, post.number, post.core, replace=ours)


def _bare(job: Job, leg: Leg, number: int, core: Length, *, replace: Option) -> Iterator[Question]:
    sleeve, step = job.system.sleeve, job.step
    fits = sleeve.inside >= core + sleeve.core_gap_least
    play = (
        f"the sleeve is {text(sleeve.inside, step)} inside and needs "
        f"{text(sleeve.core_gap_least, step)} of play"
    )
    over = "Its sleeve, skirt and cap are not on the load: posts in place are taken as finished."
    yield Question(
        key=f"core.{leg.name}.{number}",
        severity="hold" if fits else "stop",
        place=f"Leg {leg.name}",
        says=(
            f"Post {number} of leg {leg.name} is a bare core of {text_with_unit(core, step)}; "
            f"{play}. {over if fits else 'Our sleeve does not go over it.'}"
        ),
        ask="Is it left bare, or does one of ours take its place?",
        options=(replace, Option(key="bare", says="It is left bare")),
    )


def _joists(job: Job, leg: Leg) -> Iterator[Question]:
    if leg.joists is None or leg.first_joist is None or leg.clears:
        return
    for key, whose, at in _settled(job, leg):
        off = from_nearest(at, first=leg.first_joist, apart=leg.joists)
        if abs(off) < (job.post.core + JOIST) / 2:
            yield Question(
                key=f"on-joist.{key}",
                severity="hold",
                place=f"Leg {leg.name}",
                says=(
                    f"The {whose} stands {text_with_unit(at, job.step)} along leg {leg.name}, and "
                    f"the joist at {text(at - off, job.step)} is under it."
                ),
                ask="How is the post to be fixed there? The joist is not cut.",
                options=(GO_ON,),
            )


def _keep_outs(job: Job, leg: Leg) -> Iterator[Question]:
    half = job.system.sleeve.outside // 2
    for key, whose, at in _settled(job, leg):
        for shut in leg.keep_out:
            if shut.start - half < at < shut.end + half:
                yield Question(
                    key=f"keep-out.{key}",
                    severity="hold",
                    place=f"Leg {leg.name}",
                    says=(
                        f"The {whose} stands {text_with_unit(at, job.step)} along leg {leg.name}, "
                        f"where no post may stand: {shut.why}."
                    )[:400],
                    ask="May it stand there all the same?",
                    options=(GO_ON,),
                )


def _settled(job: Job, leg: Leg) -> Iterator[tuple[str, str, Length]]:
    """Posts whose place follows from the measure: a key, whose it is, its centre."""
    half = job.system.sleeve.outside // 2
    for number, at in enumerate(leg.fixed_posts, start=1):
        yield f"{leg.name}.fixed-{number}", f"fixed post {number}", at
    for thing in things_in(job, leg):
        yield f"{thing.name}.start", f"first post of {thing.name}", thing.start - half
        end = thing.start + thing.width + half
        yield f"{thing.name}.end", f"second post of {thing.name}", end
