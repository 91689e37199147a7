"""The elevation of a stair bay, its rail on the bench, and its plumb cuts.

Seen from the side with the lower end at the left. The nosing line is dashed; heights
are plumb from each nosing to the top of the top rail; heights of the two posts stand
beside them, each from what that post stands on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import cos, radians, tan

from schemas.bays import Bays, PostHeight, StairBay
from schemas.drawings import WIDEST, Drawing, Label
from schemas.job import Job
from schemas.lengths import Length
from schemas.rail_system import RoutedRail
from schemas.site import Stair
from schemas.wording import Said, row, say
from services.drawings.boxes import LINE, box_of
from services.drawings.dimensions import At, along, along_lanes, up
from services.drawings.finish import finish, fitting
from services.drawings.lanes import Says, rows
from services.drawings.lines import ACT, READ, Mark, Point, line, path, rect, shape, word
from services.drawings.plumb_template import plumb_template
from services.drawings.scale import Scale, choose_scale
from services.tape import angle, is_metric, text
from services.wording import Words, words_of
from services.wording.terms import term

_ROOM = 290.0
_TALL = 225.0
_LANE_GAP = 14.0
_BENCH_ROOM = 380.0
_BLOCK_ROOM = 96.0
"""Room for a block's place, written upright. [pt]"""
_BESIDE = 40.0
"""Between two rail ends drawn beside each other. [pt]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """A stair bay on paper: x from the lower post's face, y from the deck's surface."""

    bay: StairBay
    stair: Stair
    job: Job
    rail: RoutedRail
    bays: Bays
    scale: Scale
    others: tuple[str, ...] = ()
    """Names of the bays that are built the same but for their hand."""

    def pt(self, length: float) -> float:
        """A length on paper. [pt]."""
        return self.scale.points(length)

    @property
    def words(self) -> Words:
        """The crew's."""
        return words_of(self.job)

    def says(self, length: Length) -> str:
        """A length as the tape reads it."""
        return text(length, self.job.step)

    @property
    def noses(self) -> tuple[Point, ...]:
        """Nosings from the top down. [1/320 mm]."""
        bay = self.bay
        return tuple(
            (bay.clear - n.from_upper_face, -(n.nosing - 1.0) * bay.riser) for n in bay.heights
        )

    def nosing_line(self, x: float) -> float:
        """Height of the nosing line. [1/320 mm]."""
        nose, drop = self.noses[0]
        return drop + (x - nose) * self.bay.riser / self.bay.tread

    @property
    def start(self) -> float:
        """Lower end of the rails, level. [1/320 mm from the lower post's face]."""
        return (self.bay.clear - self.bay.cut * cos(radians(self.bay.slope_deg))) / 2

    def x_of(self, along_slope: float) -> float:
        """A place on the rail, level. [1/320 mm from the lower post's face]."""
        return self.start + along_slope * cos(radians(self.bay.slope_deg))

    @property
    def lower_foot(self) -> float:
        """What the lower post stands on. [1/320 mm over the deck]."""
        return self.nosing_line(0) + self.bay.top_over_nosing - self.bay.top_at_lower

    @property
    def upper_foot(self) -> float:
        """What the upper post stands on: the deck, or a tread. [1/320 mm over the deck]."""
        over = self.nosing_line(self.bay.clear) + self.bay.top_over_nosing
        return over - self.bay.top_at_upper

    @property
    def ground(self) -> float:
        """What lies under the lowest nosing shown. [1/320 mm over the deck]."""
        return -self.bay.heights[-1].nosing * self.bay.riser

    def post(self, name: str) -> PostHeight | None:
        """The heights of one of the posts."""
        return next((p for p in self.bays.posts if p.post == name), None)


def stair_drawings(*, group: Sequence[StairBay], job: Job, bays: Bays) -> tuple[Drawing, ...]:
    """Draw a stair bay for all that are built like it: elevation, rail on the bench, plumb cuts.

    Args:
        group: A side of a flight, or a part of it between mid posts, and those that are the
            same but for their hand. [at least one]
        job: For the stair as measured and the rail's sizes.
        bays: For the heights of both posts.
    """
    bay, *others = group
    view = replace(view_of(bay=bay, job=job, bays=bays), others=tuple(b.name for b in others))
    metric = is_metric(job.step)
    bench = choose_scale(wide=bay.cut, room=_BENCH_ROOM, metric=metric)
    return (
        fitting(lambda smaller: _elevation(replace(view, scale=smaller)), scale=view.scale),
        fitting(lambda smaller: _bench(replace(view, scale=smaller)), scale=bench),
        _plumb_cuts(view, metric=metric),
        *plumb_template(
            bay,
            rail=view.rail,
            step=job.step,
            metric=metric,
            title=_title(view),
            words=view.words,
        ),
    )


def view_of(*, bay: StairBay, job: Job, bays: Bays) -> View:
    """A stair bay at the largest usual scale at which its posts and steps find room."""
    rail = job.stair_system.stair or job.stair_system.level
    stair = next(s for s in job.stairs if s.name == bay.stair)
    scale = choose_scale(
        wide=bay.clear + 2 * job.system.sleeve.outside,
        high=len(bay.heights) * bay.riser + bay.top_at_upper, room=_ROOM, tall=_TALL,
        metric=is_metric(job.step),
    )  # fmt: skip
    return View(bay=bay, stair=stair, job=job, rail=rail, bays=bays, scale=scale)


def _name(view: View, what: str) -> str:
    return f"{what}-{view.bay.name}"


def _title(view: View) -> Said:
    if not view.others:
        side = say("left side going up") if view.bay.side == "left" else say("right side going up")
        return say("Stair bay {bay}, {side}", bay=view.bay.name, side=side)
    names = row((view.bay.name, *view.others))
    return say("Stair bays {bays}: {count} off, handed", bays=names, count=1 + len(view.others))


def _elevation(view: View) -> Drawing:
    marks = (*_steps(view), *_posts(view), *_balusters(view), *_rails(view), *_foot_blocks(view))
    return finish(
        (*marks, *_nosing_line(view), *_nose_heights(view), *_post_heights(view), *_over(view)),
        name=_name(view, "stair"),
        title=view.words.say("{bay}: nosing line dashed", bay=_title(view)),
        said=view.words.say(
            "{bay}, from the side: {balusters} plumb balusters on a slope of {slope}, heights "
            "plumb over every nosing and at both posts.",
            bay=_title(view),
            balusters=view.bay.balusters,
            slope=angle(view.bay.slope_deg),
        ),
        scale=view.scale,
    )


def _steps(view: View) -> tuple[Mark, ...]:
    """The stair's own outline, from the landing or tread below up to what is above."""
    sleeve = view.job.system.sleeve.outside
    nosing = view.stair.nosing or 0
    landing = view.ground
    last = view.noses[-1][0]
    corners: list[Point] = [(min(-sleeve, last) - sleeve / 2, landing), (last + nosing, landing)]
    for i, (x, y) in enumerate(reversed(view.noses)):
        corners += [(x + nosing, y), (x, y)] if nosing else [(x, y)]
        back = view.noses[-2 - i][0] + nosing if i + 1 < len(view.noses) else None
        corners.append((back if back is not None else view.bay.clear + 1.5 * sleeve, y))
    return (path([(view.pt(x), view.pt(y)) for x, y in corners], weight="heavy"),)


def _posts(view: View) -> tuple[Mark, ...]:
    wide = view.job.system.sleeve.outside
    out: list[Mark] = []
    for name, end, left, foot in (
        (view.bay.lower_post, term("lower"), -wide, view.lower_foot),
        (view.bay.upper_post, term("upper"), view.bay.clear, view.upper_foot),
    ):
        high = _sleeve(view, name)
        out.append(rect(view.pt(left), view.pt(foot), view.pt(wide), view.pt(high), fill="light"))
        cap = view.pt(view.job.system.sleeve.cap_depth)
        out.append(
            rect(view.pt(left) - 2, view.pt(foot + high), view.pt(wide) + 4, cap, fill="white")
        )
        says = view.words.of(end) if view.others else name
        out.append(
            word(view.pt(left + wide / 2), view.pt(foot + high) + cap + 5, says, size=ACT,
                 bold=True, anchor="middle", lane="posts")
        )  # fmt: skip
    return tuple(out)


def _sleeve(view: View, name: str) -> float:
    post = view.post(name)
    if post:
        return post.sleeve
    return view.bay.top_at_upper + view.job.system.sleeve.reveal


def _sloping(view: View, over: float, thick: float) -> Mark:
    """A rail whose underside stands so much over the nosing line, plumb."""
    ends = (view.start, view.bay.clear - view.start)
    low = [(x, view.nosing_line(x) + over) for x in ends]
    high = [(x, y + thick) for x, y in reversed(low)]
    return shape([(view.pt(x), view.pt(y)) for x, y in (*low, *high)], weight="heavy", fill="white")


def _thick(view: View, depth: Length) -> float:
    """A rail's depth, seen plumb. [1/320 mm]."""
    return depth / cos(radians(view.bay.slope_deg))


def _rails(view: View) -> tuple[Mark, ...]:
    bottom, top = _thick(view, view.rail.bottom_depth), _thick(view, view.rail.top_depth)
    return (
        _sloping(view, view.bay.rail_over_nosing, bottom),
        _sloping(view, view.bay.top_over_nosing - top, top),
    )


def _balusters(view: View) -> tuple[Mark, ...]:
    bay, wide = view.bay, view.pt(view.rail.baluster_width)
    low = bay.rail_over_nosing + _thick(view, view.rail.bottom_depth) / 2
    high = bay.top_over_nosing - _thick(view, view.rail.top_depth) / 2
    out = []
    for mark in bay.marks:
        x = view.x_of(mark)
        ground = view.nosing_line(x)
        foot, tall = view.pt(ground + low), view.pt(high - low)
        out.append(rect(view.pt(x) - wide / 2, foot, wide, tall, weight="narrow"))
    return tuple(out)


def _foot_blocks(view: View) -> tuple[Mark, ...]:
    wide = view.pt(view.job.stair_system.foot_block.width)
    out = []
    for at in view.bay.foot_blocks:
        x = view.x_of(at)
        ground = max((y for nose, y in view.noses if nose <= x), default=view.lower_foot)
        high = view.nosing_line(x) + view.bay.rail_over_nosing - ground
        out.append(rect(view.pt(x) - wide / 2, view.pt(ground), wide, view.pt(high), fill="light"))
    return tuple(out)


def _nosing_line(view: View) -> tuple[Mark, ...]:
    ends = (view.noses[-1][0] - view.bay.tread / 2, view.noses[0][0] + view.bay.tread / 3)
    start, end = ((view.pt(x), view.pt(view.nosing_line(x))) for x in ends)
    return (line(start, end, weight="wide", dashed=True),)


def _nose_heights(view: View) -> tuple[Mark, ...]:
    """Under the stair: each nosing's number and its height to the top of the top rail."""
    low = view.pt(min(view.ground, view.lower_foot)) - _LANE_GAP
    every = _every(view.pt(view.bay.tread), LINE * READ)
    out: list[Mark] = []
    for i, (nose, (x, y)) in enumerate(zip(view.bay.heights, view.noses, strict=True)):
        top = y + nose.top
        out.append(line((view.pt(x), view.pt(y)), (view.pt(x), view.pt(top)), weight="hair"))
        if i % every:
            continue
        out.append(line((view.pt(x), view.pt(y) - 2), (view.pt(x), low + 11), weight="hair"))
        number = word(view.pt(x), low, str(nose.nosing), bold=True, anchor="middle", lane="noses")
        out.append(number)
        out.append(_turned_under(view.pt(x), low - 6, view.says(nose.top)))
    return tuple(out)


def _turned_under(x: float, top: float, says: str) -> Mark:
    stop = along([At(at=x, says=says)], y=top, away=-1, lane="nose-heights", feet=0)
    return stop.marks[-1]


def _every(apart: float, needed: float) -> int:
    """Label each, or only every second, third, … so that they keep apart."""
    count = 1
    while apart * count < needed:
        count += 1
    return count


def _post_heights(view: View) -> tuple[Mark, ...]:
    bay, wide = view.bay, view.job.system.sleeve.outside
    low, high = view.lower_foot, view.upper_foot
    lower = _stops(view, low, bay.bottom_at_lower, bay.top_at_lower, bay.lower_post)
    upper = _stops(view, high, bay.bottom_at_upper, bay.top_at_upper, bay.upper_post)
    return (
        *up(lower, x=view.pt(-wide) - 12, away=-1, lane="lower-post").marks,
        *up(upper, x=view.pt(bay.clear + wide) + 12, away=1, lane="upper-post").marks,
    )


def _stops(view: View, foot: float, bottom: Length, top: Length, name: str) -> list[At]:
    post = view.post(name)
    heights = [
        (0, "0"),
        (bottom, view.words.say("bottom {at}", at=view.says(bottom))),
        (top, view.words.say("top {at}", at=view.says(top))),
    ]
    if post and not post.in_place:
        heights.append((post.sleeve, view.words.say("sleeve {at}", at=view.says(post.sleeve))))
    return [At(at=view.pt(foot + h), says=says) for h, says in sorted(heights)]


def _over(view: View) -> tuple[Mark, ...]:
    """Over the drawing: what both rails are cut to."""
    bay = view.bay
    top = view.upper_foot + _sleeve(view, bay.upper_post) + view.job.system.sleeve.cap_depth
    middle = view.pt(bay.clear / 2)
    cut = view.words.say("cut both rails {cut} along the slope", cut=view.says(bay.cut))
    saw = view.words.say("saw {angle}, both ends plumb", angle=angle(bay.saw_deg))
    says = [Says(x=middle, text=cut, size=ACT), Says(x=middle, text=saw, size=ACT)]
    high = view.pt(top) + 2 * ACT + 8
    return rows(says, top=high, lane="over", down=False).labels


def _bench(view: View) -> Drawing:
    """The rail as it lies on the bench: hole centres running from its lower end."""
    bay, scale = view.bay, view.scale
    depth = max(scale.points(view.rail.bottom_depth), 10.0)
    lean = depth * tan(radians(bay.saw_deg)) / 2
    long = scale.points(bay.cut)
    outline = [(-lean, 0.0), (long - lean, 0.0), (long + lean, depth), (lean, depth)]
    marks: list[Mark] = [shape(outline, weight="heavy", fill="white")]
    marks += [
        line((scale.points(m), 2), (scale.points(m), depth - 2), weight="wide") for m in bay.marks
    ]
    zero = At(at=0, says="0")
    stops = [At(at=scale.points(m), says=view.says(m)) for m in bay.marks]
    marks += along_lanes(zero, stops, y=-16, away=-1, lane="holes", room=WIDEST - 40).marks
    blocks = [
        At(at=scale.points(m), says=view.words.say("block {at}", at=view.says(m)))
        for m in bay.foot_blocks
    ]
    if blocks:
        feet = [zero, *blocks]
        apart = all(b.at - a.at >= _BLOCK_ROOM for a, b in pairwise(feet))
        run = along(feet, y=depth + 16, away=1, lane="feet", feet=10, upright=apart,
                    rooms=[_BLOCK_ROOM] * len(feet) if apart else None)  # fmt: skip
        marks += run.marks
    lower, upper = view.words.of(term("lower")), view.words.of(term("upper"))
    marks.append(word(-lean - 6, depth / 2 - 4, lower, anchor="end", bold=True, lane="ends"))
    marks.append(word(long + lean + 6, depth / 2 - 4, upper, bold=True, lane="ends"))
    return finish(
        marks,
        name=_name(view, "bench"),
        title=view.words.say(
            "{bay}: hole centres along the face with the holes, running from its lower end",
            bay=_title(view),
        ),
        said=view.words.say(
            "The stair rail on the bench, hole centres running from its lower end."
        ),
        scale=scale,
    )


def _plumb_cuts(view: View, *, metric: bool) -> Drawing:
    """Both rails at their lower ends, lying level on the saw."""
    bay, rail = view.bay, view.rail
    shown = max(bay.margin_lower, bay.top_first_hole_to_long) + bay.pitch // 2
    scale = choose_scale(wide=shown + bay.bottom_long_to_short, room=190, tall=90, metric=metric)
    marks: list[Mark] = []
    left = 0.0
    for title, depth, hole, underside in (
        (say("top rail"), rail.top_depth, bay.top_first_hole_to_long, True),
        (say("bottom rail"), rail.bottom_depth, bay.bottom_first_hole_to_long, False),
    ):
        end = _RailEnd(
            title=view.words.of(title), words=view.words,
            depth=scale.points(depth), hole=scale.points(hole),
            lean=scale.points(depth) * tan(radians(bay.saw_deg)), shown=scale.points(shown),
            long_to_short=view.says(
                bay.top_long_to_short if underside else bay.bottom_long_to_short
            ),
            hole_to_long=view.says(hole), underside=underside, saw=angle(bay.saw_deg),
        )  # fmt: skip
        drawn = _rail_end(end, left)
        marks += drawn
        left = max(left + scale.points(shown), _right(drawn)) + _BESIDE
    return finish(
        marks,
        name=_name(view, "plumb-cuts"),
        title=view.words.say("{bay}: lower ends as they lie on the saw", bay=_title(view)),
        said=view.words.say(
            "Lower ends of the top and bottom rail with the plumb cut, long point, short point "
            "and the first hole."
        ),
        scale=scale,
    )


def _right(marks: Sequence[Mark]) -> float:
    """The right end of the labels among some marks. [pt]."""
    return max(box_of(mark).right for mark in marks if isinstance(mark, Label))


@dataclass(frozen=True, slots=True, kw_only=True)
class _RailEnd:
    """The lower end of a rail, on paper. [pt]."""

    title: str
    depth: float
    hole: float
    lean: float
    shown: float
    long_to_short: str
    hole_to_long: str
    underside: bool
    saw: str
    words: Words


def _rail_end(end: _RailEnd, left: float) -> tuple[Mark, ...]:
    long, short, right = left, left + end.lean, left + end.shown
    outline = [(right, end.depth), (short, end.depth), (long, 0.0), (right, 0.0)]
    hole_y = 0.0 if end.underside else end.depth
    hole = long + end.hole
    arrow = 1 if not end.underside else -1
    to_short = At(at=short, says=end.words.say("short {at}", at=end.long_to_short))
    to_hole = At(at=hole, says=end.words.say("hole {at}", at=end.hole_to_long))
    in_order = (to_short, to_hole) if end.lean < end.hole else (to_hole, to_short)
    run = along(
        [At(at=long, says="0"), *in_order], y=-22, away=-1, lane=f"end-{end.title}", feet=10
    )
    face = say("holes below") if end.underside else say("holes above")
    return (
        path(outline, weight="heavy"),
        line((hole, hole_y - 6 * arrow), (hole, hole_y + 6 * arrow), weight="heavy"),
        line((hole, -4), (hole, end.depth + 4), weight="hair", dashed=True),
        *run.marks,
        word(left, end.depth + 24, end.title, size=ACT, bold=True, lane="ends"),
        word(
            left,
            end.depth + 10,
            end.words.say("{face}, saw {angle}", face=face, angle=end.saw),
            lane="ends-what",
        ),
    )
