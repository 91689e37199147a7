"""The elevation of a level bay, or of several that are built the same.

Seen from the yard toward the house. Over the bay stand the lengths to cut, under it the
foot blocks and the hole centres of the bottom rail, running from its left end; at
its right the heights over the walking surface. Between the rails the view is broken:
balusters say nothing there, and the room goes to the marks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from schemas.bays import LevelBay
from schemas.drawings import WIDEST, Drawing
from schemas.job import Job
from schemas.layout import Bay, Layout
from schemas.lengths import Length
from services.drawings.boxes import text_width
from services.drawings.dimensions import At, along_lanes, between, between_height, up
from services.drawings.finish import finish, fitting
from services.drawings.lanes import Says, rows
from services.drawings.lines import ACT, READ, Mark, line, rect, ring, shape
from services.drawings.scale import Scale, choose_scale
from services.tape import angle, is_metric, text
from services.wording import Words, words_of
from services.wording.terms import long_point, off, term

_HEIGHTS_ROOM = 110.0
_LEAST = 20
"""No bay is drawn larger: at this scale the marks of a usual pitch stand apart."""
_GAP = 5.0
_STUB, _BREAK = 13.0, 8.0
"""Shown of a baluster at each rail, and the broken view's gap. [pt]"""
_TEETH = 9.0
"""From tooth to tooth of the break line. [pt]"""


_TORN = ((0.0, 0.0), (0.25, 4.0), (0.5, 0.0), (0.75, 4.0), (1.0, 0.0))
"""The broken-off head of a post that runs on: share of its width, height. [pt]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _View:
    """A bay on paper: x from its left sleeve face, y from the walking surface."""

    bay: LevelBay
    laid: Bay
    job: Job
    layout: Layout
    scale: Scale
    others: int

    def pt(self, length: float) -> float:
        """A length on paper. [pt]."""
        return self.scale.points(length)

    def up(self, height: float) -> float:
        """A height over the surface on paper, the broken part left out. [pt]."""
        return self.pt(height) - (self.cut_out if self.pt(height) > self.broken else 0)

    @property
    def broken(self) -> float:
        """Where the view is broken. [pt over the surface]."""
        return self.pt(self.bay.sweep + self.job.system.level.bottom_depth) + _STUB

    @property
    def cut_out(self) -> float:
        """Height that the broken view leaves out. [pt]."""
        top = self.pt(self.bay.top - self.job.system.level.top_depth)
        return max(0.0, top - _STUB - _BREAK - self.broken)

    @property
    def words(self) -> Words:
        """The crew's."""
        return words_of(self.job)

    def says(self, length: Length) -> str:
        """A length as the tape reads it."""
        return text(length, self.job.step)

    @property
    def start(self) -> float:
        """Left end of the bottom rail. [1/320 mm from the face]."""
        return (self.bay.clear - self.bay.bottom_cut) / 2

    @property
    def top_start(self) -> float:
        """Left end of the top rail, by its hole pattern. [1/320 mm from the face]."""
        return self.start + self.bay.margin_left - self.bay.top_margin_left


def level_elevation(*, group: Sequence[LevelBay], job: Job, layout: Layout) -> Drawing:
    """Draw one bay for all that are built like it.

    Args:
        group: Bays that are built the same. [at least one]
        job: For the rail's sizes and the graduation.
        layout: For the posts at both ends.
    """
    bay = group[0]
    laid = next(b for b in layout.bays if b.name == bay.name)
    sleeve = job.system.sleeve.outside
    metric = is_metric(job.step)
    scale = choose_scale(
        wide=bay.clear + 2 * sleeve, room=WIDEST - _HEIGHTS_ROOM, metric=metric, least=_LEAST
    )

    def at(scale: Scale) -> Drawing:
        view = _View(bay=bay, laid=laid, job=job, layout=layout, scale=scale, others=len(group) - 1)
        return _elevation(view, names=[b.name for b in group])

    return fitting(at, scale=scale)


def _elevation(view: _View, *, names: Sequence[str]) -> Drawing:
    bay = view.bay
    marks = (*_posts(view), *_balusters(view), *_feet(view), *_break_line(view), *_rails(view))
    return finish(
        (*marks, *_under(view), *_over(view), *_heights(view)),
        name=f"elevation-{bay.name}",
        title=view.words.of(off(names)),
        said=view.words.say(
            "Elevation of bay {bay} from the yard toward the house: {balusters} balusters, "
            "{parity}, hole centres running from the left end of the bottom rail.",
            bay=bay.name,
            balusters=bay.balusters,
            parity=term(bay.parity),
        ),
        scale=view.scale,
    )


def _posts(view: _View) -> tuple[Mark, ...]:
    wide = view.pt(view.job.system.sleeve.outside)
    high = view.up(view.bay.top + view.job.system.sleeve.reveal)
    cap = view.pt(view.job.system.sleeve.cap_depth)
    right = view.pt(view.bay.clear)
    marks: list[Mark] = [line((-wide - 6, 0), (right + wide + 6, 0), weight="heavy")]
    for left, end in ((-wide, view.laid.left), (right, view.laid.right)):
        if end.post is None:
            marks.append(rect(left, -4, wide, high + cap + 8, weight="heavy", fill="light"))
        elif view.layout.post(end.post).in_place:
            marks.append(_running_on(left, wide, high + cap))
        else:
            marks.append(rect(left, 0, wide, high, weight="wide", fill="light"))
            marks.append(rect(left - 2, high, wide + 4, cap, weight="wide", fill="white"))
    return tuple(marks)


def _running_on(left: float, wide: float, high: float) -> Mark:
    """A post that stays: no cap, and broken off over the rail, for it may carry a roof."""
    teeth = [(left + wide * share, high + rise) for share, rise in _TORN]
    return shape(((left + wide, 0), (left, 0), *teeth), weight="wide", fill="light")


def _rails(view: _View) -> tuple[Mark, ...]:
    rail, bay = view.job.system.level, view.bay
    return (
        rect(view.pt(view.start), view.up(bay.sweep), view.pt(bay.bottom_cut),
             view.pt(rail.bottom_depth), weight="heavy", fill="white"),
        rect(view.pt(view.top_start), view.up(bay.top - rail.top_depth), view.pt(bay.top_cut),
             view.pt(rail.top_depth), weight="heavy", fill="white"),
    )  # fmt: skip


def _balusters(view: _View) -> tuple[Mark, ...]:
    rail, bay = view.job.system.level, view.bay
    wide = view.pt(rail.baluster_width)
    low, high = view.up(bay.sweep + rail.bottom_depth), view.up(bay.top - rail.top_depth)
    middle = view.pt(view.start + bay.bottom_cut / 2)
    bars = (
        rect(view.pt(view.start + mark) - wide / 2, low, wide, high - low, weight="narrow")
        for mark in bay.marks
    )
    return (*bars, line((middle, low - 10), (middle, high + 10), weight="hair", dashed=True))


def _break_line(view: _View) -> tuple[Mark, ...]:
    """Two toothed lines across posts and balusters, nothing between them."""
    if not view.cut_out:
        return ()
    reach = view.pt(view.job.system.sleeve.outside) + 6
    start, end = -reach, view.pt(view.bay.clear) + reach
    count = max(2, round((end - start) / _TEETH))
    teeth = [
        (start + (end - start) * i / count, view.broken + (2.0 if i % 2 else -2.0))
        for i in range(count + 1)
    ]
    over = [(x, y + _BREAK) for x, y in reversed(teeth)]
    return (shape((*teeth, *over), weight="narrow", fill="white"),)


def _feet(view: _View) -> tuple[Mark, ...]:
    bay, wide = view.bay, view.pt(view.job.system.foot_block.width)
    blocks = (
        rect(view.pt(view.start + at) - wide / 2, 0, wide, view.pt(bay.sweep), fill="light")
        for at in bay.foot_blocks
    )
    drains = (
        ring((view.pt(view.start + at), view.pt(bay.sweep)), 2.2, weight="wide", fill="white")
        for at in bay.drain_holes
    )
    return (*blocks, *drains)


def _under(view: _View) -> tuple[Mark, ...]:
    """Blocks right under the bay, then the hole centres on a line of their own."""
    feet = rows(_feet_words(view), top=-3, lane="feet")
    holes = [_at(view, mark) for mark in view.bay.marks]
    run = along_lanes(
        _at(view, 0), holes, y=-feet.height - 12, away=-1, lane="holes", room=WIDEST - 40
    )
    return (*feet.labels, *run.marks)


def _feet_words(view: _View) -> list[Says]:
    """Where blocks stand; drain holes are drawn, their places stand on the bay's sheet."""
    return [
        Says(x=view.pt(view.start + at), text=view.words.say("block {at}", at=view.says(at)))
        for at in view.bay.foot_blocks
    ]


def _at(view: _View, at: Length) -> At:
    return At(at=view.pt(view.start + at), says=view.says(at))


def _over(view: _View) -> tuple[Mark, ...]:
    """Names, gaps, then each length on a line of its own over the bay."""
    bay = view.bay
    sleeve = view.job.system.sleeve
    high = view.up(bay.top + sleeve.reveal) + view.pt(sleeve.cap_depth) + 4
    words = rows(_words(view), top=high, lane="over", down=False)
    marks: list[Mark] = list(words.labels)
    high += words.height + _GAP
    for says, start, long in _lengths(view):
        marks += between(view.pt(start), view.pt(start + long), says, y=high, lane=says, size=ACT)
        high += between_height(ACT)
    return tuple(marks)


def _words(view: _View) -> list[Says]:
    bay, right = view.bay, view.pt(view.bay.clear)
    half = view.pt(view.job.system.sleeve.outside) / 2
    names = [(-half, view.laid.left, "left"), (right + half, view.laid.right, "right")]
    of = view.words.of
    out = [
        Says(x=x, text=of(end.post or term("wall")) if not view.others else of(term(side)),
             size=ACT, measure=False, bold=True)
        for x, end, side in names
    ]  # fmt: skip
    says = view.words.say(
        "{count} balusters, {parity}", count=bay.balusters, parity=term(bay.parity)
    )
    out.append(Says(x=right / 2, text=says, measure=False))
    return [*out, *_saws(view, right)]


def _saws(view: _View, right: float) -> list[Says]:
    """At each mitred end its saw setting; over a bay too short for that, with the end's name."""
    bay = view.bay
    ends = (
        ("left", bay.mitre_left_deg, bay.long_left),
        ("right", bay.mitre_right_deg, bay.long_right),
    )
    told = [
        (end, view.words.say("saw {angle}, {long}", angle=angle(deg), long=long_point(long_side)))
        for end, deg, long_side in ends
        if long_side
    ]
    room = max((text_width(t, size=READ, bold=True, stacked=True) for _, t in told), default=0)
    if room + 4 < right:
        return [
            Says(x=2, text=text, anchor="start")
            if end == "left"
            else Says(x=right - 2, text=text, anchor="end")
            for end, text in told
        ]
    return [
        Says(x=right / 2, text=view.words.say("{end}: {saw}", end=term(end), saw=text))
        for end, text in told
    ]


def _lengths(view: _View) -> list[tuple[str, float, Length]]:
    bay, words = view.bay, view.words
    bottom, top = view.says(bay.bottom_cut), view.says(bay.top_cut)
    if bay.top_cut == bay.bottom_cut:
        return [(words.say("cut both rails {cut}", cut=bottom), view.start, bay.bottom_cut)]
    return [
        (words.say("cut bottom rail {cut}", cut=bottom), view.start, bay.bottom_cut),
        (words.say("cut top rail {cut}", cut=top), view.top_start, bay.top_cut),
    ]


def _heights(view: _View) -> tuple[Mark, ...]:
    bay = view.bay
    x = view.pt(bay.clear + view.job.system.sleeve.outside) + 14
    stops = [
        At(at=0, says="0"),
        At(at=view.up(bay.sweep), says=view.words.say("under rail {at}", at=view.says(bay.sweep))),
        At(at=view.up(bay.top), says=view.words.say("top {at}", at=view.says(bay.top))),
    ]
    return up(stops, x=x, away=1, lane="heights", size=ACT).marks
