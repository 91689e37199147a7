"""A rail system sheet: what the printed instructions of one bought system say, as data.

In: the rail maker's figures as the company took them down, one file a system.
Out: sizes and limits that layout, bays, cuts and takeoff ask for. Never code.
All lengths are as the trade writes them; true sizes, never nominal ones.
"""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from schemas.lengths import Unit, WrittenOffset, WrittenSize
from schemas.part_rule import PartRule
from schemas.record import Degrees, Grams, Key, Line, Record

BracketKind = Literal["line", "angle", "stair"]
"""Line: square to the post face. Angle: level rail, mitred end. Stair: rail on the rake."""


class Kit(Record):
    """One stock length: a matched pair of top and bottom rail with what is boxed with it."""

    key: Key
    """Stock key, as in the company's price book."""
    length: WrittenSize
    """True length of each rail, end to end. From the box measured, not from its name."""
    first_hole: WrittenSize
    """Left end to the centre of the first baluster hole."""
    holes: Annotated[int, Field(ge=1, le=200)]
    """Baluster holes in each rail."""
    balusters: Annotated[int, Field(ge=0, le=400)]
    """Balusters boxed with it."""
    brackets: Annotated[int, Field(ge=0, le=16)]
    """Brackets boxed with it, of the orientation's ordinary kind; a bay takes four."""
    foot_blocks: Annotated[int, Field(ge=0, le=8)] = 0
    """Foot blocks boxed with it."""


class Bracket(Record):
    """A rail bracket."""

    key: Key
    """Stock key in the price book."""
    least_margin: WrittenSize
    """Rail end to the centre of the first hole: the least that lets it and the driver fit."""
    least_deg: Degrees = 0
    """Smallest angle it takes: mitre for level rails, slope for stairs. [degrees]"""
    greatest_deg: Degrees = 0
    """Largest angle it takes. [degrees]"""
    post_screws: Annotated[int, Field(ge=1, le=12)]
    """Screws into the post, a bracket."""
    post_screw: Key
    """Stock key of that screw."""
    rail_screws: Annotated[int, Field(ge=0, le=12)]
    """Screws into the rail, a bracket."""
    rail_screw: Key
    """Stock key of that screw."""
    pilot: WrittenOffset = 0
    """Pilot hole for the post screws; 0 for none."""


class SectionHeight(Record):
    """One height in which the system is sold."""

    name: Key
    """As ordered, e.g. ``36``."""
    visible: WrittenSize
    """Baluster seen between the rails, plumb: top of bottom rail to underside of top rail."""


class BlockRule(Record):
    """How many foot blocks a bay takes."""

    up_to: WrittenSize
    """Clear opening up to and including this."""
    count: Annotated[int, Field(ge=0, le=8)]
    """Foot blocks."""


class Stiffener(Record):
    """Metal inside a rail, bought by the length and cut to it; square at both ends."""

    key: Key
    """Stock key of a stick."""
    stock: WrittenSize
    """True length of a stick."""
    short: WrittenOffset
    """At each end so much shorter than its rail."""
    rails: Annotated[tuple[Literal["top", "bottom"], ...], Field(min_length=1)] = ("top",)
    """Which rails of a bay have one."""


class RoutedRail(Record):
    """Rails of one orientation, with the holes that the factory routed."""

    hole_pitch: WrittenSize
    """Baluster holes, centre to centre along the rail."""
    baluster_width: WrittenSize
    """Baluster, seen from the front."""
    baluster_key: Key
    """Stock key of balusters sold loose."""
    end_clearance: WrittenOffset
    """Gap left at each end between rail and sleeve face, along the rail; 0 where it butts."""
    greatest_margin: WrittenSize
    """Rail end to first hole centre: never more than this, and under the pitch, or the saw meets
    the next hole."""
    longest_clear: WrittenSize
    """Greatest clear opening allowed between sleeve faces: level, or along the slope."""
    top_depth: WrittenSize
    """Top rail, measured square to its length."""
    top_width: WrittenSize
    """Top rail, seen from above."""
    bottom_depth: WrittenSize
    bottom_width: WrittenSize
    """Bottom rail, seen from above."""
    heights: Annotated[tuple[SectionHeight, ...], Field(min_length=1)]
    """Section heights on sale."""
    kits: Annotated[tuple[Kit, ...], Field(min_length=1)]
    """Stock lengths on sale."""
    bracket: Bracket
    """The ordinary bracket: line for level rails, stair adapter for stair rails."""
    angle_bracket: Bracket | None = None
    """For mitred level ends; none where the system has none."""
    foot_blocks: Annotated[tuple[BlockRule, ...], Field(min_length=1)]
    """Ascending; the last one covers the longest clear opening."""
    stiffener: Stiffener | None = None
    """Bought loose; none: the rails have none, or it comes ready with the kits."""
    slot_least_deg: Degrees = 0
    """Smallest slope at which balusters stand plumb in the slots; 0 for level rails. [degrees]"""
    slot_greatest_deg: Degrees = 0
    """Largest such slope. [degrees]"""

    @model_validator(mode="after")
    def _margins_leave_room(self) -> Self:
        if self.greatest_margin >= self.hole_pitch:
            msg = "greatest_margin must be under hole_pitch, or a saw cut meets the next hole"
            raise ValueError(msg)
        for bracket in filter(None, (self.bracket, self.angle_bracket)):
            if bracket.least_margin > self.greatest_margin:
                msg = f"least_margin of bracket {bracket.key} is over greatest_margin"
                raise ValueError(msg)
        if self.foot_blocks[-1].up_to < self.longest_clear:
            msg = "the last foot_blocks rule must reach longest_clear"
            raise ValueError(msg)
        for kit in self.kits:
            last = kit.first_hole + (kit.holes - 1) * self.hole_pitch
            if last >= kit.length:
                msg = f"kit {kit.key}: its last hole would lie beyond its end"
                raise ValueError(msg)
            if kit.holes > 1 and kit.length - last >= kit.first_hole + 2 * self.hole_pitch:
                msg = f"kit {kit.key}: two pitches or more bare beyond its last hole; count again"
                raise ValueError(msg)
        return self


class Sleeve(Record):
    """The hollow cover of a post, its foot trim and its cap."""

    outside: WrittenSize
    """Outside, face to face."""
    inside: WrittenSize
    """Inside, face to face."""
    stock: Annotated[tuple[tuple[Key, WrittenSize], ...], Field(min_length=1)]
    """Stock key and true length of each sleeve on sale, ascending."""
    cap_key: Key
    """Stock key of the cap."""
    cap_depth: WrittenSize
    """How far the cap comes down over the sleeve."""
    cap_tab: WrittenOffset
    """Inner tab of the cap, below the sleeve's top edge: the core must end under it."""
    skirt_key: Key
    """Stock key of the skirt."""
    skirt_height: WrittenSize
    reveal: WrittenSize
    """Sleeve left visible between the rail's highest point at the post and the cap's lower edge."""
    core_gap_least: WrittenOffset
    """Least total play between core and inside of the sleeve."""


class FootBlock(Record):
    """The short support under a bottom rail."""

    key: Key
    """Stock key in the price book."""
    reach: WrittenSize
    """Greatest gap from surface to underside of rail that it spans."""
    width: WrittenSize
    """Seen from the front."""
    pilot: WrittenOffset
    """Hole drilled for it in the bottom rail; 0 for none."""


class Handrail(Record):
    """The continuous graspable rail the company fits beside stairs."""

    key: Key
    """Stock key of a stick."""
    stock: WrittenSize
    """True length of a stick."""
    diameter: WrittenSize
    """Outside diameter."""
    clearance: WrittenSize
    """From what is behind it to its nearest face."""
    bracket_key: Key
    """Stock key of its bracket."""
    bracket_apart: WrittenSize
    """Brackets no further apart than this along the rail."""
    return_key: Key
    """The end that turns back to the post or wall."""
    joiner_key: Key
    """Stock key of the joiner between sticks."""
    elbow_key: Key
    """Stock key of the elbow at a change of slope."""


class RailSystem(Record):
    """Everything the pack needs to know of one rail system."""

    schema_version: Literal[1] = 1
    """Version of this document's form; 1."""
    key: Key
    """As submissions name it."""
    sheet: Annotated[int, Field(ge=1)]
    """Revision of this sheet."""
    title: Line
    """What it is called on paper."""
    unit: Unit
    """Unit of bare numbers in this document."""
    source: Line
    """Which printed instructions these figures were taken from, and by whom."""
    colours: Annotated[tuple[Key, ...], Field(min_length=1)]
    """Colour keys in which it is sold."""
    level: RoutedRail
    """Rails for level bays."""
    stair: RoutedRail | None = None
    """Rails for stairs; none where the system has none."""
    sleeve: Sleeve
    """Sleeves, skirts and caps."""
    foot_block: FootBlock
    """The support under bottom rails."""
    handrail: Handrail | None = None
    """Graspable handrail fitted with it; none where there is none."""
    spacer_block: WrittenSize
    """Scrap block that holds a level bottom rail up while it is fixed: surface to underside."""
    drain_hole: WrittenSize
    """Drain hole through the underside of a level bottom rail, each side of a foot block."""
    drain_from_block: WrittenSize
    """Foot block's edge to the drain hole's centre."""
    expansion_per_degf: Annotated[float, Field(ge=0, le=1e-4)]
    """Free lengthwise growth. [1/degF]"""
    coldest_degf: float
    """Lowest temperature the rail must move to. [degF]"""
    hottest_degf: float
    """Highest. [degF]"""
    adhesive_key: Key
    """Stock key of the cap adhesive."""
    adhesive_caps: Annotated[int, Field(ge=1)]
    """Caps set by one cartridge."""
    adhesive_least_degf: float
    """No adhesive below this. [degF]"""
    rail_grams_per_m: Grams
    """One metre of top plus bottom rail with balusters in. [g/m]"""
    special_order: tuple[Key, ...] = ()
    """Colours that are not on the shelf."""
    parts: tuple[PartRule, ...] = ()
    """What else the system takes, by rule: stiffeners, half posts, wall blocks, screw covers."""

    @model_validator(mode="after")
    def _core_fits(self) -> Self:
        if self.sleeve.inside >= self.sleeve.outside:
            msg = "sleeve.inside must be under sleeve.outside"
            raise ValueError(msg)
        return self
