"""Cutting for several jobs together, in the shop, before anybody goes out.

Only what cannot change any more is cut ahead: level rails between walls and posts in place
whose opening was measured at both rail heights; cores by an approved detail; and sleeves, left
long enough to be trimmed. Rails between posts still to be set wait for the opening found. So
does all that hangs on a flight: its rails, and core and sleeve of the posts at its foot and in
it, whose height is only known once the line is proved.

Source:
    Common practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from schemas.cut_plan import CutPlan, Piece, PlainStock, StockRail
from schemas.job import Job
from schemas.layout import Layout
from services.cut_plan.check import check_all
from services.cut_plan.solve import plan_cuts
from services.cut_plan.stock import plain_stock, stock_rails, with_boxed


def ready_to_cut(job: Job, layout: Layout) -> frozenset[str]:
    """Names of the bays whose rails may be cut ahead; none where each job is cut by itself."""
    if job.company.cut_for == "job":
        return frozenset()
    return frozenset(
        name
        for line in job.lines
        for leg in line.legs
        for name in _measured_twice(leg.name, [c.top is not None for c in leg.clears], layout)
    )


def _measured_twice(leg: str, twice: Sequence[bool], layout: Layout) -> Iterable[str]:
    """A leg's bays in place, read at two heights; none if its openings and bays do not pair."""
    along = [bay for bay in layout.bays if bay.leg == leg and bay.kind != "stair"]
    if len(along) != len(twice):
        return
    for bay, both in zip(along, twice, strict=True):
        if bay.kind == "level" and bay.measured and both:
            yield bay.name


_PROVED_ON_SITE = ("stair-lower", "stair-mid")


def posts_cut_ahead(job: Job, layout: Layout) -> frozenset[str]:
    """Names of the posts to set whose core and sleeve may be cut ahead."""
    if job.company.cut_for == "job":
        return frozenset()
    return frozenset(
        post.name
        for post in layout.posts
        if not post.in_place and post.where not in _PROVED_ON_SITE and job.fixing_of(post)
    )


def pool_cuts(
    jobs: Sequence[tuple[Job, CutPlan]],
    *,
    rack: Iterable[StockRail | PlainStock] = (),
    seconds: float = 60.0,
) -> CutPlan | None:
    """Cut what may be cut ahead of several jobs as if it were one job's.

    Args:
        jobs: Each with its own plan, which stays valid as it is; one company's.
        rack: Offcuts set aside for the shop.
        seconds: Time the solver may take for each system and colour. [s]

    Returns:
        The plan; its pieces' names begin with their job. None if nothing may be cut ahead.
    """
    pieces = tuple(
        piece
        for _, cuts in jobs
        for piece in named_for_night(p for p in cuts.pieces if p.cut_in == "shop")
    )
    sticks = tuple(
        piece.model_copy(update={"id": f"{piece.job} {piece.id}"[:200]})
        for _, cuts in jobs
        for piece in cuts.plain_pieces
        if piece.cut_in == "shop"
    )
    if not pieces and not sticks:
        return None
    rack = tuple(rack)
    rails = [one for one in rack if isinstance(one, StockRail)]
    rests = [one for one in rack if isinstance(one, PlainStock)]
    stock: dict[tuple[str, str, str, str], StockRail] = {}
    for job, _ in jobs:
        for one in with_boxed(stock_rails(job, rails), pieces, job=job):
            key = (one.orientation, one.system, one.colour, one.id)
            if key not in stock or one.boxed_cents:
                stock[key] = one
    plain = {
        (one.what, one.made_of, one.key, one.tag): one
        for job, _ in jobs
        for one in plain_stock(job, rests)
    }
    company = jobs[0][0].company
    cuts = plan_cuts(
        pieces=pieces,
        stock=stock.values(),
        plain=sticks,
        plain_stock=plain.values(),
        kerf=company.saw_kerf,
        keep=company.keep_offcut,
        seconds=seconds,
    )
    return check_all(
        cuts,
        stock=tuple(stock.values()),
        plain_stock=tuple(plain.values()),
        keep=company.keep_offcut,
    )


def named_for_night(pieces: Iterable[Piece]) -> tuple[Piece, ...]:
    """The same pieces with their job before their name, so that several jobs can be cut as one."""
    return tuple(
        piece.model_copy(update={"id": f"{piece.job} {piece.id}"[:200]}) for piece in pieces
    )
