"""Closed guard lines: whether the measure comes back to where it started."""

from __future__ import annotations

from math import fsum

from schemas.job import Job
from schemas.lengths import FOOT, INCH
from schemas.record import Degrees
from schemas.site import GuardLine, Option, Question
from schemas.wording import row, say
from services.geometry.polyline import closing_error, headings, mends
from services.intake.cross_checks.asking import GO_ON, put_right, set_to
from services.tape import nearest, text, text_with_unit

STAYS_OPEN = INCH // 2
"""A closed line may miss its start by so much. Source: common practice."""
ANGLE = 1.0
"""Its corners may miss the full turn by so much. Source: common practice. [degrees]

Beyond this, or a sleeve from its start, the last post is not the first: no pack is made."""
FULL_TURN = 360.0


def check(job: Job) -> tuple[Question, ...]:
    """Closed lines that do not close, with the one figure that would close them."""
    asked = (_line(job, line, number) for number, line in enumerate(job.lines) if line.closed)
    return tuple(question for question in asked if question is not None)


def _line(job: Job, line: GuardLine, number: int) -> Question | None:
    turns = _turns(line)
    sides = [leg.length for leg in line.legs]
    ways = headings(first_deg=0, turns_deg=turns[:-1])
    gap = closing_error(sides=sides, headings_deg=ways)
    over = fsum(turns) - FULL_TURN
    if gap <= STAYS_OPEN and abs(over) <= ANGLE:
        return None
    name = line.legs[0].name
    says = [
        say(
            "The line that starts with leg {leg} should close, but its end misses its start by "
            "{gap}.",
            leg=name,
            gap=text_with_unit(gap, job.step),
        )
    ]
    if abs(over) > ANGLE:
        says.append(say("Its corners make {turns} degrees, not 360.", turns=f"{fsum(turns):g}"))
    options = (*_sides(job, line, number), *_corners(line, number, over=over))
    if options:
        says.append(say("{option} would close it.", option=options[0].says))
    far = gap > job.system.sleeve.outside or abs(over) > ANGLE
    return Question(
        key=f"closing.{name}",
        severity="stop" if far else "hold",
        place=say("Line of leg {name}", name=name),
        says=row(says, " "),
        ask=say("Which length or corner was misread? Measure the diagonals across it.")
        if far
        else say("Which length or corner was misread?"),
        options=options[:4] if far else (*options[:4], GO_ON),
    )


def _sides(job: Job, line: GuardLine, number: int) -> tuple[Option, ...]:
    """Each leg that alone, put to another tape mark, closes the line."""
    sides = [leg.length for leg in line.legs]
    ways = headings(first_deg=0, turns_deg=_turns(line)[:-1])
    found = []
    for mend in mends(sides=sides, headings_deg=ways):
        leg = line.legs[mend.side]
        length = nearest(leg.length + mend.longer, job.step)
        if mend.left > STAYS_OPEN or length <= 0 or length == leg.length:
            continue
        found.append(
            put_right(
                f"leg-{leg.name}",
                row(
                    (
                        say(
                            "Leg {leg} {right} instead of {wrong}",
                            leg=leg.name,
                            right=text_with_unit(length, job.step),
                            wrong=text(leg.length, job.step),
                        ),
                        *_how(abs(length - leg.length)),
                    ),
                    " ",
                ),
                pointer=f"/lines/{number}/legs/{mend.side}/length",
                value=length,
                step=job.step,
            )
        )
    return tuple(found)


def _how(size: int) -> tuple[str, ...]:
    for unit, says in ((FOOT, say("(just a foot off)")), (INCH, say("(just an inch off)"))):
        if abs(size - unit) <= STAYS_OPEN // 4:
            return (says,)
    return ()


def _corners(line: GuardLine, number: int, *, over: Degrees) -> tuple[Option, ...]:
    """Each corner that alone, turned to make up the full turn, closes the line."""
    sides = [leg.length for leg in line.legs]
    found = []
    for at, leg in enumerate(line.legs):
        turns = list(_turns(line))
        turns[at] -= over
        ways = headings(first_deg=0, turns_deg=turns[:-1])
        new = abs(turns[at])
        same_hand = (turns[at] > 0) == (_turns(line)[at] > 0)
        if abs(over) <= ANGLE or not same_hand or not 0 < new < 175:
            continue
        if closing_error(sides=sides, headings_deg=ways) <= STAYS_OPEN:
            found.append(
                set_to(
                    f"corner-{leg.name}",
                    say(
                        "The corner at the end of leg {leg} {new} degrees",
                        leg=leg.name,
                        new=f"{new:g}",
                    ),
                    pointer=f"/lines/{number}/legs/{at}/corner/turn_deg",
                    value=round(new, 3),
                )
            )
    return tuple(found)


def _turns(line: GuardLine) -> tuple[Degrees, ...]:
    corners = (leg.corner for leg in line.legs)
    return tuple(c.turn_deg if c.hand == "outside" else -c.turn_deg for c in corners if c)
