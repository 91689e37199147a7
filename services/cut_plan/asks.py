"""What other stages may ask of the cut plan: what a set of bays takes from stock."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal, Protocol, TypeVar

from schemas.cut_plan import Piece, StockRail
from schemas.errors import NoLayout
from schemas.job import Job
from schemas.lengths import Length
from schemas.record import Cents
from services.cut_plan.lattice import Lattice
from services.cut_plan.layouts import Least, least_choice
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
    cut = cache(cut)
    sharing = cache(lambda boxed: _Shared(job, boxed))

    def bill(openings: tuple[Opening, ...], *, proven: bool) -> StockBill | None:
        cuts = [found for one in openings if (found := cut(one)) is not None]
        if len(cuts) < len(openings):
            return None
        return sharing(_boxed(cuts)).bill(cuts, proven=proven)

    return bill


def _boxed(cuts: Sequence[RailCut]) -> int:
    """How many of a kit's boxed brackets every bay could use, on the average."""
    return sum(one.brackets for one in cuts) // max(1, len(cuts))


class _Shared:
    """Bills of rails at the price of kits of whose boxed brackets so many are used."""

    def __init__(self, job: Job, boxed: int) -> None:
        self._job = job
        self._stock = _level_stock(job, boxed=boxed)
        self._sharing = Sharing(stock=self._stock, kerf=job.company.saw_kerf)
        self._cuts: dict[int, RailCut] = {}
        self._names: dict[RailCut, int | None] = {}
        self._bills: dict[tuple[tuple[int, ...], bool], StockBill | None] = {}

    def bill(self, cuts: Sequence[RailCut], *, proven: bool) -> StockBill | None:
        """What these rails take; none as `Bills` says."""
        names = [name for one in cuts if (name := self._named(one)) is not None]
        if len(names) < len(cuts):
            return None
        key = (tuple(sorted(names)), proven)
        if key not in self._bills:
            self._bills[key] = self._of_sorted(*key)
        return self._bills[key]

    def _named(self, cut: RailCut) -> int | None:
        if cut not in self._names:
            pointed = _pointed(self._job, cut)
            name = self._sharing.named(pointed)
            self._cuts[name] = pointed
            self._names[cut] = name if self._sharing.has(name) else None
        return self._names[cut]

    def _of_sorted(self, names: tuple[int, ...], proven: bool) -> StockBill | None:  # noqa: FBT001 half of a key
        stock = self._sharing.least(names)
        if stock is None and not proven:
            return None
        if stock is None:
            stock = _solved(self._job, [self._cuts[name] for name in names], self._stock)
        return StockBill(
            cents=sum(one.net_cents for one in stock),
            kits=tuple(sorted(Counter(one.length for one in stock).items())),
        )


class LeastStock(Protocol[Asked_contra]):
    """What openings take from stock at least, where stretches have several layouts each."""

    def __call__(
        self,
        fixed: tuple[Asked_contra, ...],
        choices: tuple[tuple[tuple[Asked_contra, ...], ...], ...],
    ) -> Least | None:
        """The cheapest choice of one layout a stretch; none where a rail cannot be cut.

        Args:
            fixed: Openings that are there in any case.
            choices: For each stretch its layouts, each as its openings.
        """


def least_stock(job: Job, *, cut: Callable[[Opening], RailCut | None]) -> LeastStock[Opening]:
    """What level bays take at least over all layouts that were looked at, as a question.

    Args:
        job: With its system, price book and saw.
        cut: How the rails of an opening would be cut; none where no rail fits.
    """

    def least(
        fixed: tuple[Opening, ...], choices: tuple[tuple[tuple[Opening, ...], ...], ...]
    ) -> Least | None:
        every = dict.fromkeys(
            (*fixed, *(one for some in choices for rails in some for one in rails))
        )
        cuts = {one: found for one in every if (found := cut(one)) is not None}
        if len(cuts) < len(every):
            return None
        first = (*fixed, *(one for layouts in choices for one in layouts[0]))
        level = _level_stock(job, boxed=_boxed([cuts[one] for one in first]))
        pointed = {one: _pointed(job, found) for one, found in cuts.items()}
        numbers = {rail: number for number, rail in enumerate(dict.fromkeys(pointed.values()))}
        pieces = [piece for rail, n in numbers.items() for piece in _pieces(job, n, rail)]
        try:
            (group,) = groups(pieces=pieces, stock=level, kerf=job.company.saw_kerf)
        except NoLayout:
            return None
        of_bay = {part[0].bay: kind for kind, parts in enumerate(group.parts) for part in parts}

        def names(openings: tuple[Opening, ...]) -> tuple[int, ...]:
            return tuple(of_bay[f"bay {numbers[pointed[one]]}"] for one in openings)

        there = names(fixed)
        layouts = [[names(rails) for rails in some] for some in choices]
        return least_choice(_most_of(group.lattice, there, layouts), fixed=there, choices=layouts)

    return least


def _most_of(
    lattice: Lattice, fixed: tuple[int, ...], choices: Sequence[Sequence[tuple[int, ...]]]
) -> Lattice:
    """The lattice with as many of each rail as any choice may have."""
    most = Counter(fixed)
    for layouts in choices:
        most.update(
            {
                kind: max(rails.count(kind) for rails in layouts)
                for kind in {kind for rails in layouts for kind in rails}
            }
        )
    kinds = tuple(
        replace(kind, wanted=max(1, most[name])) for name, kind in enumerate(lattice.kinds)
    )
    return replace(lattice, kinds=kinds)


def _level_stock(job: Job, *, boxed: int) -> tuple[StockRail, ...]:
    """Kits for level bays, each worth the less for those brackets in its box that are used."""
    rail = (job.system.level.hole_pitch, *2 * (job.system.level.hole_pitch // 2,))
    one = RailCut(holes=1, bottom=rail, top=rail, brackets=boxed)
    level = tuple(one for one in stock_rails(job) if one.orientation == "level")
    return with_boxed(level, _pieces(job, 0, one), job=job)


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
        brackets=cut.brackets,
    )
