"""What was taken because nothing was given: printed as assumed, to be verified on site."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from schemas.company import BOLT, Company
from schemas.lengths import INCH, PER_MM
from schemas.site import Assumed, Gate, GuardLine, Leg, Stair
from schemas.submission import Submission
from schemas.wording import Said, say
from services.intake.corner_posts import WORDS
from services.tape import text_with_unit
from services.wording.terms import term

METRIC = frozenset({"mm", "cm", "m"})
"""Declared units that put millimetres on the paper."""


def assumed(
    submission: Submission, *, company: Company, stand: Sequence[GuardLine]
) -> tuple[Assumed, ...]:
    """Every default that stands in for a measure.

    Args:
        submission: As it was read; what it does not hold was not given.
        company: For its tape and its details.
        stand: The same lines, each corner post with the way it was made to stand.
    """
    step = PER_MM if submission.unit in METRIC else company.step
    return tuple(_all(submission, company=company, step=step, stand=stand))


def _all(
    submission: Submission, *, company: Company, step: int, stand: Sequence[GuardLine]
) -> Iterator[Assumed]:
    if "treated" not in submission.post.model_fields_set:
        yield Assumed(place=say("Posts"), says=say("preservative treated"))
    yield from _of_bolts(submission, company)
    yield from _of_lines(submission)
    for line, with_posts in zip(submission.lines, stand, strict=True):
        yield from _of_line(line)
        for leg, standing in zip(line.legs, with_posts.legs, strict=True):
            yield from _of_leg(leg, standing)
    for stair in submission.stairs:
        yield from _of_stair(stair, step=step)
    for gate in submission.gates:
        yield from _of_gate(gate)


def _of_lines(submission: Submission) -> Iterator[Assumed]:
    """Lines that no flight's foot joins have no common origin in plan."""
    joined = {
        stair.leg
        for stair in submission.stairs
        if stair.from_landing is not None and stair.from_landing.shared is not None
    }
    free = [
        line.legs[0].name
        for line in submission.lines
        if line.start.same_as is None
        and line.end.same_as is None
        and not joined & {leg.name for leg in line.legs}
    ]
    if len(free) > 1:
        yield Assumed(
            place=say("Lines that start with {legs}", legs=", ".join(free)),
            says=say("stand clear of each other: measured apart, so not checked"),
        )


def _of_bolts(submission: Submission, company: Company) -> Iterator[Assumed]:
    """Details that say where their bolts are, and not how thick."""
    feet = [n for s in submission.stairs for n in (s.lower_post.detail, s.mid_detail)]
    used = {submission.post.detail, *feet}
    for detail in company.details:
        if detail.key in used and detail.lowest_bolt and detail.bolt_diameter is None:
            yield Assumed(
                place=say("Detail {detail}", detail=detail.key),
                says=say("its bolts are {bolt} thick", bolt=text_with_unit(BOLT, INCH // 16)),
            )


def _of_line(line: GuardLine) -> Iterator[Assumed]:
    first = line.legs[0]
    if line.measured == "deck-edge" and "inset" not in line.model_fields_set:
        yield Assumed(
            place=say("Line of leg {first}", first=first.name),
            says=say("posts stand centred on the deck edge"),
        )
    if "heading" not in line.model_fields_set:
        yield Assumed(
            place=say("Leg {first}", first=first.name), says=say("runs out from the house")
        )
    ends = (("start", line.start, first), ("end", line.end, line.legs[-1]))
    for name, end, leg in () if line.closed else ends:
        if name not in line.model_fields_set:
            yield Assumed(
                place=say("Leg {leg}", leg=leg.name),
                says=say("{end} of the line is a free end post", end=term(name)),
            )
        elif end.kind == "wall" and "out_of_plumb" not in end.model_fields_set:
            yield Assumed(
                place=say("Leg {leg}", leg=leg.name),
                says=_wall_words(leg, at_start=end is line.start, end=term(name)),
            )


def _wall_words(leg: Leg, *, at_start: bool, end: str) -> Said:
    """A wall nobody held a level to: what its opening differs in width is put down to it."""
    beside = (leg.clears[0] if at_start else leg.clears[-1]) if leg.clears else None
    if beside is not None and beside.top not in {None, beside.bottom}:
        return say("wall at the {end} leans by what its opening differs, top from bottom", end=end)
    return say("wall at the {end} stands plumb", end=end)


def _of_leg(leg: Leg, standing: Leg) -> Iterator[Assumed]:
    where = say("Leg {leg}", leg=leg.name)
    if leg.corner is not None and standing.corner is not None:
        end = say("Corner at the end of leg {leg}", leg=leg.name)
        if leg.corner.post is None and standing.corner.post is not None:
            yield Assumed(
                place=end, says=say("post stands {post}", post=WORDS[standing.corner.post])
            )
        if "hand" not in leg.corner.model_fields_set:
            yield Assumed(place=end, says=say("points out from the deck"))
    if "fall" not in leg.model_fields_set and not leg.clears:
        yield Assumed(place=where, says=say("deck is level along it"))
    if any(clear.top is None for clear in leg.clears):
        yield Assumed(place=where, says=say("openings read at one height are alike at the other"))


def _of_stair(stair: Stair, *, step: int) -> Iterator[Assumed]:
    where = say("Stair {stair}", stair=stair.name)
    if "each_riser" not in stair.model_fields_set:
        yield Assumed(
            place=where, says=say("all risers are {riser}", riser=text_with_unit(stair.riser, step))
        )
    if "each_tread" not in stair.model_fields_set:
        yield Assumed(
            place=where, says=say("all treads are {tread}", tread=text_with_unit(stair.tread, step))
        )
    if "upper_post" not in stair.model_fields_set:
        yield Assumed(place=where, says=say("top nosing is the deck edge"))
    if stair.nosing is None:
        yield Assumed(place=where, says=say("nosing projects as far as usual"))
    if "rails" not in stair.model_fields_set:
        yield Assumed(place=where, says=say("a rail on both sides"))
    if "stands_on" not in stair.lower_post.model_fields_set:
        yield Assumed(place=where, says=say("lower posts stand on the landing"))


def _of_gate(gate: Gate) -> Iterator[Assumed]:
    where = say("Gate {gate}", gate=gate.name)
    if "hinge" not in gate.model_fields_set:
        yield Assumed(
            place=where,
            says=say("hinges on its {side} side, seen from the deck", side=term(gate.hinge)),
        )
    if "opens" not in gate.model_fields_set:
        yield Assumed(place=where, says=say("opens {way}", way=term(gate.opens)))
