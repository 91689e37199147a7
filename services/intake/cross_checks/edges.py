"""Deck edges and posts: on which side of the edge the posts stand, and what holds them there.

An inset is negative where posts stand outside the deck edge, on the face of the rim. The fixing
detail says on which side of the rim the core is, so each tells of the other.
"""

from __future__ import annotations

from collections.abc import Iterator

from schemas.job import Job
from schemas.lengths import INCH, Length
from schemas.site import GuardLine, LineEnd, Option, Question
from schemas.wording import say
from services.intake.cross_checks.asking import GO_ON, put_right, set_to
from services.tape import text, text_with_unit
from services.wording.terms import term

OFF_RIM = INCH
"""A core's face may stand so far outside the deck edge: a fascia. Source: common practice."""
OVERHANG = 3 * INCH
"""Boards run past their rim by no more. Source: common practice: 1 to 1 1/2 in."""


def check(job: Job) -> tuple[Question, ...]:
    """Everything about the side of the edge on which posts stand."""
    asked: list[Question] = []
    for number, line in enumerate(job.lines):
        if line.measured == "deck-edge" and any(not leg.clears for leg in line.legs):
            asked += _side(job, line, pointer=f"/lines/{number}")
        if line.measured == "deck-edge" and line.inset < 0:
            asked += _outside(job, line, pointer=f"/lines/{number}")
    return tuple(asked)


def _side(job: Job, line: GuardLine, *, pointer: str) -> Iterator[Question]:
    """Detail and inset disagree about the side."""
    if job.detail is None:
        return
    outside = job.detail.mount == "outside-rim"
    deep = line.inset + job.post.core // 2
    if (line.inset >= 0 and not (outside and deep > OVERHANG)) or (line.inset < 0 and outside):
        return
    ways = [
        set_to(
            other.key,
            say("Detail {detail} applies: {mount}", detail=other.key, mount=term(other.mount)),
            pointer="/post/detail",
            value=other.key,
        )
        for other in job.company.details
        if (other.mount == "outside-rim") != outside and (outside or other.key != job.detail.key)
    ]
    if line.inset < 0:
        ways.insert(0, _other_sign(job, line, pointer=pointer))
    yield Question(
        key=f"edge-side.{line.legs[0].name}",
        severity="stop" if line.inset < 0 else "hold",
        place=say("Line of leg {first}", first=line.legs[0].name),
        says=say(
            "Detail {detail} is for posts at the {mount}, and an inset of {inset} puts their "
            "centres {side} the deck edge. Detail or inset is wrong.",
            detail=job.detail.key,
            mount=term(job.detail.mount),
            inset=text_with_unit(line.inset, job.step),
            side=say("outside") if line.inset < 0 else say("well inside"),
        ),
        ask=say("On which side of the rim do the posts stand, and how far from the deck edge?"),
        options=(*ways, *(() if line.inset < 0 else (GO_ON,))),
    )


def _other_sign(job: Job, line: GuardLine, *, pointer: str) -> Option:
    return put_right(
        "inside",
        say("The inset is {inset}, back on the deck", inset=text_with_unit(-line.inset, job.step)),
        pointer=f"{pointer}/inset",
        value=-line.inset,
        step=job.step,
    )


def _outside(job: Job, line: GuardLine, *, pointer: str) -> Iterator[Question]:
    first = line.legs[0].name
    off = -line.inset - job.post.core // 2
    if off > OFF_RIM:
        yield _too_far(job, line, off=off, pointer=pointer)
    for name, end in () if line.closed else (("start", line.start), ("end", line.end)):
        if end.kind == "post" and end.inset is None:
            yield _bare_end(job, line, name=name, pointer=pointer, end=end)
    if any(not leg.clears for leg in line.legs):
        yield Question(
            key=f"outside-edge.{first}",
            severity="hold",
            place=say("Line of leg {first}", first=first),
            says=say(
                "Post centres stand {out} outside the deck edge: sleeves, skirts and foot blocks "
                "have no deck under them there.",
                out=text_with_unit(-line.inset, job.step),
            ),
            ask=say("What carries them: notched boards, or a block fixed to the rim?"),
            options=(Option(key="carried", says=say("Blocks or boards carry them")), GO_ON),
        )
    for leg in line.legs:
        if leg.corner and leg.corner.hand == "outside" and not leg.clears:
            yield _past_both(leg.name)


def _too_far(job: Job, line: GuardLine, *, off: Length, pointer: str) -> Question:
    return Question(
        key=f"edge-far.{line.legs[0].name}",
        severity="stop",
        place=say("Line of leg {first}", first=line.legs[0].name),
        says=say(
            "With an inset of {inset} the near face of a {core} core stands {off} outside the deck "
            "edge, where it touches no rim.",
            inset=text_with_unit(line.inset, job.step),
            core=text(job.post.core, job.step),
            off=text_with_unit(off, job.step),
        ),
        ask=say("Was the inset read to the post's centre, and with the right sign?"),
        options=(
            _other_sign(job, line, pointer=pointer),
            put_right(
                "at-rim",
                say("The core's face lies at the deck edge"),
                pointer=f"{pointer}/inset",
                value=-(job.post.core // 2),
                step=job.step,
            ),
            Option(key="packed", says=say("Right: the detail packs the core out so far")),
        ),
    )


def _bare_end(job: Job, line: GuardLine, *, name: str, pointer: str, end: LineEnd) -> Question:
    leg = line.legs[0] if end is line.start and name == "start" else line.legs[-1]
    half = job.system.sleeve.outside // 2
    return Question(
        key=f"end-inset.{leg.name}.{name}",
        severity="stop",
        place=say("Leg {leg}", leg=leg.name),
        says=say(
            "The line's posts stand outside the deck edge, and how far its end post at the {end} "
            "of leg {leg} stands in from the end of the edge was not measured. Beyond the end "
            "there is no rim.",
            end=term(name),
            leg=leg.name,
        ),
        ask=say("How far is that post's centre from the end of the edge?"),
        options=(
            put_right(
                "flush",
                say("{half}: its sleeve ends with the edge", half=text_with_unit(half, job.step)),
                pointer=f"{pointer}/{name}/inset",
                value=half,
                step=job.step,
            ),
        ),
    )


def _past_both(leg: str) -> Question:
    return Question(
        key=f"corner-outside.{leg}",
        severity="hold",
        place=say("Corner at the end of leg {name}", name=leg),
        says=say(
            "The post at the outside corner at the end of leg {name} stands past both rims: a "
            "square core meets them at its own corner only.",
            name=leg,
        ),
        ask=say("How is it fixed: notched round the corner, or are two posts set, one a rim?"),
        options=(
            Option(key="detail", says=say("The approved detail shows this corner")),
            GO_ON,
        ),
    )
