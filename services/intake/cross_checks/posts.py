"""Posts that the measure itself settles: cores in their sleeves, joists, keep-outs."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, pairwise

from schemas.job import Job
from schemas.lengths import INCH, Length
from schemas.site import Correction, Leg, Option, Question
from schemas.wording import row, say
from services.geometry.polyline import from_nearest
from services.intake.cross_checks.asking import GO_ON, legs, put_right, set_to, things_in
from services.tape import as_written, text, text_with_unit

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
    running = chain.from_iterable(
        (*_running(job, leg, at), *_past_end(job, leg, at)) for at, _, leg in legs(job)
    )
    return (*_core(job), *running, *standing, *places)


def _running(job: Job, leg: Leg, pointer: str) -> Iterator[Question]:
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
        what = say("measure {number}", number=number) if number < len(rows) else say("a keep-out")
        yield Question(
            key=f"running.{leg.name}",
            severity="stop",
            place=say("Leg {leg}", leg=leg.name),
            says=say(
                "Running measures along leg {leg} do not grow: {what} is {at} and the next "
                "is {following}; the leg is {length}. One of them was likely read from "
                "another zero.",
                leg=leg.name,
                what=what,
                at=text_with_unit(at, step),
                following=text(following, step),
                length=text(leg.length, step),
            ),
            ask=say("Which of them was misread?"),
            options=tuple(_in_order(job, leg, pointer)),
        )


def _in_order(job: Job, leg: Leg, pointer: str) -> Iterator[Option]:
    """The fixed posts all read from the leg's start, and only written out of order."""
    rows = sorted(set(leg.fixed_posts))
    if len(rows) != len(leg.fixed_posts) or rows == list(leg.fixed_posts):
        return
    if rows[-1] <= leg.length:
        values = tuple(as_written(one, job.step) for one in rows)
        yield Option(
            key="in-order",
            says=say(
                "Fixed posts stand at {rows} from the leg's measured start",
                rows=row(text(one, job.step) for one in rows),
            ),
            sets=(Correction(pointer=f"{pointer}/fixed_posts", value=values),),
        )


def _past_end(job: Job, leg: Leg, pointer: str) -> Iterator[Question]:
    """A keep-out that ends beyond its leg was measured from another zero, or along another leg."""
    step = job.step
    for number, shut in enumerate(leg.keep_out):
        if not shut.start < leg.length < shut.end - RUNNING_OFF:
            continue
        yield Question(
            key=f"keep-out-end.{leg.name}.{number + 1}",
            severity="stop",
            place=say("Leg {leg}", leg=leg.name),
            says=say(
                "The keep-out of leg {leg} from {start} to {end} ({why}) reaches {past} past the "
                "leg's {length}.",
                leg=leg.name,
                start=text(shut.start, step),
                end=text_with_unit(shut.end, step),
                why=shut.why,
                past=text_with_unit(shut.end - leg.length, step),
                length=text(leg.length, step),
            ),
            ask=say("Where does it end, from the leg's measured start?"),
            options=(
                put_right(
                    "leg-end",
                    say("It ends with the leg, at {length}",
                        length=text_with_unit(leg.length, step)),
                    pointer=f"{pointer}/keep_out/{number}/end",
                    value=leg.length,
                    step=step,
                ),
            ),
        )  # fmt: skip


def _core(job: Job) -> Iterator[Question]:
    sleeve, core, step = job.system.sleeve, job.post.core, job.step
    if sleeve.inside >= core + sleeve.core_gap_least:
        return
    options: list[Option] = []
    named: list[str] = []
    dressed = DRESSED.get(core)
    play = say(
        "The core is {core}; the sleeve is {inside} inside and needs {core_gap_least} of play.",
        core=text_with_unit(core, step),
        inside=text(sleeve.inside, step),
        core_gap_least=text(sleeve.core_gap_least, step),
    )
    if dressed and dressed + sleeve.core_gap_least <= sleeve.inside:
        named = [
            say(
                "Timber named {core} measures {dressed}.",
                core=text(core, step),
                dressed=text(dressed, step),
            )
        ]
        options.append(
            put_right(
                "dressed",
                say("The core measures {dressed}", dressed=text_with_unit(dressed, step)),
                pointer="/post/core",
                value=dressed,
                step=step,
            )
        )
    yield Question(
        key="core.sleeve",
        severity="stop",
        place=say("Posts"),
        says=row((play, *named), " "),
        ask=say("What does the core measure, face to face?"),
        options=tuple(options),
    )


def _standing(job: Job, leg: Leg, pointer: str) -> Iterator[Question]:
    """Posts in place: whether they stay, and whether our sleeve goes over a bare core."""
    for number, post in enumerate(leg.standing):
        where = say("post {number} of leg {leg}", number=post.number, leg=leg.name)
        keep = f"{pointer}/standing/{number}/keep"
        ours = set_to("replace", say("One of ours takes its place"), pointer=keep, value=False)
        if post.keep is None:
            yield Question(
                key=f"post-keep.{leg.name}.{post.number}",
                severity="hold",
                place=say("Leg {leg}", leg=leg.name),
                says=say(
                    "It is not known whether {where} stays; it is taken as it stands.", where=where
                ),
                ask=say("Does it stay, or does one of ours take its place?"),
                options=(set_to("keep", say("It stays"), pointer=keep, value=True), ours, GO_ON),
            )
        if post.keep is not False and post.sleeve is None and post.core is not None:
            yield from _bare(job, leg, post.number, post.core, replace=ours)


def _bare(job: Job, leg: Leg, number: int, core: Length, *, replace: Option) -> Iterator[Question]:
    sleeve, step = job.system.sleeve, job.step
    fits = sleeve.inside >= core + sleeve.core_gap_least
    play = say(
        "the sleeve is {inside} inside and needs {core_gap_least} of play",
        inside=text(sleeve.inside, step),
        core_gap_least=text(sleeve.core_gap_least, step),
    )
    over = say(
        "Its sleeve, skirt and cap are not on the load, and rails beside it are cut to the bare "
        "core: under a sleeve put on later they are {off} or more too long at that end.",
        off=text_with_unit(-(-(sleeve.outside - core) // 2), step),
    )
    yield Question(
        key=f"core.{leg.name}.{number}",
        severity="hold" if fits else "stop",
        place=say("Leg {leg}", leg=leg.name),
        says=say(
            "Post {number} of leg {leg} is a bare core of {core}; {play}. {over}",
            number=number,
            leg=leg.name,
            core=text_with_unit(core, step),
            play=play,
            over=over if fits else say("Our sleeve does not go over it."),
        ),
        ask=say("Is it left bare, or does one of ours take its place?"),
        options=(replace, Option(key="bare", says=say("It is left bare"))),
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
                place=say("Leg {leg}", leg=leg.name),
                says=say(
                    "The {whose} stands {at} along leg {leg}, and the joist at {joist} is below.",
                    whose=whose,
                    at=text_with_unit(at, job.step),
                    leg=leg.name,
                    joist=text(at - off, job.step),
                ),
                ask=say("How is the post to be fixed there? The joist is not cut."),
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
                    place=say("Leg {leg}", leg=leg.name),
                    says=say(
                        "The {whose} stands {at} along leg {leg}, where no post may stand: {why}.",
                        whose=whose,
                        at=text_with_unit(at, job.step),
                        leg=leg.name,
                        why=shut.why,
                    ),
                    ask=say("May it stand there all the same?"),
                    options=(GO_ON,),
                )


def _settled(job: Job, leg: Leg) -> Iterator[tuple[str, str, Length]]:
    """Posts whose place follows from the measure: a key, whose it is, its centre."""
    half = job.system.sleeve.outside // 2
    for number, at in enumerate(leg.fixed_posts, start=1):
        yield f"{leg.name}.fixed-{number}", say("fixed post {number}", number=number), at
    for thing in things_in(job, leg):
        yield (
            f"{thing.name}.start",
            say("first post of {thing}", thing=thing.name),
            thing.start - half,
        )
        end = thing.start + thing.width + half
        yield f"{thing.name}.end", say("second post of {thing}", thing=thing.name), end
