"""What the layout asks of later stages, and what it hands back.

A later stage's functions come in here as callables; the pipeline joins them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Protocol

from schemas.layout import Layout
from schemas.lengths import Length
from schemas.rail_system import BracketKind
from schemas.record import Cents, Degrees
from schemas.site import Question

Leans = Literal["left", "right", "both"] | Length
"""Which end of an opening stands out of plumb; both, where it is not known; a figure: so much of
it is at the left end, the rest at the right. [1/320 mm]"""


class BayWorks(Protocol):
    """Whether a level bay of this opening can be built with legal end margins."""

    def __call__(
        self,
        *,
        clear: Length,
        left: BracketKind,
        right: BracketKind,
        top_more: Length = 0,
        leans: Leans = "both",
        left_deg: Degrees = 0,
        right_deg: Degrees = 0,
    ) -> bool:
        """Answer for one opening.

        Args:
            clear: At bottom-rail height, on a tape mark. [1/320 mm]
            left: Bracket at its left end.
            right: At its right end.
            top_more: How much wider it is at top-rail height, on a tape mark. [1/320 mm]
            leans: At which end.
            left_deg: Rail off square to the face it meets, left. [degrees]
            right_deg: Right. [degrees]
        """
        ...


class NearestLegal(Protocol):
    """The nearest openings below and above that can be built; none on a side without one."""

    def __call__(
        self,
        *,
        clear: Length,
        left: BracketKind,
        right: BracketKind,
        top_more: Length = 0,
        leans: Leans = "both",
        left_deg: Degrees = 0,
        right_deg: Degrees = 0,
    ) -> tuple[Length | None, Length | None]:
        """Answer for one opening, as `BayWorks` is asked."""
        ...


class StairWorks(Protocol):
    """Whether a stair bay of this opening can be built with legal end margins."""

    def __call__(self, *, riser: Length, tread: Length, clear: Length) -> bool:
        """Answer for one level opening on the slope of riser and tread. [1/320 mm]."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A level bay as a later stage sees it before it is made."""

    clear: Length
    """At bottom-rail height, on a tape mark. [1/320 mm]"""
    left: BracketKind
    right: BracketKind
    top_more: Length = 0
    """How much wider it is at top-rail height. [1/320 mm]"""
    leans: Leans = "both"
    left_deg: Degrees = 0
    right_deg: Degrees = 0


class Bill(Protocol):
    """What a set of bays takes from stock."""

    @property
    def cents(self) -> Cents:
        """Its price."""

    @property
    def kits(self) -> tuple[tuple[Length, int], ...]:
        """Lengths of stock and how many of each."""


class StockAsk(Protocol):
    """What the rails of such openings take from stock, all cut together."""

    def __call__(self, openings: tuple[Opening, ...], *, proven: bool) -> Bill | None:
        """Answer for openings that are cut together; none where one cannot be cut.

        Args:
            openings: In any order.
            proven: The least price even where that takes long; else none where it would.
        """
        ...


class Least(Protocol):
    """What the cheapest choice of layouts takes from stock."""

    @property
    def cents(self) -> Cents | None:
        """Its price; none: no choice was looked for or found."""

    @property
    def bound(self) -> Cents:
        """No choice takes less: proven."""

    @property
    def chosen(self) -> tuple[int, ...]:
        """Which layout of each stretch it is."""


class LeastStockAsk(Protocol):
    """The cheapest choice of one layout a stretch, all rails cut together."""

    def __call__(
        self, fixed: tuple[Opening, ...], choices: tuple[tuple[tuple[Opening, ...], ...], ...]
    ) -> Least | None:
        """Answer for a whole job; none where a rail cannot be cut.

        Args:
            fixed: Openings that are there in any case.
            choices: For each stretch its layouts, each as its openings.
        """
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Asks:
    """The questions the layout may put to later stages."""

    bay_works: BayWorks
    longest_clear: Length
    """Greatest opening between sleeve faces that the system allows. [1/320 mm]"""
    nearest_legal: NearestLegal
    most_fall: Length | None = None
    """How far the deck may fall within a level bay, on a mark; none: not asked. [1/320 mm]"""
    stock_bill: StockAsk | None = None
    """None: the price of stock does not move posts."""
    least_stock: LeastStockAsk | None = None
    """None: nothing is said of how near the layouts found are to the cheapest."""
    bay_has_room: BayWorks | None = None
    """Whether it still can with its posts set `room` off; none: nothing is preferred."""
    room: Length = 0
    """How far off their places posts are set. [1/320 mm]"""
    stair_works: StairWorks | None = None
    """None: mid posts part a flight into any openings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidOut:
    """A layout, or the questions that must be answered before there is one."""

    layout: Layout | None
    """None: at least one question stops it."""
    questions: tuple[Question, ...] = ()
