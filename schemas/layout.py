"""The layout: where every post stands and what lies between.

In: the job's guard lines and stairs. Out: posts and bays by name, in plan.

Plan: x to the right, y up toward the house, as seen from the yard. Positions
along a leg run from its own zero: the centre of its first post, or the wall.
Posts are named after the leg that starts at or holds them (A1, A2, B1 at the
corner of A and B); a stair's lower posts are S1-L and S1-R. A long flight's mid posts
are S1-LM1, S1-LM2 and its bays S1-L1, S1-L2, S1-L3, from the lower end up. Where a
flight's lower post is also a post of the landing's line it has that post's name.
"""

from __future__ import annotations

from typing import Literal

from schemas.lengths import Length
from schemas.rail_system import BracketKind
from schemas.record import Cents, Degrees, Key, Line, Record
from schemas.wording import SaidText

LongSide = Literal["deck", "yard"]
"""Side of a level rail, as built in: toward the deck or away from it."""
Where = Literal["end", "line", "corner", "stair-upper", "stair-mid", "stair-lower", "gate"]


class PlanPoint(Record):
    """A place in plan. [1/320 mm, unrounded]."""

    x: float
    """To the right, seen from the yard. [1/320 mm]"""
    y: float
    """Toward the house. [1/320 mm]"""


class Post(Record):
    """A post."""

    name: Line
    """As printed, e.g. A1."""
    where: Where
    """What it does there."""
    in_place: bool
    """Already stands; measured, not chosen."""
    leg: Key
    """Leg it is named after; the stair for a lower post."""
    at: Length
    """Centre, from the leg's zero; of a mid post from the top nosing, downhill."""
    point: PlanPoint
    """Centre in plan."""
    turned_deg: Degrees = 0
    """Turned out of square to its leg. [degrees]"""
    sleeve: Length
    """Sleeve, face to face."""
    core: Length
    """Core, face to face, as measured."""


class LaidLeg(Record):
    """A leg along post centres."""

    name: Key
    """Letter of the leg."""
    line: int
    """Which guard line it belongs to, from 0."""
    start: PlanPoint
    """Its zero in plan."""
    end: PlanPoint
    """Its far end in plan."""
    heading_deg: Degrees
    """Direction in plan, anticlockwise from x. [degrees]"""
    length: Length
    """Zero to the centre of its last post, or to the wall."""
    measured: Length
    """As the tape read it, before the inset was taken off."""
    zero_is: Literal["post", "wall"]
    """What stands at its zero."""
    end_is: Literal["post", "wall"]
    """What stands at its far end."""
    drop: Length | None
    """Walking surface down to grade, as measured; none is unknown."""
    fall: Length
    """How much the deck falls along it, as measured."""
    zero: Length = 0
    """Measured start to its zero: take it off a position that the tape read."""
    posts: tuple[Line, ...]
    """In order from its zero, the corner posts at both ends included."""
    reason: SaidText
    """Why the posts stand so, in words; printed."""


class BayEnd(Record):
    """One end of a bay."""

    post: Line | None
    """None is a wall."""
    face: Length
    """Sleeve face or wall face, from the leg's zero, along the leg; at a stair from the lower
    post's uphill face, level, uphill."""
    mitre_deg: Degrees
    """Between rail and the square of the face it meets; 0 is a square cut. [degrees]"""
    long_side: LongSide | None = None
    """On which side of the rail the mitred end is longer; none: cut square."""
    bracket: BracketKind
    """Kind of bracket that fits there."""


class Bay(Record):
    """Railing or an opening between two neighbouring posts, or a post and a wall."""

    name: Line
    """E.g. A1-A2; walls are W; S1-L and S1-R for stairs, S1-L1 and so on beside mid posts."""
    kind: Literal["level", "stair", "stair-opening", "gate-opening"]
    """Level, on a stair, or an opening without railing."""
    leg: Key
    """The leg; the stair for a stair bay."""
    left: BayEnd
    """Seen from outside the guard, from the yard: for a stair bay, its lower end."""
    right: BayEnd
    """The other end."""
    clear: Length
    """Between faces on the rail's axis, level, at bottom-rail height; rounded down to the tape."""
    clear_top: Length
    """The same at top-rail height."""
    measured: bool
    """Posts are in place: the tape read it. Else it follows from the layout."""


class LaidStock(Record):
    """What the level rails take from stock as laid out, and the least that any layout tried would.

    A layout tried keeps the number of posts and every rule; one of each stretch is built.
    """

    cents: Cents
    """Of the layout as it stands, all level rails cut together."""
    bound_cents: Cents
    """No choice among the layouts tried takes less: proven."""
    layouts: int
    """How many were tried, of all stretches together."""

    @property
    def gap(self) -> float:
        """How far the layout may be from the cheapest of those: 0 is proven the cheapest."""
        return (self.cents - self.bound_cents) / self.cents if self.cents else 0.0


class Layout(Record):
    """All posts and bays of a job."""

    legs: tuple[LaidLeg, ...]
    """In the order walked."""
    posts: tuple[Post, ...]
    """In the order walked; a flight's lower and mid posts come after the posts of the leg that it
    breaks."""
    bays: tuple[Bay, ...]
    """In the order walked; the bays of a flight come after those of the leg that it breaks."""
    stock: LaidStock | None = None
    """None: no level bay's stock could be priced."""

    def end_kind(self, end: BayEnd) -> Literal["wall", "post", "post in place"]:
        """What a bay ends at, as it is drawn."""
        if end.post is None:
            return "wall"
        return "post in place" if self.post(end.post).in_place else "post"

    def post(self, name: str) -> Post:
        """The post of that name."""
        return next(post for post in self.posts if post.name == name)
