"""The site as a measure tech takes it: guard lines, legs, corners, stairs, gates.

In: measures as written on site. Out: the same measures in one unit.

How it is walked: look from the yard toward the house, house at the top of the
plan. Legs are walked with the deck on the left hand, so a turn to the left is
an outside corner. A stair's left and right are as seen going up.
"""

from __future__ import annotations

from datetime import date
from itertools import accumulate
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from schemas.lengths import WrittenLength, WrittenOffset, WrittenSize
from schemas.record import Key, Line, Record
from schemas.wording import Language, SaidLine, SaidText

LegName = Annotated[str, Field(pattern=r"^[A-RT-Z][A-Z]?$")]
"""A capital letter or two, but no S: that is for stairs."""
StairName = Annotated[str, Field(pattern=r"^S[1-9]\d?$")]
GateName = Annotated[str, Field(pattern=r"^G[1-9]\d?$")]
FootName = Annotated[str, Field(pattern=r"^S[1-9]\d?-[LR]$")]
"""A flight's lower post: its stair and its side."""
Side = Literal["left", "right"]
"""Of a stair, as seen going up."""
Turn = Literal["straight", "left", "right", "back"]
"""How the way goes on over a landing, as seen going up; back is 180 degrees."""


class LineEnd(Record):
    """How a guard line starts or ends."""

    kind: Literal["wall", "post"]
    """Wall: the rail is bracketed to it. Post: a free end with a post of its own."""
    inset: WrittenOffset | None = None
    """Measured end to the centre of an end post; none: the line's own inset."""
    out_of_plumb: WrittenLength | None = None
    """How much wider the wall makes its opening at top-rail height than at bottom-rail height;
    negative if narrower. Read with a level over the rail height. None: not read; taken as plumb,
    and as what leans where its opening was read at both heights."""
    substrate: Line | None = None
    """What a wall is made of, behind the cladding; none is unknown."""
    same_as: FootName | None = None
    """Lower post of a flight, e.g. S1-R, that this end post of a landing's line is too."""


class Corner(Record):
    """Where a leg meets the next."""

    turn_deg: Annotated[float, Field(ge=0.5, lt=175)]
    """Change of direction, measured by the three-side method. 90 is a square corner. [degrees]"""
    hand: Literal["outside", "inside"] = "outside"
    """Outside: the deck's own corner points out."""
    post: Literal["square", "turned"] | None = None
    """Square: set square to the leg before. Turned: halves the angle. None: square at 90, else
    turned."""


class ClearOpening(Record):
    """An opening between posts in place, as the tape read it between sleeve faces."""

    bottom: WrittenSize
    """At bottom-rail height."""
    top: WrittenSize | None = None
    """At top-rail height; none: measured at one height only."""


class StandingPost(Record):
    """A post in place that is not like the others, or is to go."""

    number: Annotated[int, Field(ge=1, le=200)]
    """Which post of the leg, from its start; a wall is none. A corner's post is number 1 of the
    leg that starts there."""
    sleeve: WrittenSize | None = None
    """Outside as it stands, which the tape was held to; none: a bare core."""
    core: WrittenSize | None = None
    """Its core; none is unknown."""
    keep: bool | None = None
    """It stays. False: one of ours takes its place, centre on centre. None is unknown."""

    @model_validator(mode="after")
    def _has_a_size(self) -> Self:
        if self.sleeve is None and self.core is None:
            msg = f"standing post {self.number}: give its outside, or its core if it is bare"
            raise ValueError(msg)
        return self


class KeepOut(Record):
    """A stretch of a leg in which no post may stand."""

    start: WrittenOffset
    """From the leg's measured start."""
    end: WrittenOffset
    """From the leg's measured start."""
    why: Line
    """What is in the way; printed."""


class Leg(Record):
    """A straight part of a guard line."""

    name: LegName
    """A capital letter or two, but no S: that is for stairs."""
    length: WrittenSize
    """As measured: along the deck edge or along post centres, as the line says."""
    corner: Corner | None = None
    """The corner at its end; none at the line's end."""
    clears: tuple[ClearOpening, ...] = ()
    """Posts in place: every opening in order, stair and gate openings included. None: posts to be
    set."""
    standing: tuple[StandingPost, ...] = ()
    """Posts in place of other sizes than ours, or to be replaced."""
    curve: WrittenSize | None = None
    """Radius of a curved edge, its length taken along the curve; none: it is straight."""
    fixed_posts: tuple[WrittenOffset, ...] = ()
    """Where a post must stand, centre, from the leg's measured start."""
    keep_out: tuple[KeepOut, ...] = ()
    """Stretches without posts."""
    drop: WrittenOffset | None = None
    """Walking surface down to the lowest grade near this leg; none is unknown."""
    fall: WrittenOffset = 0
    """How much the deck surface falls along the leg."""
    joists: WrittenSize | None = None
    """Joist spacing where joists run square to the leg; none is unknown or along it."""
    first_joist: WrittenOffset | None = None
    """Centre of the first joist from the leg's measured start."""
    board: WrittenSize | None = None
    """Deck boards that run square to the leg: from one gap to the next; none is unknown or along
    it."""
    first_gap: WrittenOffset | None = None
    """Centre of the first gap between boards from the leg's measured start."""


class GuardLine(Record):
    """One unbroken line of railing in plan."""

    measured: Literal["deck-edge", "post-centre"]
    """What the leg lengths are taken along."""
    inset: WrittenLength = 0
    """Deck edge back to post-centre line; negative where posts stand outside the edge, on the face
    of the rim. 0 when measured along post centres."""
    heading: Literal["out", "along", "back"] = "out"
    """Direction of the first leg: out from the house, along it to the right, or back to it."""
    start: LineEnd = LineEnd(kind="post")
    """Where the first leg begins."""
    end: LineEnd = LineEnd(kind="post")
    """Where the last leg ends."""
    closed: bool = False
    """The last leg ends where the first starts."""
    legs: Annotated[tuple[Leg, ...], Field(min_length=1, max_length=200)]
    """In the order walked, deck on the left hand."""

    @model_validator(mode="after")
    def _corners_join_legs(self) -> Self:
        for leg in self.legs if self.closed else self.legs[:-1]:
            if leg.corner is None:
                msg = f"leg {leg.name} meets another leg; give its corner"
                raise ValueError(msg)
        if not self.closed and self.legs[-1].corner is not None:
            msg = f"leg {self.legs[-1].name} ends the line; leave its corner out"
            raise ValueError(msg)
        if self.closed and len(self.legs) < 3:
            msg = "a closed line has three legs or more; measure the missing ones"
            raise ValueError(msg)
        return self


class UpperPost(Record):
    """Where a stair's upper posts stand."""

    from_top_nose: WrittenLength | None = None
    """Top nosing to the post's stair-side face, level: positive downhill, negative back on the
    deck. None: follows from the leg's inset."""


class LowerPost(Record):
    """Where a stair's lower posts stand."""

    from_last_nose: WrittenLength
    """Lowest nosing to the post's uphill face, level; positive beyond it."""
    stands_on: Literal["landing", "tread", "grade"] = "landing"
    """What its foot stands on: one riser below the lowest nosing, or on that tread."""
    detail: Key | None = None
    """Number of the approved fixing detail of these posts' feet, which is not that of the posts
    along the legs; none is unknown and holds them. A foot that is also a post of a landing's
    own line goes by the job's."""


class FromLanding(Record):
    """The landing at a flight's top: where another flight ends."""

    stair: StairName
    """The flight that goes on up from it."""
    turn: Turn
    """From this flight into that one, going up."""
    shared: Side | None = None
    """Side on which one post carries this flight's upper end and that one's lower end."""
    guard: Literal["legs", "none"]
    """Legs: the landing's open edges are legs of their own. None: it has no railing."""


class Stair(Record):
    """One flight."""

    name: StairName
    """S and a number."""
    leg: LegName
    """The leg it breaks."""
    start: WrittenOffset
    """Leg's measured start to the near sleeve face of the opening."""
    width: WrittenSize
    """Clear opening between the sleeve faces of its posts."""
    risers: Annotated[int, Field(ge=1, le=40)]
    """Risers, not treads: count every step up, the landing's and the deck's included."""
    riser: WrittenSize
    """Height of one riser, measured."""
    tread: WrittenSize
    """Run of one tread, nosing to nosing, level."""
    total_rise: WrittenSize | None = None
    """Walking surface to finished landing, measured in one."""
    total_run: WrittenSize | None = None
    """Top nosing to lowest nosing, level, measured in one."""
    straightedge: WrittenSize | None = None
    """Top nosing to lowest nosing along the slope, on a straightedge over all of them: a check
    only."""
    each_riser: tuple[WrittenSize, ...] = ()
    """Every riser from the bottom up, where each was measured."""
    each_tread: tuple[WrittenSize, ...] = ()
    """Every tread from the bottom up, nosing to nosing, level, where each was measured: one fewer
    than risers."""
    nosing: WrittenOffset | None = None
    """Projection of a tread over the riser below; none is unknown."""
    open_risers: bool | None = None
    """None is unknown."""
    slope_deg: Annotated[float, Field(gt=0, lt=80)] | None = None
    """Read on a straightedge over all nosings: a check only. [degrees]"""
    rails: Annotated[tuple[Side, ...], Field(min_length=1, max_length=2)] = ("left", "right")
    """Which sides carry a rail."""
    upper_post: UpperPost = UpperPost()
    """Where its upper posts stand."""
    lower_post: LowerPost
    """Where its lower posts stand."""
    mid_posts: Literal["auto"] | tuple[WrittenOffset, ...] = ()
    """Posts between the upper and the lower ones, each on a tread: top nosing to the centre, level,
    from the top one down. Auto: as few as the rail needs, where it needs any."""
    mid_detail: Key | None = None
    """Number of the approved fixing detail of its mid posts; none is unknown and holds them."""
    landing: Line | None = None
    """What the lower posts stand on; none is unknown."""
    from_landing: FromLanding | None = None
    """Its top is a landing, not the deck; none: it goes up to the deck."""
    goes_on: Turn | None = None
    """Another flight goes on down from its landing; none: it ends there."""
    handrail: tuple[Side, ...] = ()
    """Sides with a continuous graspable handrail."""
    clear_width: WrittenSize | None = None
    """Tread width that people walk on; none: the opening's."""

    @property
    def noses(self) -> tuple[int, ...]:
        """Every nosing from the deck edge down, level from it: as measured, else treads alike.

        [1/320 mm].
        """
        if len(self.each_tread) == self.risers - 1:
            return tuple(accumulate(reversed(self.each_tread), initial=0))
        return tuple(number * self.tread for number in range(self.risers))

    @property
    def run(self) -> int:
        """Top nosing to lowest nosing, level, by the treads. [1/320 mm]."""
        return self.noses[-1]


class Gate(Record):
    """A gate in a leg."""

    name: GateName
    """G and a number."""
    leg: LegName
    """The leg it breaks."""
    start: WrittenOffset
    """Leg's measured start to the near sleeve face of the opening."""
    width: WrittenSize
    """Clear opening between sleeve faces."""
    hinge: Side = "left"
    """Seen from the deck."""
    opens: Literal["in", "out"] = "in"
    """In: toward the deck."""
    stair: StairName | None = None
    """The stair at whose head it hangs, in that stair's own opening; none: in its own."""
    widths: tuple[WrittenSize, ...] = ()
    """The opening read at top, middle and bottom."""
    leaf: WrittenSize | None = None
    """Width of the gate itself."""
    hinge_gap: WrittenOffset | None = None
    """Post to leaf at the hinges, by the hardware's instructions."""
    latch_gap: WrittenOffset | None = None
    """Leaf to post at the latch, by the hardware's instructions."""
    pool_barrier: bool | None = None
    """None is unknown."""


class OpenEdge(Record):
    """An edge that the plan leaves without railing and that has no stair or gate."""

    leg: LegName
    """The leg it lies beside or goes on from."""
    where: Line
    """In words, e.g. `between A3 and B1, where the old stairs were`; printed."""
    why: Literal["stairs-removed", "bench", "other"]
    """Stairs that were there are gone; a bench is in the way; something else."""
    width: WrittenSize
    """How much of the edge stays without railing."""
    drop: WrittenOffset | None = None
    """Walking surface down to the lowest grade there; none is unknown."""
    closed_by: Line | None = None
    """What closes it, e.g. `planter of others, fixed`; none: nothing that is known."""


class JobPart(Record):
    """Which part of a split job this is, and where the other one was put when it was split."""

    of: Key
    """Number of the job that was split."""
    number: Literal[1, 2]
    """Part 1 keeps the day and crew of the job."""
    other: Key
    """Job number of the other part."""
    crew: Key
    """Crew of the other part."""
    install_date: date
    """Day of the other part, ISO 8601."""
    legs: Annotated[tuple[LegName, ...], Field(min_length=1, max_length=200)]
    """Legs of the other part: not to be worked on with this one. Of a job split by day: all."""
    work: Literal["posts", "rails"] | None = None
    """Of a job split by day: whether this part sets the posts or builds the rails on them. None:
    it was split by area."""


class Address(Record):
    """Where the job is."""

    customer: Line
    """Name as the crew should ask for it."""
    street: Line
    """House number and street."""
    town: Line
    """Town."""
    access: tuple[Line, ...] = ()
    """What the crew needs to get in: parking, pets, gate code."""
    arrives: Annotated[str, Field(pattern=r"^([01]\d|2[0-3]):[0-5]\d$")] | None = None
    """Hour promised to the customer, e.g. 08:00; none: any time of the day."""
    hazards: tuple[Line, ...] = ()
    """This site's own hazards, most dangerous first."""
    year_built: Annotated[int, Field(ge=1600, le=2200)] | None = None
    """None is unknown: old paint is then taken to be possible."""
    language: Language = "en"
    """Language of the card that stays at the house."""
    emergency: Line = "Call the local emergency number; say the address"
    """What to do in an emergency here."""


class MeasuredBy(Record):
    """Who measured, when, and how well."""

    by: Line
    """Name or initials."""
    on: Annotated[str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$")]
    """Day, ISO 8601."""
    kind: Literal["final", "sales"]
    """Final: good enough to cut to once posts stand. Sales: for quantities only."""


class PostSpec(Record):
    """The structural posts of the job."""

    core: WrittenSize
    """Core, face to face, measured, not named."""
    detail: Key | None = None
    """Number of the approved fixing detail of the posts along the legs; none is unknown and holds
    them. A stair's foot posts have their own: `lower_post.detail`."""
    species: Line | None = None
    """Wood species, for the post screen; none is unknown."""
    treated: bool = True
    """Preservative treated."""
    boards: Literal["wood", "composite", "membrane", "stone"] | None = None
    """What surface-mounted posts stand on; none is unknown."""
    blocking: bool | None = None
    """Solid blocking under each surface-mounted post; none is unknown."""
    edge_distance: WrittenOffset | None = None
    """Nearest anchor to the concrete's edge; none is unknown."""


class Reserved(Record):
    """Stock set aside for the job."""

    kit: Key
    """Key of the rail kit in the price book."""
    count: Annotated[int, Field(ge=1, le=999)]
    """How many."""
    lot: Line | None = None
    """The maker's colour lot on the box; none is not read."""


class Forecast(Record):
    """The day's weather, as the office looked it up."""

    low: Annotated[float, Field(ge=-80, le=140)]
    """Lowest temperature in working hours."""
    high: Annotated[float, Field(ge=-80, le=140)]
    """Highest."""
    unit: Literal["degF", "degC"]
    """Of both."""
    warnings: tuple[Literal["rain", "wind", "lightning"], ...] = ()
    """What is expected besides."""

    @model_validator(mode="after")
    def _low_is_lower(self) -> Self:
        if self.low > self.high:
            msg = f"low {self.low:g} is over high {self.high:g}; put them right"
            raise ValueError(msg)
        return self

    @property
    def degf(self) -> tuple[float, float]:
        """Lowest and highest. [degF]."""
        if self.unit == "degF":
            return self.low, self.high
        return self.low * 9 / 5 + 32, self.high * 9 / 5 + 32


class LocalChange(Record):
    """A local amendment to a code rule, as the office recorded it."""

    rule: Key
    """Rule id in the profile."""
    limit: WrittenSize | None = None
    """New limit, a length; the lower one of two."""
    upper: WrittenSize | None = None
    """New upper limit."""
    number: float | None = None
    """New limit, where it is no length."""
    compare: Literal["<", "<=", ">", ">="] | None = None
    """New border, as where a place says "30 in or more" for "more than 30 in"."""
    says: Line | None = None
    """What the rule says there, in our own words; none: as everywhere."""
    authority: Line
    """Who says so, and where."""


class Correction(Record):
    """One value put in place of another."""

    pointer: Annotated[str, Field(pattern=r"^(/[^/]*)+$", max_length=200)]
    """JSON Pointer into the submission."""
    value: str | int | float | bool | tuple[str, ...] | None
    """As it would be written in the submission; a length with its unit, as text."""


class Option(Record):
    """A possible answer to a question."""

    key: Key
    """Short name, for the answer."""
    says: SaidLine
    """The answer in words."""
    sets: tuple[Correction, ...] = ()
    """What it puts right; nothing: accepted as it is, on the record of who answered."""


class Question(Record):
    """Something the measure leaves open or in disagreement."""

    key: Key
    """Stable: the same disagreement asks the same question."""
    severity: Literal["stop", "hold", "note"]
    """Stop: the job is in the state `held`, without a pack, until it is answered. Hold: the pack is
    made, with a hold point to sign before the work it touches. Note: printed."""
    place: SaidLine
    """Where, in the names printed on the plan."""
    says: SaidText
    """What was found, with its numbers and the likely culprit."""
    ask: SaidText
    """The question."""
    options: tuple[Option, ...] = ()
    """Answers that can be given."""


class Answer(Record):
    """The office's answer to a question."""

    question: Key
    """Key of the question."""
    option: Key
    """Key of the option chosen."""
    by: Line
    """Who decided."""
    why: Line
    """On what ground; printed with the findings."""


class Assumed(Record):
    """A default that was used because nothing was given."""

    place: SaidLine
    """Where, in the names printed on the plan."""
    says: SaidLine
    """What was taken, in words; printed as `assumed`."""
