"""The pieces to cut, read from the bays: rails with holes, sleeves, handrail."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from collections.abc import Set as AbstractSet
from itertools import count
from math import ceil, radians, tan
from typing import Literal

from schemas.bays import Bays, LevelBay, PostHeight, StairBay
from schemas.company import FixingDetail
from schemas.cut_plan import Piece, PlainPiece
from schemas.errors import NoLayout, UnknownThing
from schemas.job import Job
from schemas.layout import Layout
from schemas.lengths import INCH
from schemas.rail_system import Stiffener
from services.cut_plan.pooling import posts_cut_ahead, ready_to_cut
from services.cut_plan.stock import core_stock, made_of
from services.tape import text_with_unit

LEAST_JOINED = 12 * INCH
"""No piece of a joined handrail is shorter (common practice)."""


def cut_pieces(job: Job, bays: Bays, layout: Layout | None = None) -> tuple[Piece, ...]:
    """Every rail of the job: level bays first, then stair bays, as the bays stand.

    A bay whose two rails are alike is one piece of the kind `pair`. A bay out of plumb is
    two pieces, `top` and `bottom`, which the plan cuts from the two rails of one stock pair.

    Args:
        job: The job.
        bays: Its bays as built.
        layout: Says which openings were measured between posts in place; none: cut all on site.
    """
    ahead = ready_to_cut(job, layout) if layout else frozenset()
    level = [piece for bay in bays.level for piece in _level(job, bay)]
    level = [
        piece.model_copy(update={"cut_in": "shop"}) if piece.bay in ahead else piece
        for piece in level
    ]
    return ticketed((*level, *(_stair(job, bay) for bay in bays.stair)))


def sticks_ticketed(
    pieces: Iterable[PlainPiece], *, after: Iterable[Piece]
) -> tuple[PlainPiece, ...]:
    """Sleeves and cores that are cut ahead, with tickets numbered on after the rails'.

    Args:
        pieces: All that is cut from sticks.
        after: The job's rails, with their tickets.
    """
    numbers = count(sum(len(piece.tickets) for piece in after) + 1)
    return tuple(
        piece.model_copy(update={"ticket": f"{piece.job}-{piece.revision}-{next(numbers):02}"})
        if piece.cut_in == "shop"
        else piece
        for piece in pieces
    )


def ticketed(pieces: Iterable[Piece]) -> tuple[Piece, ...]:
    """The pieces with their cut tickets numbered through: job, revision, number of the rail."""
    numbers = count(1)
    return tuple(
        piece.model_copy(
            update={
                "tickets": tuple(
                    f"{piece.job}-{piece.revision}-{next(numbers):02}"
                    for _ in range(2 if piece.rails == "pair" else 1)
                )
            }
        )
        for piece in pieces
    )


def _level(job: Job, bay: LevelBay) -> tuple[Piece, ...]:
    rails = job.system.level
    top = (bay.top_cut, bay.top_margin_left, bay.top_margin_right)
    bottom = (bay.bottom_cut, bay.margin_left, bay.margin_right)
    if top == bottom:
        return (_mitred(job, bay, "pair", *top, width=max(rails.top_width, rails.bottom_width)),)
    return (
        _mitred(job, bay, "top", *top, width=rails.top_width),
        _mitred(job, bay, "bottom", *bottom, width=rails.bottom_width),
    )


def _mitred(
    job: Job,
    bay: LevelBay,
    rails: Literal["pair", "top", "bottom"],
    length: int,
    left: int,
    right: int,
    *,
    width: int,
) -> Piece:
    """A level rail; its holes run along the middle, so half its width stands out at a mitre."""
    return Piece(
        id=bay.name if rails == "pair" else f"{bay.name} {rails}",
        job=job.job,
        revision=job.revision,
        bay=bay.name,
        rails=rails,
        orientation="level",
        system=job.system.key,
        colour=job.colour,
        length=length,
        holes=bay.balusters,
        margin_left=left,
        margin_right=right,
        saw_left_deg=bay.mitre_left_deg,
        saw_right_deg=bay.mitre_right_deg,
        long_left=bay.long_left,
        long_right=bay.long_right,
        brackets=sum(fit.kind == "line" and rails in {"pair", fit.rail} for fit in bay.brackets),
        reach_left=reach(across=width, deg=bay.mitre_left_deg, share=2),
        reach_right=reach(across=width, deg=bay.mitre_right_deg, share=2),
    )


def _stair(job: Job, bay: StairBay) -> Piece:
    """A stair pair; its holes run along one face, so its whole depth stands out at a plumb cut.

    The bottom rail's long point stands out at the lower end, the top rail's at the upper one.
    """
    rails = job.stair_system.stair
    depth = max(rails.top_depth, rails.bottom_depth) if rails else 0
    out = reach(across=depth, deg=bay.saw_deg, share=1)
    return Piece(
        id=bay.name,
        job=job.job,
        revision=job.revision,
        bay=bay.name,
        rails="pair",
        orientation="stair",
        system=job.stair_system.key,
        colour=job.colour,
        length=bay.cut,
        holes=bay.balusters,
        margin_left=bay.margin_lower,
        margin_right=bay.margin_upper,
        saw_left_deg=bay.saw_deg,
        saw_right_deg=bay.saw_deg,
        brackets=sum(fit.kind == "stair" for fit in bay.brackets),
        reach_left=out,
        reach_right=out,
    )


def reach(*, across: int, deg: float, share: int) -> int:
    """How far an angled end's long point stands out: across * tan(saw setting) / share, up.

    Args:
        across: Section in the plane of the cut: width at a mitre, depth at a plumb cut.
        deg: Saw setting off square, either way. [degrees, under 90]
        share: 2 where the holes run along the middle, 1 where they run along a face.
    """
    return ceil(across * tan(radians(abs(deg))) / share)


def plain_pieces(job: Job, layout: Layout, bays: Bays) -> tuple[PlainPiece, ...]:
    """Cores, sleeves and handrail to cut; posts in place have both already.

    A core reaches from its foot, by the approved detail and never nearer to its lowest bolt than
    the end distance, to where it may end under the cap's tab; without a detail a whole stick goes
    along for each. Handrail longer than a stick is shared about evenly over as few sticks as can
    be, joined.

    Raises:
        NoLayout: The handrail's sticks are so short that it would be joined of stubs.
        UnknownThing: Posts are to be set, and the company file lists no core of their size.
    """
    to_set = {post.name: post for post in layout.posts if not post.in_place}
    posts = [post for post in bays.posts if post.post in to_set]
    ahead = posts_cut_ahead(job, layout)
    sleeves = [_sleeve(job, post, ahead=post.post in ahead) for post in posts]
    feet = {name: _foot(job.fixing_of(post)) for name, post in to_set.items()}
    ends = {bay.lower_post for bay in bays.stair}
    cores = [_long(job, core, ends) for core in _cores(job, posts, feet)] if posts else []
    cores = [
        core.model_copy(update={"cut_in": "shop"})
        if core.id.removesuffix(" core") in ahead
        else core
        for core in cores
    ]
    rails = [piece for bay in bays.stair for piece in _handrail(job, bay)]
    return tuple(
        piece.model_copy(
            update={"job": job.job, "revision": job.revision, "made_of": made_of(job, piece.what)}
        )
        for piece in (*cores, *sleeves, *rails)
    ) + tuple(_stiffeners(job, bays))


def _sleeve(job: Job, post: PostHeight, *, ahead: bool) -> PlainPiece:
    """A sleeve; one that is cut ahead is left longer, as far as a stick gives it."""
    long = max(job.company.squared(length) for _, length in job.system.sleeve.stock)
    over = max(0, min(job.company.shop_leaves, long - post.sleeve)) if ahead else 0
    return PlainPiece(
        id=f"{post.post} sleeve", what="sleeve", length=post.sleeve + over, over=over,
        cut_in="shop" if ahead else "site",
    )  # fmt: skip


def _stiffeners(job: Job, bays: Bays) -> Iterable[PlainPiece]:
    """Metal inside the rails, bought loose: each as long as its rail less its shortness."""
    level, stair = job.system.level.stiffener, job.stair_system.stair
    if level:
        cuts = {bay.name: {"top": bay.top_cut, "bottom": bay.bottom_cut} for bay in bays.level}
        yield from _inside(job, level, cuts, made_of=f"{job.system.key} level")
    if stair and stair.stiffener:
        cuts = {bay.name: {"top": bay.cut, "bottom": bay.cut} for bay in bays.stair}
        yield from _inside(job, stair.stiffener, cuts, made_of=f"{job.stair_system.key} stair")


def _inside(
    job: Job, sold: Stiffener, cuts: Mapping[str, Mapping[str, int]], *, made_of: str
) -> Iterable[PlainPiece]:
    for bay, rails in cuts.items():
        for rail in sold.rails:
            length = rails[rail] - 2 * sold.short
            if length > 0:
                yield PlainPiece(
                    id=f"{bay} {rail} stiffener", what="stiffener", length=length,
                    made_of=made_of, job=job.job, revision=job.revision,
                )  # fmt: skip


def _foot(detail: FixingDetail | None) -> int | None:
    """What a core is under the surface; none: its fixing is unknown."""
    return detail.core_foot if detail else None


def _cores(job: Job, posts: list[PostHeight], feet: Mapping[str, int | None]) -> list[PlainPiece]:
    stick = max((stock.length for stock in core_stock(job)), default=None)
    if stick is None:
        size = text_with_unit(job.post.core, job.step)
        msg = f"the company file lists no core stock of {size}; add it to `cores`"
        raise UnknownThing(msg)
    return [
        PlainPiece(
            id=f"{post.post} core",
            what="core",
            length=_core(job, post, foot=feet[post.post], stick=stick),
        )
        for post in posts
    ]


def _long(job: Job, core: PlainPiece, ends: AbstractSet[str]) -> PlainPiece:
    """The core of a post that ends a flight is left longer, as far as its stick gives it.

    Its top is cut once the stair's line is proved, which may stand higher than planned.
    """
    stick = max(job.company.squared(stock.length) for stock in core_stock(job))
    over = max(0, min(job.company.shop_leaves, stick - core.length))
    if core.id.removesuffix(" core") not in ends or not over:
        return core
    return core.model_copy(update={"length": core.length + over, "over": over})


def _core(job: Job, post: PostHeight, *, foot: int | None, stick: int) -> int:
    """So long that its foot stands under the lowest bolt wherever its top may be marked."""
    if foot is None:
        return stick
    return min(job.company.squared(stick), post.core_most + foot)


def _handrail(job: Job, bay: StairBay) -> Iterable[PlainPiece]:
    """As few sticks as can be, about alike; the level part behind its elbow stands alone."""
    sold = job.stair_system.handrail
    if bay.handrail is None or sold is None:
        return
    if bay.handrail_level:
        name = f"{bay.name} handrail level"
        yield PlainPiece(id=name, what="handrail", length=bay.handrail_level)
    stick = job.company.squared(sold.stock)
    lengths = shared(bay.handrail - bay.handrail_level, stick=stick, step=job.step)
    if len(lengths) > 1 and min(lengths) < LEAST_JOINED:
        msg = (
            f"{bay.name}: from sticks of {sold.key} its handrail would be joined of pieces under "
            f"{text_with_unit(LEAST_JOINED, job.step)}; a longer stick is needed"
        )
        raise NoLayout(msg)
    for number, length in enumerate(lengths, start=1):
        last = f" {number}" if len(lengths) > 1 else ""
        yield PlainPiece(id=f"{bay.name} handrail{last}", what="handrail", length=length)


def shared(length: int, *, stick: int, step: int) -> list[int]:
    """A length over as few sticks as can be, on tape marks; only the last may stand off one.

    No stub stands behind a whole stick: a joined piece is never under about half a stick.

    Args:
        length: The whole. [length, > 0]
        stick: The longest piece. [length]
        step: The tape's graduation. [length]

    Source:
        Common practice.
    """
    count = -(-length // stick)
    marks, rest = divmod(length, step)
    least, more = divmod(marks, count)
    lengths = [(least + (n < more)) * step for n in range(count)]
    lengths[-1] += rest
    if max(lengths) > stick:
        return [stick] * (count - 1) + [length - (count - 1) * stick]
    return lengths
