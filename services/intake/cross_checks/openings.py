"""Openings between posts in place and beside walls: plumb, and wide enough for a rail."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from schemas.job import Job
from schemas.lengths import INCH, Length
from schemas.site import GuardLine, Leg, Question
from schemas.wording import row, say
from services.intake.cross_checks.asking import GO_ON, legs, put_right, rules, things_in
from services.tape import text, text_with_unit
from services.wording.terms import term

OUT_OF_PLUMB = INCH // 4
"""Top and bottom of an opening may differ so much unasked. Source: common practice."""
READ_ALIKE = INCH // 8
"""Tape and level may differ so much on two walls. Source: common practice."""
LEANING = 3 * INCH // 4
"""Beyond this the post or wall is the question, not the rail. Source: common practice."""
AT_THE_WALL = INCH // 4
"""An opening that begins so near a wall begins at it. Source: common practice."""


def check(job: Job) -> tuple[Question, ...]:
    """Openings that are wider at one height, or too small for a rail and too big to leave."""
    return tuple(
        chain.from_iterable(
            (
                *_plumb(job, leg),
                *_both_walls(job, line, leg),
                *_walls(job, line, leg),
                *_traps(job, line, leg),
            )
            for _, line, leg in legs(job)
        )
    )


def _plumb(job: Job, leg: Leg) -> Iterator[Question]:
    for number, clear in enumerate(leg.clears, start=1):
        if clear.top is not None:
            yield from _differs(
                job,
                key=f"plumb.{leg.name}.{number}",
                place=say("Leg {leg}, opening {number}", leg=leg.name, number=number),
                bottom=clear.bottom,
                wider=clear.top - clear.bottom,
            )


def _both_walls(job: Job, line: GuardLine, leg: Leg) -> Iterator[Question]:
    """One opening from wall to wall, read at both heights, and both walls read with a level."""
    step, walls = job.step, (line.start.out_of_plumb, line.end.out_of_plumb)
    top = leg.clears[0].top if len(leg.clears) == 1 and len(line.legs) == 1 else None
    if line.closed or top is None or walls[0] is None or walls[1] is None:
        return
    if {line.start.kind, line.end.kind} != {"wall"}:
        return
    read = top - leg.clears[0].bottom
    if abs(read - walls[0] - walls[1]) > READ_ALIKE:
        yield Question(
            key=f"plumb-sum.{leg.name}",
            severity="stop",
            place=say("Leg {leg}", leg=leg.name),
            says=say(
                "Leg {leg}, from wall to wall: the tape reads {read} more at the top than at the "
                "bottom; by the level the walls lean {start} and {end}, which makes {both}.",
                leg=leg.name,
                read=text_with_unit(read, step),
                start=text(walls[0], step),
                end=text(walls[1], step),
                both=text(walls[0] + walls[1], step),
            ),
            ask=say("Which of them was misread?"),
            options=tuple(
                put_right(
                    name,
                    say("The wall at its {end} leans {size}", end=term(name),
                        size=text_with_unit(read - other, step)),
                    pointer=f"/lines/{job.lines.index(line)}/{name}/out_of_plumb",
                    value=read - other,
                    step=step,
                )
                for name, other in (("start", walls[1]), ("end", walls[0]))
            ),
        )  # fmt: skip


def _walls(job: Job, line: GuardLine, leg: Leg) -> Iterator[Question]:
    if line.closed:
        return
    for name, end, at in (("start", line.start, 0), ("end", line.end, -1)):
        if end.kind == "wall" and line.legs[at] is leg:
            yield from _differs(
                job,
                key=f"plumb.{leg.name}.{name}",
                place=say("Leg {leg}, wall at its {end}", leg=leg.name, end=term(name)),
                bottom=None,
                wider=end.out_of_plumb or 0,
            )


def _differs(
    job: Job, *, key: str, place: str, bottom: Length | None, wider: Length
) -> Iterator[Question]:
    size = abs(wider)
    if size <= OUT_OF_PLUMB:
        return
    found = say(
        "{place}: {size} {how} at top-rail height than at bottom-rail height.",
        place=place,
        size=text_with_unit(size, job.step),
        how=term("wider" if wider > 0 else "narrower"),
    )
    read = [say("At the bottom it is {size}.", size=text(bottom, job.step))] if bottom else []
    yield Question(
        key=key,
        severity="stop" if size > LEANING else "hold",
        place=place,
        says=row((found, *read), " "),
        ask=say("Is that a misread figure, or does the post or wall lean so much?"),
        options=(GO_ON,),
    )


def _traps(job: Job, line: GuardLine, leg: Leg) -> Iterator[Question]:
    limits = [r.limit for r in rules(job, "guard.opening") if r.limit is not None]
    if not limits:
        return
    rail = job.system.level
    least = 2 * (rail.bracket.least_margin + rail.end_clearance)
    for name, clear in _beside_walls(job, line, leg):
        if min(limits) <= clear < least:
            yield Question(
                key=f"trap.{leg.name}.{name}",
                severity="hold",
                place=say("Leg {leg}, wall at its {end}", leg=leg.name, end=term(name)),
                says=say(
                    "Between the wall and the nearest post of leg {leg} only {clear} stay open: "
                    "a sphere of {limits} passes, and a rail needs {least}.",
                    leg=leg.name,
                    clear=text_with_unit(clear, job.step),
                    limits=text(min(limits), job.step),
                    least=text(least, job.step),
                ),
                ask=say("Can the post stand closer to the wall, or further from it?"),
                options=(GO_ON,),
            )


def _beside_walls(job: Job, line: GuardLine, leg: Leg) -> Iterator[tuple[str, Length]]:
    """Openings between a wall and the first post that the measure itself settles."""
    if line.closed:
        return
    sleeve = job.system.sleeve.outside
    things = things_in(job, leg)
    starts = [t.start for t in things if t.start > AT_THE_WALL]
    ends = [t.start + t.width for t in things if leg.length - t.start - t.width > AT_THE_WALL]
    half = sleeve // 2
    starts += [at + half for at in leg.fixed_posts]
    ends += [at - half for at in leg.fixed_posts]
    if line.start.kind == "wall" and line.legs[0] is leg:
        if leg.clears:
            yield "start", leg.clears[0].bottom
        elif starts:
            yield "start", min(starts) - sleeve
    if line.end.kind == "wall" and line.legs[-1] is leg:
        if leg.clears:
            yield "end", leg.clears[-1].bottom
        elif ends:
            yield "end", leg.length - max(ends) - sleeve
