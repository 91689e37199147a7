"""Stretches: a leg cut at its openings and at posts that must stand.

Openings are measured along the leg's own measure; their posts stand with the sleeve
faces exactly at the opening's edges.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from types import MappingProxyType

from schemas.layout import Where
from schemas.lengths import INCH, Length
from schemas.site import Correction, Gate, Option, Question, Stair
from schemas.wording import row, say
from services.geometry.polyline import reach
from services.layout.centre_line import CentreLeg
from services.layout.stands import Stand, post, with_duty
from services.layout.wording import mend
from services.tape import as_written, text_with_unit, up
from services.wording.terms import term

SAME_PLACE = INCH // 4
"""Two measures of one place may differ so much. Source: common practice."""

_FIXED = "fixed post"
ROOM = INCH
"""Skirts and caps want so much between two sleeves. Source: common practice."""
Starts = Mapping[str, tuple[Length, str]]
"""Where stairs and gates start by the measure, and where the submission has them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A part of a leg between two stands that are settled."""

    left: Stand
    right: Stand
    thing: Stair | Gate | None = None
    """The stair or gate that the gap is for; none: railing is to be laid out in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Settled:
    """A post settled by the measure: its own place, and what it stands beside."""

    stand: Stand
    of: str


def cut_leg(
    leg: CentreLeg,
    *,
    first: Stand,
    last: Stand,
    things: Sequence[Stair | Gate],
    sleeve: Length,
    step: Length,
    pointers: Mapping[str, str] = MappingProxyType({}),
) -> tuple[tuple[Stretch, ...], tuple[Question, ...]]:
    """Cut a leg into stretches.

    A post that falls on the one already standing there, by at most `SAME_PLACE`, is
    that one; an opening at a wall needs no post on that side.

    Args:
        leg: The leg.
        first: What it starts at.
        last: What it ends at.
        things: Its stairs and gates.
        sleeve: Outside of a sleeve. [1/320 mm]
        step: Graduation. [1/320 mm]
        pointers: Where the submission has each stair and gate.

    Returns:
        The stretches in order from the zero, and what stops them: posts that overlap
        or stand outside the leg.
    """
    openings = sorted(things, key=lambda thing: thing.start)
    posts = [
        *(_Settled(stand=s, of=t.name) for t in openings for s in _at_edges(t, leg, sleeve)),
        *(
            _Settled(stand=post(at - leg.zero, where="line", sleeve=sleeve), of=_FIXED)
            for at in leg.leg.fixed_posts
        ),
    ]
    posts.sort(key=lambda settled: settled.stand.at)
    ends = (_Settled(stand=first, of="start"), _Settled(stand=last, of="end"))
    starts = {t.name: (t.start, pointers[t.name]) for t in openings if t.name in pointers}
    row, questions = _in_a_row(leg, ends=ends, posts=posts, step=step, starts=starts)
    stands = [settled.stand for settled in row]
    stretches = tuple(
        Stretch(left=a, right=b, thing=_inside(a, b, leg=leg, things=openings))
        for a, b in pairwise(stands)
    )
    return stretches, questions or tuple(
        _wrong_openings(leg, stretches, step=step, pointers=pointers)
    )


def _at_edges(thing: Stair | Gate, leg: CentreLeg, sleeve: Length) -> tuple[Stand, Stand]:
    where: Where = "stair-upper" if isinstance(thing, Stair) else "gate"
    start = thing.start - leg.zero
    square = reach(width=sleeve, angle_deg=0)
    return (
        post(start - square, where=where, sleeve=sleeve),
        post(start + thing.width + square, where=where, sleeve=sleeve),
    )


def _in_a_row(
    leg: CentreLeg,
    *,
    ends: tuple[_Settled, _Settled],
    posts: Sequence[_Settled],
    step: Length,
    starts: Starts,
) -> tuple[tuple[_Settled, ...], tuple[Question, ...]]:
    """Stand all settled posts one after the other, falling together where they may."""
    row = [ends[0]]
    questions: list[Question] = []
    for new in (*posts, ends[1]):
        before = row[-1]
        if _one_and_the_same(before.stand, new.stand):
            row[-1] = _together(before, new)
        elif new.stand.left < before.stand.right:
            questions.append(_overlap(leg, before, new, step=step, starts=starts))
        else:
            row.append(new)
    return tuple(row), tuple(questions)


def _one_and_the_same(a: Stand, b: Stand) -> bool:
    if a.where is None or b.where is None:  # an opening that begins or ends at the wall
        gap = a.at - b.right if a.where is None else b.at - a.left
        return abs(gap) <= SAME_PLACE
    return abs(a.at - b.at) <= SAME_PLACE


def _together(a: _Settled, b: _Settled) -> _Settled:
    """The one of two that stays: an end of the leg before any other, with the other's duty."""
    kept, other = (b, a) if b.of == "end" else (a, b)
    if other.stand.where in {"stair-upper", "gate"}:
        return replace(kept, stand=with_duty(kept.stand, other.stand.where))
    return kept


def _inside(
    left: Stand, right: Stand, *, leg: CentreLeg, things: Sequence[Stair | Gate]
) -> Stair | Gate | None:
    for thing in things:
        if left.at <= thing.start - leg.zero + thing.width // 2 < right.at:
            return thing
    return None


def _wrong_openings(
    leg: CentreLeg, stretches: Sequence[Stretch], *, step: Length, pointers: Mapping[str, str]
) -> Iterator[Question]:
    """Openings in which, by the measures, something stands."""
    for stretch in stretches:
        if stretch.thing is None:
            continue
        clear = stretch.right.left - stretch.left.right
        if abs(clear - stretch.thing.width) > 2 * SAME_PLACE:
            yield Question(
                key=f"opening.{stretch.thing.name}",
                severity="stop",
                place=say("Leg {leg}, {thing}", leg=leg.leg.name, thing=stretch.thing.name),
                says=row(
                    (
                        say(
                            "{thing} is given {width} wide, but {clear} is clear between the "
                            "posts beside it.",
                            thing=stretch.thing.name,
                            width=text_with_unit(stretch.thing.width, step),
                            clear=text_with_unit(clear, step),
                        ),
                        *_within(leg, stretch.thing, step=step),
                    ),
                    " ",
                ),
                ask=say(
                    "Where does {thing} start, and what stands within it?", thing=stretch.thing.name
                ),
                options=tuple(_as_wide(stretch.thing, clear, step=step, pointers=pointers)),
            )


def _as_wide(
    thing: Stair | Gate, clear: Length, *, step: Length, pointers: Mapping[str, str]
) -> Iterator[Option]:
    """The opening is what stays clear between the posts beside it."""
    if clear > 0 and thing.name in pointers:
        yield mend(
            "as-wide",
            say("{thing} is {clear} wide", thing=thing.name, clear=text_with_unit(clear, step)),
            pointer=f"{pointers[thing.name]}/width",
            value=clear,
            step=step,
        )


def _within(leg: CentreLeg, thing: Stair | Gate, *, step: Length) -> Iterator[str]:
    """What stands in an opening by the measure: the likely culprits."""
    end = thing.start + thing.width
    for at in leg.leg.fixed_posts:
        if thing.start < at < end:
            yield say("A fixed post at {at} stands within it.", at=text_with_unit(at, step))
    if end > leg.zero + leg.length:
        yield say(
            "By its start and width it reaches to {end}, and the leg's last post or wall is at "
            "{last}.",
            end=text_with_unit(end, step),
            last=text_with_unit(leg.zero + leg.length, step),
        )
    if thing.start < leg.zero:
        yield say(
            "It starts at {start}, before the leg's first post or wall at {zero}.",
            start=text_with_unit(thing.start, step),
            zero=text_with_unit(leg.zero, step),
        )


def _overlap(leg: CentreLeg, a: _Settled, b: _Settled, *, step: Length, starts: Starts) -> Question:
    return Question(
        key=f"post-clash.{leg.leg.name}.{_key(b if a.of == 'start' else a)}",
        severity="stop",
        place=say("Leg {leg}", leg=leg.leg.name),
        says=say(
            "The {one} and the {other} would overlap by {by}: their places, by the "
            "leg's measure, are {first} and {second}.",
            one=_whose(a),
            other=_whose(b),
            by=text_with_unit(a.stand.right - b.stand.left, step),
            first=text_with_unit(a.stand.at + leg.zero, step),
            second=text_with_unit(b.stand.at + leg.zero, step),
        ),
        ask=say("Which of the two was measured wrong, or can one post do for both?"),
        options=(
            *_shifted(a, b, step=step, starts=starts),
            *_without_fixed(leg, a, b, step=step),
        ),
    )


def _without_fixed(leg: CentreLeg, *both: _Settled, step: Length) -> Iterator[Option]:
    """A fixed post that is the other post, or was noted in error, is left out of the list."""
    for settled in both:
        at = settled.stand.at + leg.zero
        if settled.of != _FIXED or at not in leg.leg.fixed_posts:
            continue
        number = leg.leg.fixed_posts.index(at)
        kept = (*leg.leg.fixed_posts[:number], *leg.leg.fixed_posts[number + 1 :])
        yield Option(
            key=f"without-{number + 1}",
            says=say("No post has to stand at {at}", at=text_with_unit(at, step)),
            sets=(
                Correction(
                    pointer=f"{leg.pointer}/fixed_posts",
                    value=tuple(as_written(one, step) for one in kept),
                ),
            ),
        )


def _shifted(a: _Settled, b: _Settled, *, step: Length, starts: Starts) -> Iterator[Option]:
    """Openings moved along the leg until one post does for both, or both have room."""
    over = a.stand.right - b.stand.left
    for settled, other, sign in ((b, a, 1), (a, b, -1)):
        if settled.of not in starts:
            continue
        start, pointer = starts[settled.of]
        ways = [("apart", start + sign * up(over + ROOM, step))]
        if other.stand.where is not None:
            ways.insert(0, ("one-post", start + other.stand.at - settled.stand.at))
        for key, at in ways:
            if at >= 0:
                at_mark = text_with_unit(at, step)
                yield mend(
                    f"{key}-{settled.of}",
                    say("One post does for both: {thing} starts at {at}",
                        thing=settled.of, at=at_mark)
                    if key == "one-post"
                    else say("Two posts stand: {thing} starts at {at}",
                             thing=settled.of, at=at_mark),
                    pointer=f"{pointer}/start",
                    value=at,
                    step=step,
                )  # fmt: skip


def _key(settled: _Settled) -> str:
    return settled.of.replace(" ", "-")


def _whose(settled: _Settled) -> str:
    if settled.of in {"start", "end"}:
        what = term("wall") if settled.stand.where is None else term("post")
        return say("{what} at the leg's {end}", what=what, end=term(settled.of))
    return (
        say("post of {of}", of=settled.of) if settled.stand.where != "line" else say("fixed post")
    )
