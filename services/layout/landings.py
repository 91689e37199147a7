"""Landings: posts that a flight from above and a landing's own line have in common.

Each flight has its own line of rails; at a shared post the rails of both flights and of
the landing meet at their own heights, all above the landing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import hypot

from schemas.job import Job
from schemas.layout import Bay, Post
from schemas.lengths import INCH
from schemas.site import Correction, GuardLine, Option, Question, Stair
from schemas.wording import say
from services.geometry.polyline import Point, direction
from services.layout.centre_line import FIRST_DEG
from services.tape import text_with_unit

_LETTERS = {"left": "L", "right": "R"}
_WAYS = {
    "out": say("The landing's first leg runs out from the house"),
    "along": say("The landing's first leg runs along the house, to the right"),
    "back": say("The landing's first leg runs back to the house"),
}
ASTRAY = INCH // 4
"""A landing's line may bring a shared post so far beside its foot. Source: common practice."""


def shared_posts(
    job: Job, line: GuardLine, *, posts: Iterable[Post], bays: Iterable[Bay]
) -> dict[str, str]:
    """Which posts of a line are also lower posts of flights above: their name by the foot's.

    Args:
        job: For the flights that start at this line's landing.
        line: The landing's own line, laid out.
        posts: Its posts.
        bays: Its bays, the flights from it included.
    """
    found: dict[str, str] = {}
    own = [post.name for post in posts if post.leg in {leg.name for leg in line.legs}]
    ends = ((line.start, own[0]), (line.end, own[-1])) if own else ()
    for end, name in () if line.closed else ends:
        if end.kind == "post" and end.same_as is not None:
            found[end.same_as] = name
    uppers = {(bay.leg, bay.name): bay.right.post for bay in bays if bay.kind == "stair"}
    for stair in _from(job, line):
        landing = stair.from_landing
        if landing and landing.shared:
            letter = _LETTERS[landing.shared]
            tops = [
                post
                for (leg, name), post in uppers.items()
                if leg == stair.name and name.startswith(f"{stair.name}-{letter}")
            ]
            found |= {f"{landing.stair}-{letter}": top for top in tops[-1:] if top}
    return found


def _from(job: Job, line: GuardLine) -> Iterator[Stair]:
    legs = {leg.name for leg in line.legs}
    return (stair for stair in job.stairs if stair.leg in legs)


def brought_to(
    shared: Mapping[str, str], *, there: Mapping[str, Point], here: Mapping[str, Point]
) -> Point | None:
    """How far a landing's line is moved in plan to bring a shared post onto its foot.

    Args:
        shared: Names of this line's posts by those of the feet.
        there: Feet that are laid out, in plan.
        here: This line's posts in plan.
    """
    for foot, post in shared.items():
        if foot in there and post in here:
            return Point(there[foot].x - here[post].x, there[foot].y - here[post].y)
    return None


def with_shared(
    posts: Iterable[Post], bays: Iterable[Bay], *, shared: Mapping[str, str]
) -> tuple[tuple[Post, ...], tuple[Bay, ...]]:
    """The same posts and bays, each shared post standing once under its own line's name."""
    kept = tuple(post for post in posts if post.name not in shared)
    named = []
    for bay in bays:
        foot = shared.get(bay.left.post or "") if bay.kind == "stair" else None
        left = bay.left.model_copy(update={"post": foot}) if foot else bay.left
        named.append(bay.model_copy(update={"left": left}))
    return kept, tuple(named)


def clashes(job: Job, shared: Mapping[str, str], *, bays: Iterable[Bay]) -> tuple[Question, ...]:
    """Turns of 180 degrees with one post: the flights down and up need a post each."""
    tops = {bay.right.post: bay.leg for bay in bays if bay.kind == "stair" and bay.right.post}
    back = {
        (stair.from_landing.stair, stair.name)
        for stair in job.stairs
        if stair.from_landing and stair.from_landing.turn == "back"
    }
    return tuple(
        Question(
            key=f"landing-post.{tops[post]}",
            severity="stop",
            place=say("Landing between {foot} and {flight}", foot=foot, flight=tops[post]),
            says=say(
                "{flight} turns back under {above}, and post {post} would carry the lower "
                "end of the one and the upper end of the other on one face.",
                flight=tops[post],
                above=foot.partition("-")[0],
                post=post,
            ),
            ask=say("Where do two posts stand at the turn?"),
        )
        for foot, post in shared.items()
        if (foot.partition("-")[0], tops.get(post)) in back
    )


def from_above(job: Job) -> tuple[int, ...]:
    """The lines' numbers, each landing's after that of the flights that come down to it."""
    lines = {leg.name: number for number, line in enumerate(job.lines) for leg in line.legs}
    above = {stair.name: lines[stair.leg] for stair in job.stairs}
    needs: dict[int, set[int]] = {number: set() for number in range(len(job.lines))}
    for number, line in enumerate(job.lines):
        ends = (end.same_as for end in (line.start, line.end) if end.same_as)
        needs[number] |= {above[foot.partition("-")[0]] for foot in ends}
    for stair in job.stairs:
        if stair.from_landing and stair.from_landing.shared and stair.from_landing.stair in above:
            needs[lines[stair.leg]].add(above[stair.from_landing.stair])
    order: list[int] = []
    while len(order) < len(needs):
        waiting = [number for number in needs if number not in order]
        ready = [n for n in waiting if needs[n] - {n} <= set(order)]
        order.extend(ready or waiting[:1])
    return tuple(order)


def astray(job: Job, shared: Mapping[str, str], *, posts: Iterable[Post]) -> tuple[Question, ...]:
    """Shared posts that a landing's line brings to another place than the flight's foot.

    The line is brought to one of them; where another one then stands beside its foot, a heading,
    a length or a corner of the landing is wrong.
    """
    stood = {post.name: post for post in posts}
    there = {name: post.point for name, post in stood.items()}
    questions = []
    for foot, post in shared.items():
        if foot not in there or post not in there:
            continue
        off = hypot(there[foot].x - there[post].x, there[foot].y - there[post].y)
        if off > ASTRAY:
            questions.append(
                Question(
                    key=f"landing-fit.{foot}",
                    severity="stop",
                    place=say("Landing of {flight}", flight=foot.partition("-")[0]),
                    says=say(
                        "By the landing's own legs its post {post} stands {off} beside the foot "
                        "{foot} of the flight, and the two are to be one post. The heading of "
                        "its first leg, one of its lengths or a corner is likely misread.",
                        post=post,
                        off=text_with_unit(off, job.step),
                        foot=foot,
                    ),
                    ask=say("Which way does the landing's first leg run, and do its legs fit?"),
                    options=_headings(job, stood[post].leg, shared, stood=stood),
                )
            )
    return tuple(questions)


def _headings(
    job: Job, leg: str, shared: Mapping[str, str], *, stood: Mapping[str, Post]
) -> tuple[Option, ...]:
    """Headings of a landing's first leg with which its two shared posts meet their feet."""
    number, line = next(
        (n, one) for n, one in enumerate(job.lines) if leg in {own.name for own in one.legs}
    )
    legs = {own.name for own in line.legs}
    pairs = [
        (stood[foot].point, stood[post].point)
        for foot, post in shared.items()
        if foot in stood and post in stood and stood[post].leg in legs
    ]
    if len(pairs) != 2:
        return ()
    (foot, post), (other_foot, other_post) = pairs
    asked = Point(other_foot.x - foot.x, other_foot.y - foot.y)
    made = Point(other_post.x - post.x, other_post.y - post.y)
    found = []
    for heading, says in _WAYS.items():
        turn = direction(FIRST_DEG[heading] - FIRST_DEG[line.heading])
        turned = Point(made.x * turn.x - made.y * turn.y, made.x * turn.y + made.y * turn.x)
        if hypot(turned.x - asked.x, turned.y - asked.y) <= ASTRAY:
            put = Correction(pointer=f"/lines/{number}/heading", value=heading)
            found.append(Option(key=heading, says=says, sets=(put,)))
    return tuple(found)
