"""Bays as they are built: cuts, margins, marks, heights.

In: bays from the layout. Out: every number that the saw and the drill need,
rounded once. Marks and margins are exact consequences of the rounded cut.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, hypot
from typing import Literal

from schemas.layout import Layout, LongSide
from schemas.lengths import Length
from schemas.rail_system import BracketKind
from schemas.record import Degrees, Grams, Key, Line, Record


class AsMeasured(Record):
    """A row of the as-measured table: what to do for the opening that was found."""

    opening: Length
    """Clear opening found on site."""
    cut: Length | None
    """Rail to cut; none: call the office."""
    margin: Length | None
    """Left end to first hole centre."""
    balusters: int | None
    """Count for that opening."""


def openings_cut(rows: Sequence[AsMeasured]) -> tuple[Length, Length]:
    """Least and greatest opening for which an as-measured table has a cut.

    Args:
        rows: Of the table; at least the planned opening has a cut.
    """
    cut = [row.opening for row in rows if row.cut is not None]
    return min(cut), max(cut)


class BracketFit(Record):
    """A bracket at one end of one rail."""

    rail: Literal["top", "bottom"]
    """Which rail of the bay."""
    end: Literal["left", "right"]
    """Which end of it."""
    kind: BracketKind
    """Which bracket."""
    side: Literal["hole side", "plain side"]
    """Which face of the rail it sits on."""
    height: Length
    """Underside of that rail above the walking surface at this post, plumb; above the nosing line
    at a stair bay's own end."""


class Movement(Record):
    """Thermal movement of a rail against its end clearance."""

    free: Length
    """Change of length over the system's temperature range, rounded up."""
    room: Length
    """End clearances of both ends together."""
    fits: bool
    """Whether the room takes the movement."""


class LevelBay(Record):
    """A level bay, ready to cut."""

    name: Line
    """E.g. A1-A2."""
    leg: Key
    """Letter of its leg."""
    clear: Length
    """Between sleeve faces at bottom-rail height."""
    clear_top: Length
    """Between sleeve faces at top-rail height."""
    bottom_cut: Length
    """Bottom rail, on its axis."""
    top_cut: Length
    """Top rail, on its axis."""
    mitre_left_deg: Degrees
    """Saw off square at the left end, in plan. [degrees]"""
    mitre_right_deg: Degrees
    """Saw off square at the right end, in plan. [degrees]"""
    long_left: LongSide | None = None
    """On which side of the rails the left end is longer; none: cut square."""
    long_right: LongSide | None = None
    balusters: int
    """Count."""
    pitch: Length
    """Hole centres along the rail, of the system."""
    margin_left: Length
    """Left end of the bottom rail to its first hole centre."""
    margin_right: Length
    """Right end of the bottom rail to its last hole centre."""
    top_margin_left: Length
    """Left end of the top rail to its first hole centre."""
    top_margin_right: Length
    """Right end of the top rail to its last hole centre."""
    parity: Literal["hole at mid-length", "gap at mid-length"]
    """What stands at mid-length."""
    gap_between: Length
    """Clear between neighbouring balusters."""
    gap_left: Length
    """Clear from sleeve face to first baluster, the wider of both rails."""
    gap_right: Length
    """Clear from the last baluster to the sleeve face, the wider of both rails."""
    sweep: Length
    """Surface to underside of bottom rail at the high side: the spacer block."""
    sweep_low: Length
    """The same at the low side of a deck out of level."""
    edge_gap: Length = 0
    """Deck edge out to the near side of the bottom rail, level, rounded up; 0 where the rail
    stands over the deck."""
    top: Length
    """Surface to top of top rail at the high side."""
    marks: tuple[Length, ...]
    """Hole centres of the bottom rail, running from its left end."""
    top_marks: tuple[Length, ...]
    """Hole centres of the top rail, running from its left end."""
    window_low: Length
    """Smallest opening for which this count of balusters stays legal."""
    window_high: Length
    """Largest."""
    as_measured: tuple[AsMeasured, ...]
    """What to do for each opening that may be found."""
    foot_blocks: tuple[Length, ...]
    """Centres, from the bottom rail's left end."""
    drain_holes: tuple[Length, ...]
    """Centres, from the bottom rail's left end."""
    brackets: tuple[BracketFit, ...]
    """One at each end of each rail."""
    movement: Movement
    """Heat and cold against the end clearance."""
    weight: Grams
    """Assembled section. [g]"""
    people: int
    """To lift the assembled section."""
    others: tuple[int, ...] = ()
    """Other legal baluster counts at this opening, not chosen."""

    @property
    def under(self) -> Length:
        """Open under the bottom rail at the low side, from the deck edge if that is nearer in."""
        return ceil(hypot(self.sweep_low, self.edge_gap))


class NoseHeight(Record):
    """Height at one nosing."""

    nosing: int
    """From the top, 1 is the deck edge."""
    from_upper_face: Length
    """Level, from the upper post's stair-side face."""
    top: Length
    """Nosing to top of top rail, plumb."""
    gap: Length
    """Nosing to underside of bottom rail, plumb."""


class StairBay(Record):
    """A stair bay on one side, ready to cut. Its left end is the lower one."""

    name: Line
    """E.g. S1-L; S1-L1, S1-L2 from the lower end up where mid posts part the flight."""
    stair: Key
    """Name of the stair."""
    side: Literal["left", "right"]
    """As seen going up."""
    slope_deg: Degrees
    """From riser and tread. [degrees]"""
    saw_deg: Degrees
    """Saw setting off square for both plumb cuts. [degrees]"""
    riser: Length
    """As measured."""
    tread: Length
    """As measured."""
    clear: Length
    """Between sleeve faces, level."""
    cut: Length
    """Each rail, along the slope, between its plumb cuts; alike on every line along the rail."""
    top_long_to_short: Length
    """Top rail: long point to short point of an end cut, along the slope."""
    bottom_long_to_short: Length
    """Bottom rail: the same."""
    balusters: int
    """Count."""
    pitch: Length
    """Along the rail."""
    level_gap: Length
    """Clear between neighbouring balusters, level: what the sphere sees. Rounded up."""
    margin_lower: Length
    """Lower end to first hole centre, along the face with the holes: from the top rail's long
    point, from the bottom rail's short point."""
    margin_upper: Length
    """Upper end to last hole centre, along the face with the holes: from the top rail's short
    point, from the bottom rail's long point."""
    gap_lower: Length
    """Sleeve face to nearest baluster, level, rounded up."""
    gap_upper: Length
    """The same at the upper post."""
    top_first_hole_to_long: Length
    """Top rail, lower end: first hole centre on its underside to the long point."""
    bottom_first_hole_to_long: Length
    """Bottom rail, lower end: first hole centre on its upper side to the long point."""
    top_last_hole_to_long: Length
    """Top rail, upper end: last hole centre on its underside to the long point."""
    bottom_last_hole_to_long: Length
    """Bottom rail, upper end: last hole centre on its upper side to the long point."""
    marks: tuple[Length, ...]
    """Hole centres along the slope from the lower end."""
    window_low: Length
    """Smallest level opening for this count."""
    window_high: Length
    """Largest."""
    as_measured: tuple[AsMeasured, ...]
    """What to do for each level opening that may be found."""
    triangle_limit: Length | None
    """Most that the bottom rail's underside may stand plumb over the nosing line: the last mark
    under the height at which the ball touches; none where risers are open or the nosing is
    unknown."""
    rail_over_nosing: Length
    """Where it is planned: underside of the bottom rail over the nosing line, plumb."""
    top_over_nosing: Length
    """Top of the top rail over the nosing line, plumb."""
    heights: tuple[NoseHeight, ...]
    """Down the flight, the deck edge first; those of this bay."""
    upper_post: Line
    """Name of the post at its upper end."""
    lower_post: Line
    """Name of the post at its lower end."""
    top_at_upper: Length
    """Top of top rail at the upper post's face, above what that post stands on."""
    top_at_lower: Length
    """Top of top rail at the lower post's face, above what that post stands on."""
    bottom_at_upper: Length
    """Underside of bottom rail at the upper post's face, above what that post stands on."""
    bottom_at_lower: Length
    """Underside of bottom rail at the lower post's face, above what that post stands on."""
    foot_blocks: tuple[Length, ...]
    """Centres along the slope from the lower end, each over a tread."""
    brackets: tuple[BracketFit, ...]
    """One at each end of each rail."""
    movement: Movement
    """Heat and cold against the end clearances."""
    weight: Grams
    """Assembled section. [g]"""
    people: int
    """To lift the assembled section."""
    handrail: Length | None
    """Graspable handrail, nosing to nosing of the whole flight along the slope and as far beyond as
    the rules ask; none on this side. Where mid posts part the flight it passes them and is told at
    the lowest bay."""
    handrail_level: Length = 0
    """Of that, the level part beyond the top nosing, behind an elbow."""
    handrail_treads: int = 0
    """Treads that it goes on for beyond the lowest nosing, along the slope."""
    handrail_height: Length | None = None
    """Its top over the nosing line, plumb; none where no rule says."""
    handrail_brackets: int = 0
    """Brackets of the graspable handrail."""
    handrail_marks: tuple[Length, ...] = ()
    """Bracket centres along it, from its lower end, one at each end; brackets near joints apart."""
    handrail_elbows: int = 0
    """Elbows, one where its slope changes."""
    others: tuple[int, ...] = ()
    """Other legal baluster counts, not chosen."""


class FaceMark(Record):
    """A mark on one face of a post."""

    bay: Line
    """Bay whose rail meets that face."""
    rail: Literal["top", "bottom"]
    """Which rail of it."""
    underside: Length
    """Underside of the rail above what the post stands on, at the face."""
    topside: Length
    """Topside of the rail there."""


class PostHeight(Record):
    """A post's heights, all above what it stands on."""

    post: Line
    """Name of the post."""
    in_place: bool = False
    """Stands already and stays: it is marked and never cut, so its sleeve and core are not
    printed."""
    rail_top: Length
    """The highest rail at this post."""
    sleeve: Length
    """Sleeve length to cut."""
    core_least: Length
    """Core must end at or above this."""
    core_most: Length
    """And at or below this, under the cap's inner tab."""
    reveal: Length
    """Sleeve seen between the highest rail and the cap."""
    faces: tuple[FaceMark, ...]
    """Marks on each face that carries a rail."""


class Bays(Record):
    """All bays and post heights of a job."""

    level: tuple[LevelBay, ...]
    """In plan order."""
    stair: tuple[StairBay, ...]
    """In plan order."""
    posts: tuple[PostHeight, ...]
    """One for each post."""
    spacer: Length
    """Spacer block for level bays."""

    def alike(self, layout: Layout) -> tuple[tuple[LevelBay, ...], ...]:
        """Level bays built the same, between the same kinds of end; each group is drawn once."""
        ends = {bay.name: tuple(map(layout.end_kind, (bay.left, bay.right))) for bay in layout.bays}
        groups: dict[tuple[object, ...], list[LevelBay]] = {}
        for bay in self.level:
            same = bay.model_copy(update={"name": "", "leg": ""})
            groups.setdefault((same, ends[bay.name]), []).append(bay)
        return tuple(tuple(group) for group in groups.values())

    @property
    def alike_stair(self) -> tuple[tuple[StairBay, ...], ...]:
        """Stair bays that are built the same but for their hand, together; posts are alike too.

        Only their names, posts and the graspable handrail may differ.
        """
        sleeves = {post.post: (post.sleeve, post.core_least, post.core_most) for post in self.posts}
        own = {"name": "", "side": "left", "lower_post": "", "upper_post": "", "handrail": None,
               "handrail_brackets": 0, "handrail_height": None, "handrail_marks": ()}  # fmt: skip
        groups: dict[tuple[object, ...], list[StairBay]] = {}
        for bay in self.stair:
            posts = (sleeves.get(bay.lower_post), sleeves.get(bay.upper_post))
            groups.setdefault((bay.model_copy(update=own), *posts), []).append(bay)
        return tuple(tuple(group) for group in groups.values())

    @property
    def shared_posts(self) -> tuple[tuple[PostHeight, ...], ...]:
        """Posts that carry more than one bay, those with the same face heights together."""
        groups: dict[tuple[object, ...], list[PostHeight]] = {}
        for post in self.posts:
            if len({mark.bay for mark in post.faces}) > 1:
                heights = tuple((m.rail, m.underside, m.topside) for m in post.faces)
                groups.setdefault((post.sleeve, post.rail_top, *heights), []).append(post)
        return tuple(tuple(group) for group in groups.values())
