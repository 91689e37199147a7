"""A leg whose posts already stand: its bays are what the tape read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate

from schemas.lengths import INCH, Length
from schemas.site import Correction, Gate, Option, Question, Stair
from schemas.wording import row, say
from services.layout.centre_line import CentreLeg
from services.layout.given import Site
from services.layout.in_place_shifts import dead_openings
from services.layout.slips import known_slip, slips
from services.layout.standing import is_replaced, replaced, sized, standing_at
from services.layout.stands import Gap, LegStands, Stand, between, post, with_duty
from services.layout.stretches import SAME_PLACE
from services.layout.wording import mend
from services.tape import as_written, text, text_with_unit

_OPENING_OFF = INCH
"""An opening's start and the posts in place may disagree so much. Source: common practice."""


def posts_in_place(
    site: Site, leg: CentreLeg, *, first: Stand, last: Stand, things: tuple[Stair | Gate, ...]
) -> tuple[LegStands | None, tuple[Question, ...]]:
    """Take a leg's posts where the measured openings put them.

    Openings, sleeves and the ends must add up to the leg, to 1/4 in; within that the
    openings are right and the leg follows them.

    Returns:
        The leg, or the questions that stop it.
    """
    clears = [clear.bottom for clear in leg.leg.clears]
    noted = standing_at(site.job, leg).between
    plain = post(0, where="line", sleeve=site.sleeve)
    row = [sized(plain, noted.get(number)) for number in range(len(clears) - 1)]
    widths = [stand.right - stand.left for stand in row]
    total = first.right + sum(clears) + sum(widths) + last.before.reach
    missing = leg.length - total
    if abs(missing) > SAME_PLACE:
        return None, (_does_not_add_up(site, leg, clears=clears, missing=missing),)
    beside = (clear + width for clear, width in zip(clears[:-1], widths, strict=True))
    starts = list(accumulate(beside, initial=first.right))
    middle = (
        replace(stand, at=start - stand.after.reach)
        for stand, start in zip(row, starts[1:], strict=True)
    )
    found = [first, *middle, replace(last, at=total)]
    stands = [replaced(stand, sleeve=site.sleeve) for stand in found]
    gaps = [_gap(site, leg, stands=stands, number=number) for number in range(len(clears))]
    questions: list[Question] = []
    for thing in things:
        number = _gap_of(thing, leg=leg, starts=starts, clears=clears)
        if number is None:
            questions.append(_no_such_opening(site, leg, thing, starts=starts, clears=clears))
            continue
        _open(thing, gaps=gaps, stands=stands, number=number)
    if questions:
        return None, tuple(questions)
    reason = say("Posts in place, taken as the tape read them")
    whole = LegStands(leg=leg, stands=tuple(stands), gaps=tuple(gaps), in_place=True, reason=reason)
    dead = dead_openings(site, whole)
    return (None, (dead,)) if dead else (whole, ())


def _gap(site: Site, leg: CentreLeg, *, stands: Sequence[Stand], number: int) -> Gap:
    clear = leg.leg.clears[number]
    left, right = stands[number], stands[number + 1]
    gap = between(left, right)
    if is_replaced(left) or is_replaced(right):
        wider = gap.clear_top - gap.clear if clear.top is None else clear.top - clear.bottom
        bottom, top = gap.clear, gap.clear + wider
    else:
        bottom, top = clear.bottom, gap.clear_top if clear.top is None else clear.top
    return Gap(
        kind="narrow" if bottom < site.narrow else "level",
        clear=bottom,
        clear_top=top,
    )


def _gap_of(
    thing: Stair | Gate, *, leg: CentreLeg, starts: Sequence[Length], clears: Sequence[Length]
) -> int | None:
    """The measured opening that a stair or gate is, by place and width."""
    start = thing.start - leg.zero
    number = min(range(len(starts)), key=lambda n: abs(starts[n] - start))
    close = abs(starts[number] - start) <= _OPENING_OFF
    return number if close and abs(clears[number] - thing.width) <= SAME_PLACE else None


def _open(thing: Stair | Gate, *, gaps: list[Gap], stands: list[Stand], number: int) -> None:
    is_stair = isinstance(thing, Stair)
    gaps[number] = replace(
        gaps[number], kind="stair-opening" if is_stair else "gate-opening", thing=thing
    )
    for beside in (number, number + 1):
        stands[beside] = with_duty(stands[beside], "stair-upper" if is_stair else "gate")


def _no_such_opening(
    site: Site,
    leg: CentreLeg,
    thing: Stair | Gate,
    *,
    starts: Sequence[Length],
    clears: Sequence[Length],
) -> Question:
    step = site.job.step
    there = row(
        say("{clear} from {start}", clear=text(clear, step), start=text(start + leg.zero, step))
        for start, clear in zip(starts, clears, strict=True)
    )
    return Question(
        key=f"opening.{thing.name}",
        severity="stop",
        place=say("Leg {leg}, {thing}", leg=leg.leg.name, thing=thing.name),
        says=say(
            "{thing} is given as {width} wide from {start}; the openings between the "
            "posts in place are {there}.",
            thing=thing.name,
            width=text_with_unit(thing.width, step),
            start=text(thing.start, step),
            there=there,
        ),
        ask=say("Which of them is {thing}?", thing=thing.name),
        options=tuple(
            _is_there(site, leg, thing, number=number, start=start, clear=clear)
            for number, (start, clear) in enumerate(zip(starts, clears, strict=True), start=1)
        )[:6],
    )


def _is_there(
    site: Site, leg: CentreLeg, thing: Stair | Gate, *, number: int, start: Length, clear: Length
) -> Option:
    """It is one of the openings that were measured."""
    stair = isinstance(thing, Stair)
    things: Sequence[Stair | Gate] = site.job.stairs if stair else site.job.gates
    where = f"/{'stairs' if stair else 'gates'}/{[t.name for t in things].index(thing.name)}"
    step = site.job.step
    return Option(
        key=f"opening-{number}",
        says=say(
            "{thing} is opening {number}, {clear} wide",
            thing=thing.name,
            number=number,
            clear=text_with_unit(clear, step),
        ),
        sets=(
            Correction(pointer=f"{where}/start", value=as_written(start + leg.zero, step)),
            Correction(pointer=f"{where}/width", value=as_written(clear, step)),
        ),
    )


def _does_not_add_up(
    site: Site, leg: CentreLeg, *, clears: Sequence[Length], missing: Length
) -> Question:
    step = site.job.step
    name = leg.leg.name
    suspects = slips(clears, missing=missing)
    says = [
        say(
            "Leg {leg}: openings, sleeves and ends make {made}, but the leg was measured "
            "{measured}: {missing} {short}.",
            leg=name,
            made=text_with_unit(leg.leg.length - missing, step),
            measured=text_with_unit(leg.leg.length, step),
            missing=text(abs(missing), step),
            short=say("short") if missing > 0 else say("too long"),
        )
    ]
    if how := known_slip(missing, sleeve=site.sleeve):
        says.append(say("That is {how}.", how=how))
    if suspects and suspects[0].alike:
        worst = suspects[0]
        says.append(
            say(
                "Opening {number} looks wrong: with {right} for {wrong} it is like its neighbours.",
                number=worst.number + 1,
                right=text(worst.should_be, step),
                wrong=text(clears[worst.number], step),
            )
        )
    options = [_put_right(site, leg, number=slip.number, missing=missing) for slip in suspects[:3]]
    options.append(
        mend(
            "length",
            say(
                "The leg is {length}; its openings are right",
                length=text_with_unit(leg.leg.length - missing, step),
            ),
            pointer=f"{leg.pointer}/length",
            value=leg.leg.length - missing,
            step=step,
        )
    )
    return Question(
        key=f"clears.{name}",
        severity="stop",
        place=say("Leg {leg}", leg=name),
        says=row(says, " "),
        ask=say("Which figure is wrong?"),
        options=tuple(options),
    )


def _put_right(site: Site, leg: CentreLeg, *, number: int, missing: Length) -> Option:
    step = site.job.step
    clear = leg.leg.clears[number]
    where = f"{leg.pointer}/clears/{number}"
    sets = [Correction(pointer=f"{where}/bottom", value=as_written(clear.bottom + missing, step))]
    if clear.top is not None:
        sets.append(Correction(pointer=f"{where}/top", value=as_written(clear.top + missing, step)))
    return Option(
        key=f"opening-{number + 1}",
        says=say(
            "Opening {number} is {bottom}",
            number=number + 1,
            bottom=text_with_unit(clear.bottom + missing, step),
        ),
        sets=tuple(sets),
    )
