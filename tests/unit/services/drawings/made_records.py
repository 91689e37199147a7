"""Layouts, bays and cuts of any size for drawing: realistic figures, built by hand from a seed."""

from __future__ import annotations

from math import atan2, ceil, cos, degrees, radians, sin, tan
from random import Random
from typing import Literal

from schemas.bays import (
    AsMeasured,
    Bays,
    BracketFit,
    FaceMark,
    LevelBay,
    Movement,
    NoseHeight,
    PostHeight,
    StairBay,
)
from schemas.cut_plan import (
    Bar,
    CutPlan,
    Offcut,
    Piece,
    PlacedPiece,
    PlainBar,
    SawSetUp,
    StockRail,
)
from schemas.job import Job
from schemas.layout import Bay, BayEnd, LaidLeg, Layout, LongSide, PlanPoint, Post
from schemas.lengths import INCH
from schemas.site import Side, Stair
from tests import builders

CORNERS = (90.0, -90.0, 45.0, 30.0)
KINDS: tuple[Literal["level", "stair-opening", "gate-opening"], ...] = (
    "level", "stair-opening", "gate-opening",
)  # fmt: skip
STAIR = "S1"


def marks_down(length: float, step: int) -> int:
    """A length on a tape mark."""
    return int(length // step * step)


class _Walk:
    """A guard line as it is walked, leg by leg."""

    def __init__(self, rng: Random, job: Job) -> None:
        self.rng, self.job, self.sleeve = rng, job, job.system.sleeve.outside
        self.legs: list[LaidLeg] = []
        self.posts: list[Post] = []
        self.bays: list[Bay] = []
        self.heading, self.start, self.turned = -90.0, (0.0, 0.0), 0.0

    def place(self, at: float) -> PlanPoint:
        """A place along the leg that is being walked."""
        turn = radians(self.heading)
        return PlanPoint(x=self.start[0] + at * cos(turn), y=self.start[1] + at * sin(turn))

    def stand(self, leg: str, number: int, at: float) -> str:
        """Stand a post."""
        first = at == 0
        post = Post(
            name=f"{leg}{number}", where="corner" if first and leg != "A" else "line",
            in_place=self.rng.random() < 0.2, leg=leg, at=int(at), point=self.place(at),
            turned_deg=self.turned if first else 0.0, sleeve=self.sleeve, core=self.job.post.core,
        )  # fmt: skip
        self.posts.append(post)
        return post.name

    def leg(self, name: str, following: str | None) -> None:
        """Walk a leg."""
        rng, job = self.rng, self.job
        wall = name == "A" and rng.random() < 0.5
        left = None if wall else self.stand(name, 1, 0)
        names = [] if left is None else [left]
        at = 0 if wall else self.sleeve // 2
        corner = rng.choice(CORNERS)
        bays = rng.randint(1, 9)
        for k in range(1, bays + 1):
            face = at + marks_down(rng.uniform(6, 94) * INCH, job.step)
            right: str | None = f"{following}1" if following else None
            if k < bays or (right is None and rng.random() < 0.5):
                right = self.stand(name, len(names) + 1, face + self.sleeve / 2)
            ahead = corner / 2 if k == bays and following and abs(corner) != 90 else 0.0
            turns = (-self.turned if k == 1 else 0.0, ahead)
            self.bay(name, (left, at), (right, face), turns)
            names += [right] if right else []
            left, at = right, face + self.sleeve
        ends_at = face + (self.sleeve / 2 if left else 0)
        end = self.place(ends_at)
        self.legs.append(
            LaidLeg(
                name=name, line=0, start=self.place(0), end=end,
                heading_deg=(self.heading + 180) % 360 - 180, length=int(ends_at),
                measured=int(ends_at), zero_is="wall" if wall else "post",
                end_is="post" if left else "wall", drop=46 * INCH, fall=0, posts=tuple(names),
                reason="Equal bays",
            )
        )  # fmt: skip
        self.start, self.heading = (end.x, end.y), self.heading + corner
        self.turned = -corner / 2 if abs(corner) != 90 else 0.0

    def bay(
        self,
        leg: str,
        left: tuple[str | None, int],
        right: tuple[str | None, int],
        turns: tuple[float, float],
    ) -> None:
        """Leave a bay between two posts."""
        kind = self.rng.choices(KINDS, (8, 1, 1))[0]
        clear = right[1] - left[1]
        self.bays.append(
            Bay(
                name=f"{left[0] or 'W'}-{right[0] or 'W'}", kind=kind, leg=leg,
                left=_end(left, turns[0]), right=_end(right, turns[1]),
                clear=clear, clear_top=clear, measured=False,
            )
        )  # fmt: skip


def _end(meets: tuple[str | None, int], turn: float) -> BayEnd:
    """Mitred at half a corner's turn; to the left, the deck's own corner points out."""
    side: LongSide | None = None
    if turn:
        side = "yard" if turn > 0 else "deck"
    return BayEnd(post=meets[0], face=meets[1], mitre_deg=abs(turn), long_side=side, bracket="line")


def layout_of(rng: Random, *, job: Job) -> Layout:
    """A guard line of one to five legs with up to nine bays each."""
    walk = _Walk(rng, job)
    names = "ABCDE"[: rng.randint(1, 5)]
    for name, following in zip(names, [*names[1:], None], strict=True):
        walk.leg(name, following)
    return Layout(legs=tuple(walk.legs), posts=tuple(walk.posts), bays=tuple(walk.bays))


def level_bay(rng: Random, *, job: Job, laid: Bay, most: int = 30) -> LevelBay:
    """A level bay of any count of balusters at the laid bay's name and place."""
    rail, step = job.system.level, job.step
    count = rng.randint(1, most)
    left = marks_down(rng.uniform(1.6, 4) * INCH, step)
    right = left + rng.choice((0, step))
    cut = (count - 1) * rail.hole_pitch + left + right
    marks = tuple(left + i * rail.hole_pitch for i in range(count))
    blocks = tuple(cut * k // 3 for k in (1, 2)[: rng.randint(0, 2)])
    clear = cut + 2 * rail.end_clearance
    top = job.system.spacer_block + rail.bottom_depth + job.level_height.visible + rail.top_depth
    top_cut = cut + rng.choice((0, step))  # the dice fall in one order, whatever is added later
    mitres = (rng.choice((0.0, 22.5)), rng.choice((0.0, 15.0)))
    return LevelBay(
        name=laid.name, leg=laid.leg, clear=clear, clear_top=clear, bottom_cut=cut,
        top_cut=top_cut, mitre_left_deg=mitres[0],
        mitre_right_deg=mitres[1], long_left="yard" if mitres[0] else None,
        long_right="deck" if mitres[1] else None, balusters=count, pitch=rail.hole_pitch,
        margin_left=left, margin_right=right, top_margin_left=left, top_margin_right=right,
        parity="hole at mid-length" if count % 2 else "gap at mid-length",
        gap_between=rail.hole_pitch - rail.baluster_width, gap_left=left, gap_right=right,
        sweep=job.system.spacer_block, sweep_low=job.system.spacer_block, top=top, marks=marks,
        top_marks=marks, window_low=clear - INCH, window_high=clear + INCH,
        as_measured=as_measured(clear, cut=cut, margin=left, count=count, step=step),
        foot_blocks=blocks, drain_holes=tuple(b + s * INCH for b in blocks for s in (-2, 2)),
        brackets=brackets(job.system.spacer_block, top - rail.top_depth), movement=movement(),
        weight=11000, people=1,
    )  # fmt: skip


def as_measured(
    clear: int, *, cut: int, margin: int, count: int, step: int
) -> tuple[AsMeasured, ...]:
    """Two marks each side of the opening; the widest has no legal bay."""
    return (
        AsMeasured(opening=clear - step, cut=cut - step, margin=margin, balusters=count),
        AsMeasured(opening=clear, cut=cut, margin=margin, balusters=count),
        AsMeasured(opening=clear + step, cut=cut + step, margin=margin, balusters=count + 1),
        AsMeasured(opening=clear + 2 * step, cut=None, margin=None, balusters=None),
    )


def brackets(bottom: int, top: int) -> tuple[BracketFit, ...]:
    """One at each end of each rail."""
    return (
        BracketFit(rail="bottom", end="left", kind="line", side="plain side", height=bottom),
        BracketFit(rail="bottom", end="right", kind="line", side="plain side", height=bottom),
        BracketFit(rail="top", end="left", kind="line", side="hole side", height=top),
        BracketFit(rail="top", end="right", kind="line", side="hole side", height=top),
    )


def movement() -> Movement:
    """A rail that moves less than its end gaps."""
    return Movement(free=INCH // 8, room=INCH // 4, fits=True)


def stair(rng: Random, *, job: Job) -> Stair:
    """A flight of two to sixteen risers."""
    step = job.step
    sizes = {
        "risers": rng.randint(2, 16),
        "riser": marks_down(rng.uniform(6.5, 7.75) * INCH, step),
        "tread": marks_down(rng.uniform(9.5, 12) * INCH, step),
        "nosing": rng.choice((0, INCH)),
    }
    return builders.job("l-deck").stairs[0].model_copy(update=sizes)


def stair_bay(*, job: Job, flight: Stair, side: Side) -> StairBay:
    """One side of a flight, its numbers by plain trigonometry."""
    rail = job.stair_system.stair
    assert rail is not None
    step = job.step
    riser, tread = flight.riser, flight.tread
    slope = degrees(atan2(riser, tread))
    grow = 1 / cos(radians(slope))
    clear = (flight.risers - 1) * tread + 3 * INCH
    cut = marks_down(clear * grow - 2 * rail.end_clearance, step)
    count = int((cut - 5 * INCH) // rail.hole_pitch) + 1
    lower = marks_down((cut - (count - 1) * rail.hole_pitch) / 2, step)
    marks = tuple(lower + i * rail.hole_pitch for i in range(count))
    over = INCH // 2
    top = 35 * INCH
    noses = tuple(
        NoseHeight(nosing=i + 1, from_upper_face=INCH + i * tread, top=top, gap=over)
        for i in range(flight.risers)
    )
    lean = ceil(rail.top_depth * tan(radians(slope)) / step) * step
    rise_at_lower = top + riser - INCH
    return StairBay(
        name=f"{STAIR}-{side[0].upper()}", stair=STAIR, side=side, slope_deg=slope, saw_deg=slope,
        riser=riser, tread=tread, clear=clear, cut=cut, top_long_to_short=lean,
        bottom_long_to_short=lean, balusters=count, pitch=rail.hole_pitch, level_gap=3 * INCH,
        margin_lower=lower, margin_upper=cut - marks[-1], gap_lower=2 * INCH, gap_upper=2 * INCH,
        top_first_hole_to_long=lower + lean // 2, bottom_first_hole_to_long=lower + lean // 2,
        top_last_hole_to_long=lower + lean // 2, bottom_last_hole_to_long=lower + lean // 2,
        marks=marks, window_low=clear - INCH, window_high=clear + INCH,
        as_measured=as_measured(clear, cut=cut, margin=lower, count=count, step=step),
        triangle_limit=INCH, rail_over_nosing=over, top_over_nosing=top, heights=noses,
        upper_post="A1", lower_post=f"{STAIR}-{side[0].upper()}", top_at_upper=top + INCH // 2,
        top_at_lower=rise_at_lower, bottom_at_upper=INCH, bottom_at_lower=rise_at_lower - 34 * INCH,
        foot_blocks=(cut // 2,), brackets=(), movement=movement(), weight=12000, people=1,
        handrail=cut if side in flight.handrail else None, handrail_brackets=3,
    )  # fmt: skip


def post_heights(
    layout: Layout, *, job: Job, level: tuple[LevelBay, ...]
) -> tuple[PostHeight, ...]:
    """Sleeves, cores and faces of every post."""
    sleeve = 40 * INCH
    built = {bay.name: bay for bay in level}
    out = []
    for post in layout.posts:
        faces = []
        for laid in layout.bays:
            bay = built.get(laid.name)
            if bay and post.name in {laid.left.post, laid.right.post}:
                depth, top = job.system.level.bottom_depth, job.system.level.top_depth
                faces += [
                    FaceMark(bay=bay.name, rail="bottom", underside=bay.sweep,
                             topside=bay.sweep + depth),
                    FaceMark(bay=bay.name, rail="top", underside=bay.top - top, topside=bay.top),
                ]  # fmt: skip
        out.append(
            PostHeight(
                post=post.name, rail_top=36 * INCH, sleeve=sleeve, core_least=36 * INCH,
                core_most=39 * INCH, reveal=job.system.sleeve.reveal, faces=tuple(faces),
            )
        )  # fmt: skip
    return tuple(out)


def bays_of(rng: Random, layout: Layout, *, job: Job) -> Bays:
    """All level bays of a layout, both sides of the job's first stair if it has one."""
    level = tuple(level_bay(rng, job=job, laid=b) for b in layout.bays if b.kind == "level")
    sides = tuple(
        stair_bay(job=job, flight=flight, side=side)
        for flight in job.stairs[:1]
        for side in flight.rails
    )
    return Bays(
        level=level, stair=sides, posts=post_heights(layout, job=job, level=level),
        spacer=job.system.spacer_block,
    )  # fmt: skip


def cuts_of(rng: Random, bays: Bays, *, job: Job) -> CutPlan:
    """A piece a bay, one to three on a bar, with kerfs; sleeves two to a stick."""
    kerf = job.company.saw_kerf
    pieces = [
        Piece(
            id=bay.name, job=job.job, revision=job.revision, bay=bay.name, rails="pair",
            orientation="level", system=job.system.key, colour=job.colour, length=bay.bottom_cut,
            holes=bay.balusters, margin_left=bay.margin_left, margin_right=bay.margin_right,
            saw_left_deg=bay.mitre_left_deg, saw_right_deg=bay.mitre_right_deg,
            long_left=bay.long_left, long_right=bay.long_right,
        )
        for bay in bays.level
    ]  # fmt: skip
    bars: list[Bar] = []
    waiting = list(pieces)
    while waiting:
        some, waiting = waiting[: rng.randint(1, 3)], waiting[3:]
        at, placed = 0, []
        for piece in some:
            placed.append(
                PlacedPiece(piece=piece.id, first_hole=rng.randint(1, 9), start=at,
                            end=at + piece.length)
            )  # fmt: skip
            at += piece.length + kerf
        long = at + marks_down(rng.uniform(1, 40) * INCH, job.step)
        offcut = Offcut(start=at, length=long - at, first_hole=2 * INCH, holes=2)
        kept = (offcut,) if rng.random() < 0.5 else ()
        bars.append(_bar(job, len(bars) + 1, long, placed, kept))
    named = {placed.piece for bar in bars for placed in bar.pieces}
    kept_pieces = tuple(p for p in pieces if p.id in named)
    return CutPlan(
        pieces=kept_pieces, bars=tuple(bars), plain=plain_bars(bays),
        set_ups=(
            SawSetUp(number=1, saw_left_deg=0.0, saw_right_deg=0.0,
                     bars=tuple(b.number for b in bars), pieces=tuple(p.id for p in kept_pieces)),
        ),
        kerf=kerf, cents=7301, bound_cents=7301, method="by hand",
    )  # fmt: skip


def _bar(
    job: Job, number: int, long: int, placed: list[PlacedPiece], kept: tuple[Offcut, ...]
) -> Bar:
    pitch = job.system.level.hole_pitch
    stock = StockRail(
        id="kit", kit="cove-level-96", orientation="level", system=job.system.key,
        colour=job.colour, length=long, first_hole=2 * INCH,
        holes=max(int((long - 3 * INCH) // pitch), 1), pitch=pitch, cents=7301,
    )  # fmt: skip
    return Bar(number=number, stock=stock, pieces=tuple(placed), waste=0, offcuts=kept)


def plain_bars(bays: Bays) -> tuple[PlainBar, ...]:
    """Sleeves, two to a stick."""
    names = [post.post for post in bays.posts]
    sticks = [names[i : i + 2] for i in range(0, len(names), 2)]
    long = 40 * INCH
    return tuple(
        PlainBar(
            number=i, what="sleeve", stock="cove-sleeve-96", length=96 * INCH,
            pieces=tuple((f"{n} sleeve", k * (long + 900), k * (long + 900) + long)
                         for k, n in enumerate(stick)),
            left=96 * INCH - len(stick) * (long + 900),
        )
        for i, stick in enumerate(sticks, 1)
    )  # fmt: skip
