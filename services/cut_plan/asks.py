"""What other stages may ask of the cut plan: what a set of bays takes from stock."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal, Protocol, TypeVar

from schemas.cut_plan import Piece, StockRail
from schemas.job import Job
from schemas.lengths import Length
from schemas.record import Cents
from services.cut_plan.optimum import cheapest_bars
from services.cut_plan.pieces import reach
from services.cut_plan.reading import groups
from services.cut_plan.sharing import Rail, RailCut, Sharing
from services.cut_plan.stock import stock_rails, with_boxed

SECONDS = 2.0
"""Time the solver may take for one price. [s]"""
Opening = TypeVar("Opening")
Asked_contra = TypeVar("Asked_contra", contravariant=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class StockBill:
    """What a set of bays takes from stock."""

    cents: Cents
    kits: tuple[tuple[Length, int], ...]
    """Lengths of stock and how many of each, the shortest first."""


class Bills(Protocol[Asked_contra]):
    """What a set of openings takes from stock."""

    def __call__(self, openings: tuple[Asked_contra, ...], *, proven: bool) -> StockBill | None:
        """At the least price; where rails are too many to tell it fast, only if to be proven."""


def stock_bill(job: Job, *, cut: Callable[[Opening], RailCut | None]) -> Bills[Opening]:
    """What level bays would take from stock, as a question for the layout.

    Args:
        job: With its system, price book and saw.
        cut: How the rails of an opening would be cut; none where no rail fits.

    Returns:
        What openings take; none where one has no rail or a rail no stock, or where rails are
        too many and the price is not to be proven.
    """
    level = _level_stock(job)
    sharing = Sharing(stock=level, kerf=job.company.saw_kerf)

    cuts: dict[int, RailCut] = {}

    @cache
    def named(opening: Opening) -> int | None:
        found = cut(opening)
        if found is None:
            return None
        pointed = _pointed(job, found)
        name = sharing.named(pointed)
        cuts[name] = pointed
        return name if sharing.has(name) else None

    @cache
    def of_sorted(names: tuple[int, ...], *, proven: bool) -> StockBill | None:
        stock = sharing.least(names)
        if stock is None and not proven:
            return None
        if stock is None:
            stock = _solved(job, [cuts[name] for name in names], level)
        return StockBill(
            cents=sum(one.net_cents for one in stock),
            kits=tuple(sorted(Counter(one.length for one in stock).items())),
        )

    def bill(openings: tuple[Opening, ...], *, proven: bool) -> StockBill | None:
        names = [name for one in openings if (name := named(one)) is not None]
        whole = len(names) == len(openings)
        return of_sorted(tuple(sorted(names)), proven=proven) if whole else None

    return bill


def _level_stock(job: Job) -> tuple[StockRail, ...]:
    """Kits for level bays, each worth the less for the brackets in its box."""
    rail = (job.system.level.hole_pitch, *2 * (job.system.level.hole_pitch // 2,))
    one = _piece(job, 0, RailCut(holes=1, bottom=rail, top=rail), "pair", rail)
    level = tuple(one for one in stock_rails(job) if one.orientation == "level")
    return with_boxed(level, (one,), job=job)


def _pointed(job: Job, cut: RailCut) -> RailCut:
    """The same rails with the long points of their mitres."""
    width = max(job.system.level.top_width, job.system.level.bottom_width)
    return replace(
        cut,
        left_reach=reach(across=width, deg=cut.left_deg, share=2),
        right_reach=reach(across=width, deg=cut.right_deg, share=2),
    )


def _solved(job: Job, cuts: Sequence[RailCut], stock: Sequence[StockRail]) -> tuple[StockRail, ...]:
    """Stock for more rails than can be looked at set by set."""
    pieces = [piece for number, one in enumerate(cuts) for piece in _pieces(job, number, one)]
    return tuple(
        group.stock[bar.stick]
        for group in groups(pieces=pieces, stock=stock, kerf=job.company.saw_kerf)
        for bar in cheapest_bars(group.lattice, seconds=SECONDS)
    )


def _pieces(job: Job, number: int, cut: RailCut) -> tuple[Piece, ...]:
    if cut.top == cut.bottom:
        return (_piece(job, number, cut, "pair", cut.bottom),)
    return (
        _piece(job, number, cut, "top", cut.top),
        _piece(job, number, cut, "bottom", cut.bottom),
    )


def _piece(
    job: Job, number: int, cut: RailCut, rails: Literal["pair", "top", "bottom"], rail: Rail
) -> Piece:
    length, left, right = rail
    return Piece(
        id=f"bay {number} {rails}",
        job=job.job,
        revision=job.revision,
        bay=f"bay {number}",
        rails=rails,
        orientation="level",
        system=job.system.key,
        colour=job.colour,
        length=length,
        holes=cut.holes,
        margin_left=left,
        margin_right=right,
        saw_left_deg=cut.left_deg,
        saw_right_deg=cut.right_deg,
        reach_left=cut.left_reach,
        reach_right=cut.right_reach,
        brackets=4,
    )
