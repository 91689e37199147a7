"""The running strip of a leg: every post from one zero, clear openings boxed.

Post centres are read over the strip, sleeve faces under it, both from the same hook of
the tape. A long leg goes on in further strips, still counted from its own zero.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from schemas.drawings import WIDEST, Drawing
from schemas.layout import Bay, LaidLeg, Layout
from schemas.lengths import Length
from schemas.wording import say
from services.drawings.boxes import LINE, MIDDLE, text_width
from services.drawings.dimensions import At, along
from services.drawings.finish import finish, fitting
from services.drawings.lanes import Says, rows
from services.drawings.lines import ACT, Mark, figure, line, rect, word
from services.drawings.scale import Scale, choose_scale
from services.tape import angle, text
from services.wording import ENGLISH, Words
from services.wording.terms import term

_BAYS_A_STRIP = 6
_ROOM = WIDEST - 90
_LINE_Y = 14.0
_LEAST = 16
"""A strip is never drawn larger: a single short bay needs no more."""
_BOX_PAD = 5.0
_OPENINGS = ("stair-opening", "gate-opening")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Strip:
    """A part of a leg, on paper."""

    layout: Layout
    leg: LaidLeg
    bays: tuple[Bay, ...]
    scale: Scale
    step: Length
    words: Words

    def x(self, at: float) -> float:
        """A place along the leg, on paper. [pt]."""
        return self.scale.points(at - self.bays[0].left.face)

    def says(self, at: Length) -> str:
        """A place along the leg, as the tape reads it."""
        return text(at, self.step)


def running_strips(
    *, layout: Layout, leg: LaidLeg, step: Length, metric: bool, words: Words = ENGLISH
) -> tuple[Drawing, ...]:
    """Draw a leg as it is marked out.

    Args:
        layout: All posts and bays.
        leg: The leg to draw.
        step: Graduation of the job's paper. [1/320 mm]
        metric: Whether it is in millimetres.
        words: The crew's.
    """
    bays = sorted(
        (b for b in layout.bays if b.leg == leg.name and b.kind != "stair"),
        key=lambda b: b.left.face,
    )
    parts = [tuple(bays[i : i + _BAYS_A_STRIP]) for i in range(0, len(bays), _BAYS_A_STRIP)]
    return tuple(
        _part(
            _on_paper(layout, leg, part, step=step, metric=metric, words=words),
            number=i,
            of=len(parts),
        )
        for i, part in enumerate(parts, 1)
    )


def _part(strip: _Strip, *, number: int, of: int) -> Drawing:
    def at(scale: Scale) -> Drawing:
        return _strip(replace(strip, scale=scale), number=number, of=of)

    return fitting(at, scale=strip.scale)


def _on_paper(
    layout: Layout,
    leg: LaidLeg,
    bays: tuple[Bay, ...],
    *,
    step: Length,
    metric: bool,
    words: Words,
) -> _Strip:
    scale = choose_scale(
        wide=bays[-1].right.face - bays[0].left.face, room=_ROOM, metric=metric, least=_LEAST
    )
    return _Strip(layout=layout, leg=leg, bays=bays, scale=scale, step=step, words=words)


def _strip(strip: _Strip, *, number: int, of: int) -> Drawing:
    leg: str = say("Leg {leg}", leg=strip.leg.name)
    if of > 1:
        leg = say("{what}, part {number} of {of}", what=leg, number=number, of=of)
    zero = say("centre of its first post") if strip.leg.zero_is == "post" else say("the wall")
    return finish(
        (
            *_things(strip),
            *_centres(strip, first=number == 1),
            *_faces_and_notes(strip, number == 1),
        ),
        name=f"strip-{strip.leg.name}" + (f"-{number}" if number > 1 else ""),
        title=strip.words.say("{leg}: hook the tape at {zero}", leg=leg, zero=zero),
        said=strip.words.say(
            "{leg}, running strip: post centres over the line, sleeve faces under it, all from "
            "one zero; clear openings boxed.",
            leg=leg,
        ),
        scale=strip.scale,
    )


def _things(strip: _Strip) -> tuple[Mark, ...]:
    marks: list[Mark] = []
    for bay in strip.bays:
        start, end = strip.x(bay.left.face), strip.x(bay.right.face)
        says = strip.says(bay.clear)
        marks.append(line((start, 0), (end, 0), weight="wide", dashed=bay.kind != "level"))
        if _boxed(strip, bay):
            wide = text_width(says, size=ACT, bold=True, stacked=True) + 2 * _BOX_PAD
            marks.append(
                rect((start + end - wide) / 2, -LINE * ACT / 2, wide, LINE * ACT, fill="white")
            )
            marks.append(
                figure((start + end) / 2, -MIDDLE * ACT, says, size=ACT, anchor="middle",
                       lane="clear")
            )  # fmt: skip
        ends = ((start, -1, bay.left.post), (end, 1, bay.right.post))
        marks += [_wall(x, away) for x, away, post in ends if post is None]
    return (*marks, *(_post(strip, name, at) for name, at in _posts(strip)))


def _boxed(strip: _Strip, bay: Bay) -> bool:
    room = strip.x(bay.right.face) - strip.x(bay.left.face)
    return (
        room
        >= text_width(strip.says(bay.clear), size=ACT, bold=True, stacked=True) + 2 * _BOX_PAD + 4
    )


def _posts(strip: _Strip) -> tuple[tuple[str, Length], ...]:
    """Names and centres of the posts that this part shows, in order."""
    shown = {b.left.post for b in strip.bays} | {b.right.post for b in strip.bays}
    leg = strip.leg
    return tuple((name, _centre(strip, name)) for name in leg.posts if name in shown)


def _centre(strip: _Strip, name: str) -> Length:
    post = strip.layout.post(name)
    return post.at if post.leg == strip.leg.name else strip.leg.length


def _post(strip: _Strip, name: str, at: Length) -> Mark:
    half = strip.scale.points(strip.layout.post(name).sleeve) / 2
    return rect(strip.x(at) - half, -half, 2 * half, 2 * half, weight="heavy", fill="light")


def _wall(x: float, away: int) -> Mark:
    return rect(min(x, x + 8 * away), -16, 8, 32, weight="heavy", fill="black")


def _centres(strip: _Strip, *, first: bool) -> tuple[Mark, ...]:
    posts = [(name, at) for name, at in _posts(strip)]
    stops = [At(at=strip.x(at), says=strip.says(at)) for _, at in posts]
    names = [name for name, _ in posts]
    if first and strip.leg.zero_is == "wall":
        stops, names = [At(at=strip.x(0), says="0"), *stops], [strip.words.of(term("wall")), *names]
    wide = [text_width(s.says, size=ACT, bold=True, stacked=True) + 8 for s in stops]
    upright = _apart(stops, wide)
    least = wide if upright else [ACT * LINE] * len(stops)
    rooms = [
        max(text_width(n, size=ACT, bold=True) + 6, room)
        for n, room in zip(names, least, strict=True)
    ]
    run = along(
        stops, y=_LINE_Y, away=1, lane="centres", size=ACT, rooms=rooms, feet=_LINE_Y / 2,
        from_zero=first, upright=upright,
    )  # fmt: skip
    high = _LINE_Y + run.reach + 4
    titles = (
        word(slot, high, name, size=ACT, bold=True, anchor="middle", lane="names")
        for slot, name in zip(run.slots, names, strict=True)
    )
    return (*run.marks, *titles)


def _apart(stops: Sequence[At], wide: Sequence[float]) -> bool:
    """Whether values so wide find room beside each other where they belong."""
    pairs = zip(pairwise(stops), pairwise(wide), strict=True)
    return all(b.at - a.at >= (left + right) / 2 for (a, b), (left, right) in pairs)


def _faces_and_notes(strip: _Strip, first: bool) -> tuple[Mark, ...]:  # noqa: FBT001 read once
    faces = sorted({f for bay in strip.bays for f in (bay.left.face, bay.right.face)} - {0})
    stops = [At(at=strip.x(f), says=strip.says(f)) for f in faces]
    if first:
        stops = [At(at=strip.x(0), says="0"), *stops]
    run = along(
        stops, y=-_LINE_Y, away=-1, lane="faces", size=ACT, feet=_LINE_Y / 2, from_zero=first
    )
    notes = rows(_notes(strip), top=-_LINE_Y - run.reach - 6, lane="notes")
    return (*run.marks, *notes.labels)


def _notes(strip: _Strip) -> list[Says]:
    notes = []
    for bay in strip.bays:
        middle = (strip.x(bay.left.face) + strip.x(bay.right.face)) / 2
        if bay.kind in _OPENINGS:
            opening = strip.words.of(term(bay.kind))
            notes.append(Says(x=middle, text=opening, measure=False, bold=True))
        if not _boxed(strip, bay):
            clear = strip.words.say(
                "{bay} clear {clear}", bay=bay.name, clear=strip.says(bay.clear)
            )
            notes.append(Says(x=middle, text=clear))
        for end in (bay.left, bay.right):
            if end.mitre_deg and bay.kind == "level":
                says = strip.words.say("saw {angle}", angle=angle(end.mitre_deg))
                notes.append(Says(x=strip.x(end.face), text=says, measure=False, bold=True))
    return notes
