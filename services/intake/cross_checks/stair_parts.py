"""Stairs against the parts that are to be built on them, and the recorded rules."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from schemas.code_profile import Rule
from schemas.errors import GeometryError
from schemas.job import Job
from schemas.lengths import INCH, Length
from schemas.rail_system import RoutedRail, SectionHeight
from schemas.site import Option, Question, Stair
from schemas.wording import joined, say
from services.geometry.incircle import touching_height
from services.geometry.slope import Slope
from services.intake.cross_checks.asking import GO_ON, put_right, recorded, rules, set_to, stairs
from services.tape import text, text_with_unit

TOP_OFF = INCH // 4
"""An upper post's face and its line's inset may differ by so much. Source: common practice."""


def check(job: Job) -> tuple[Question, ...]:
    """Slopes and lengths beyond the system; heights, handrails and flights beyond the rules."""
    return tuple(
        chain.from_iterable(
            (
                *_top_nose(job, stair, pointer),
                *_last_nose(job, stair, pointer),
                *_slots(job, stair),
                *_length(job, stair, pointer),
                *_height(job, stair),
                *_handrail(job, stair),
                *_flight(job, stair),
                *_own_sizes(job, stair),
            )
            for pointer, stair in stairs(job)
        )
    )


def _slope(stair: Stair) -> Slope:
    return Slope(rise=stair.riser, run=stair.tread)


def _top_nose(job: Job, stair: Stair, pointer: str) -> Iterator[Question]:
    """The upper post's face was measured twice: from the top nosing, and by the line's inset.

    face = sleeve / 2 - inset, downhill of the top nosing. A line along post centres without an
    inset says nothing of the deck edge.
    """
    number, line = next(
        (n, line) for n, line in enumerate(job.lines) if stair.leg in {g.name for g in line.legs}
    )
    given, half, step = stair.upper_post.from_top_nose, job.system.sleeve.outside // 2, job.step
    silent = line.measured == "post-centre" and line.inset == 0
    if given is None or silent or abs(given - (half - line.inset)) <= TOP_OFF:
        return
    face, inset = half - line.inset, half - given
    options = [
        put_right(
            "from-top-nose",
            say("The face stands {face} from the top nosing", face=text_with_unit(face, step)),
            pointer=f"{pointer}/upper_post/from_top_nose",
            value=face,
            step=step,
        )
    ]
    if inset >= 0:
        options.append(
            put_right(
                "inset",
                say("The line's inset is {inset}", inset=text_with_unit(inset, step)),
                pointer=f"/lines/{number}/inset",
                value=inset,
                step=step,
            )
        )
    both = say("Both are right: the top nosing does not lie over the measured deck edge")
    yield Question(
        key=f"top-nose.{stair.name}",
        severity="stop",
        place=say("Stair {stair}", stair=stair.name),
        says=say(
            "{stair}: the upper post's face was measured {given} from the top nosing (minus is "
            "back on the deck); half a {sleeve} sleeve less the line's inset of {inset} puts it "
            "at {face}. The measure from the top nosing is the likely culprit.",
            stair=stair.name,
            given=text_with_unit(given, step),
            sleeve=text(2 * half, step),
            inset=text(line.inset, step),
            face=text_with_unit(face, step),
        ),
        ask=say("Which of the two was misread?"),
        options=(*options, Option(key="both-right", says=both)),
    )


def _last_nose(job: Job, stair: Stair, pointer: str) -> Iterator[Question]:
    """A lower post on landing or grade stands beyond the lowest nosing, or beside it.

    Further uphill than its own sleeve is wide it would end the rail over the treads, and the lowest
    nosing would have none.
    """
    given, step = stair.lower_post.from_last_nose, job.step
    if stair.lower_post.stands_on == "tread" or given >= -job.system.sleeve.outside:
        return
    yield Question(
        key=f"last-nose.{stair.name}",
        severity="stop",
        place=say("Stair {stair}", stair=stair.name),
        says=say(
            "{stair}: the lower post is measured {by} uphill of the lowest nosing; the rail would "
            "end there, short of that nosing. The sign of the measure is the likely culprit.",
            stair=stair.name,
            by=text_with_unit(-given, step),
        ),
        ask=say("Does the post stand so far beyond the lowest nosing, or on a tread?"),
        options=(
            put_right(
                "beyond",
                say("It stands {by} beyond the lowest nosing", by=text_with_unit(-given, step)),
                pointer=f"{pointer}/lower_post/from_last_nose",
                value=-given,
                step=step,
            ),
        ),
    )


def _slots(job: Job, stair: Stair) -> Iterator[Question]:
    rail = job.stair_system.stair
    if rail is None:
        return
    deg = _slope(stair).degrees
    slots = (rail.slot_least_deg, rail.slot_greatest_deg)
    takes = (rail.bracket.least_deg, rail.bracket.greatest_deg)
    ranges = (
        (slots, say("its slots take {low} to {high}", low=f"{slots[0]:g}", high=f"{slots[1]:g}")),
        (
            takes,
            say("its brackets take {low} to {high}", low=f"{takes[0]:g}", high=f"{takes[1]:g}"),
        ),
    )
    wrong = [says for (low, high), says in ranges if not low <= deg <= high]
    if wrong:
        yield Question(
            key=f"stair-range.{stair.name}",
            severity="stop",
            place=say("Stair {stair}", stair=stair.name),
            says=say(
                "{stair} slopes {deg} degrees ({riser} on {tread}); of the stair rail of "
                "{stair_system} {wrong}.",
                stair=stair.name,
                deg=f"{deg:.1f}",
                riser=text(stair.riser, job.step),
                tread=text(stair.tread, job.step),
                stair_system=job.stair_system.title,
                wrong=joined(wrong),
            ),
            ask=say(
                "Read riser, tread and total rise again and send them; if they are right, which "
                "stair system takes that slope?"
            ),
        )


def _length(job: Job, stair: Stair, pointer: str) -> Iterator[Question]:
    rail = job.stair_system.stair
    clear = _clear(job, stair)
    if rail is None or clear <= 0 or stair.mid_posts:
        return
    along = _slope(stair).ceil_along(clear)
    longest_kit = max(kit.length for kit in rail.kits) + 2 * rail.end_clearance
    longest = min(rail.longest_clear, longest_kit)
    if along > longest:
        yield Question(
            key=f"mid-post.{stair.name}",
            severity="stop",
            place=say("Stair {stair}", stair=stair.name),
            says=say(
                "{stair} is {along} along the slope between its posts; the longest that "
                "{stair_system} reaches is {longest}.",
                stair=stair.name,
                along=text_with_unit(along, job.step),
                stair_system=job.stair_system.title,
                longest=text(longest, job.step),
            ),
            ask=say("Where may a mid post stand, or can a post stand closer to the stair?"),
            options=(
                set_to(
                    "auto",
                    say("Mid posts stand on the treads where the rail needs them"),
                    pointer=f"{pointer}/mid_posts",
                    value="auto",
                ),
            ),
        )


def _clear(job: Job, stair: Stair) -> Length:
    """Level between the posts; the upper one on the line of post centres unless measured."""
    line = next(line for line in job.lines if stair.leg in {leg.name for leg in line.legs})
    top = stair.upper_post.from_top_nose
    if top is None:
        top = job.system.sleeve.outside // 2 - line.inset
    return stair.run + stair.lower_post.from_last_nose - top


def _height(job: Job, stair: Stair) -> Iterator[Question]:
    rail, section = job.stair_system.stair, job.stair_height
    if rail is None or section is None:
        return
    least = _built(rail, section, stair)
    most = least + _room_below(job, stair)
    low = min((r.limit for r in rules(job, "guard.stair_height") if r.limit), default=None)
    uppers = [r.upper for r in rules(job, "guard.stair_height_as_handrail") if r.upper]
    high = min(uppers, default=None) if not stair.handrail else None
    step = job.step
    if low is not None and most < low:
        wrong = say(
            "and at most {most}, under the recorded {low}",
            most=text(most, step),
            low=recorded(job, low),
        )
    elif high is not None and least > high:
        wrong = say(
            "over the recorded {high} for a rail that is also the handrail",
            high=recorded(job, high),
        )
    else:
        return
    yield Question(
        key=f"stair-height.{stair.name}",
        severity="hold",
        place=say("Stair {stair}", stair=stair.name),
        says=say(
            "The {section} section stands at least {least} over the nosing line of "
            "{stair}, {wrong}.",
            section=section.name,
            least=text_with_unit(least, step),
            stair=stair.name,
            wrong=wrong,
        ),
        ask=say("Is another section height to be used on the stair?"),
        options=(GO_ON,),
    )


def _built(rail: RoutedRail, section: SectionHeight, stair: Stair) -> Length:
    """Plumb height of the section on its slope: depths / cos + what is seen between."""
    return _slope(stair).ceil_along(rail.bottom_depth + rail.top_depth) + section.visible


def _room_below(job: Job, stair: Stair) -> Length:
    """The most that the bottom rail may stand over the nosing line, by the recorded spheres."""
    sphere = min((r.limit for r in rules(job, "guard.stair_opening") if r.limit), default=0)
    triangle = min((r.limit for r in rules(job, "guard.triangle") if r.limit), default=0)
    if stair.open_risers or stair.nosing is None or not triangle:
        return sphere
    try:
        room = touching_height(
            rise=stair.riser, run=stair.tread, projection=stair.nosing, diameter=triangle
        )
    except GeometryError:  # a riser lower than the sphere's radius: the triangle says nothing
        return sphere
    return max(0, int(room))


def _handrail(job: Job, stair: Stair) -> Iterator[Question]:
    needs = [r for r in rules(job, "handrail.risers") if r.stands(stair.risers)]
    if needs and not stair.handrail:
        yield Question(
            key=f"handrail.{stair.name}",
            severity="hold",
            place=say("Stair {stair}", stair=stair.name),
            says=say(
                "{stair} has {risers} risers and no graspable handrail on either side; the "
                "recorded rule asks for one {border}.",
                stair=stair.name,
                risers=stair.risers,
                border=_border(needs[0]),
            ),
            ask=say("Is a handrail there already, or was it left out?"),
            options=(GO_ON,),
        )


def _border(rule: Rule) -> str:
    return (
        say("from {number} risers on", number=f"{rule.number:g}")
        if rule.compare == ">="
        else say("over {number} risers", number=f"{rule.number:g}")
    )


def _flight(job: Job, stair: Stair) -> Iterator[Question]:
    limits = [r.limit for r in rules(job, "stair.flight_rise") if r.limit is not None]
    rise = stair.total_rise or stair.risers * stair.riser
    if limits and rise > min(limits):
        yield Question(
            key=f"flight.{stair.name}",
            severity="hold",
            place=say("Stair {stair}", stair=stair.name),
            says=say(
                "{stair} rises {rise} in one flight; the recorded limit without a landing is "
                "{limits}.",
                stair=stair.name,
                rise=text_with_unit(rise, job.step),
                limits=recorded(job, min(limits)),
            ),
            ask=say("Is there a landing that was measured as part of the flight?"),
            options=(GO_ON,),
        )


def _own_sizes(job: Job, stair: Stair) -> Iterator[Question]:
    step = job.step
    tops = (r.upper or r.limit for r in rules(job, "stair.riser"))
    high = min(filter(None, tops), default=None)
    short = max((r.limit for r in rules(job, "stair.tread") if r.limit), default=None)
    wrong = []
    if high is not None and max((stair.riser, *stair.each_riser)) > high:
        found = max((stair.riser, *stair.each_riser))
        wrong.append(
            say(
                "a riser of {found} (recorded limit {high})",
                found=text(found, step),
                high=recorded(job, high),
            )
        )
    least = min((stair.tread, *stair.each_tread))
    if short is not None and least < short:
        wrong.append(
            say(
                "treads of {tread} (recorded limit {short})",
                tread=text(least, step),
                short=recorded(job, short),
            )
        )
    if wrong:
        yield Question(
            key=f"stair-own.{stair.name}",
            severity="hold",
            place=say("Stair {stair}", stair=stair.name),
            says=say(
                "{stair} has {wrong}. That is the stair's, not the rail's.",
                stair=stair.name,
                wrong=joined(wrong),
            ),
            ask=say("Has the owner been told that the authority may ask about the stair itself?"),
            options=(GO_ON,),
        )
