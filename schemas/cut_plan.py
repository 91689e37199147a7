"""The cut plan: which piece comes from which stock, from which hole, at which saw setting.

In: the rails that the bays need, and stock. Out: bars with pieces placed on them, the
plan's cost, its proven lower bound and the gap between them.

Source:
    Gilmore and Gomory 1961: cutting stock by patterns; here each pattern is tested on the
    lattice of factory holes.
"""

from __future__ import annotations

from typing import Literal

from schemas.layout import LongSide
from schemas.lengths import Length
from schemas.record import Cents, Degrees, Key, Line, Record

CutIn = Literal["site", "shop"]
"""Where a rail is cut."""
PlainKind = Literal["sleeve", "core", "handrail", "stiffener"]
"""Stock without holes."""


class Piece(Record):
    """A rail to cut, or a matched pair: one pattern of holes serves top and bottom rail."""

    id: Line
    """Name on its ticket, e.g. ``A1-A2`` for a pair, ``A1-A2 top`` when the two differ."""
    job: Key
    revision: int
    bay: Line
    rails: Literal["pair", "top", "bottom"]
    orientation: Literal["level", "stair"]
    system: Key
    colour: Key
    length: Length
    """On the line of its holes."""
    holes: int
    margin_left: Length
    """Left end to first hole centre on the line of the holes; lower end for a stair."""
    margin_right: Length
    saw_left_deg: Degrees
    """Saw setting off square. [degrees]"""
    saw_right_deg: Degrees
    long_left: LongSide | None = None
    """Level rail: on which side its left end is longer; none: cut square."""
    long_right: LongSide | None = None
    brackets: int = 0
    """How many brackets of the kind that is boxed with kits its bay takes for it."""
    tickets: tuple[Line, ...] = ()
    """Numbers of its cut tickets, one a rail, top before bottom; job and revision stand in them."""
    cut_in: CutIn = "site"
    """Shop: cut ahead, together with other jobs' rails; the posts stand and were measured at two
    heights. Site: cut to the opening found."""
    reach_left: Length = 0
    """How far its long point stands out beyond its left end, rounded up; 0 for a square cut."""
    reach_right: Length = 0


class StockRail(Record):
    """A stock rail pair to cut from: a kit, or a kept offcut of known phase."""

    id: Line
    """Kit key, or the offcut's tag."""
    kit: Key | None
    """None is an offcut."""
    orientation: Literal["level", "stair"]
    system: Key
    colour: Key
    length: Length
    first_hole: Length
    """Left end to first hole centre."""
    holes: int
    pitch: Length
    trim_left: Length = 0
    """Least to be cut off that end; 0 where it is clean."""
    trim_right: Length = 0
    cents: Cents
    """Price of taking it; 0 for an offcut."""
    boxed_cents: Cents = 0
    """What its boxed brackets would cost loose; only as many as every kit of the plan can use."""
    supply: int | None = None
    """How many there are; none is as many as wanted."""

    @property
    def net_cents(self) -> Cents:
        """What taking it costs the job, when its brackets need not be bought."""
        return max(0, self.cents - self.boxed_cents)


class PlacedPiece(Record):
    """A piece on a bar."""

    piece: Line
    """Id of the piece."""
    first_hole: int
    """Which hole of the stock, counted from its left end as 1, is the piece's first."""
    start: Length
    """Its left end, from the stock's left end."""
    end: Length


class Offcut(Record):
    """What is left of a bar and worth keeping."""

    start: Length
    """From the stock's left end."""
    length: Length
    first_hole: Length
    """Its own left end to its first hole centre; its length and more when it has no hole."""
    holes: int


class Bar(Record):
    """One stock rail pair with its cuts, from its left end."""

    number: int
    """Order in the cut list, from 1."""
    stock: StockRail
    pieces: tuple[PlacedPiece, ...]
    waste: Length
    """Kerfs, trims and scraps of the top rail: stock = pieces + waste + offcuts, exactly."""
    offcuts: tuple[Offcut, ...]
    waste_bottom: Length | None = None
    """The same of the bottom rail, where a bay of two rail lengths makes it differ; none: equal."""


class PlainPiece(Record):
    """A piece without holes: sleeve, core, handrail, stiffener."""

    id: Line
    """E.g. ``A1 sleeve``."""
    what: PlainKind
    length: Length
    """As it is cut."""
    made_of: Line = "any"
    """Which sticks it may come from: system and colour, or the core's size."""
    job: Key | None = None
    revision: int = 0
    ticket: Line | None = None
    """Number of its cut ticket; job and revision stand in it. None: cut where it is used."""
    cut_in: CutIn = "site"
    """Shop: cut ahead, together with other jobs'."""
    over: Length = 0
    """How much longer it is than it will be: trimmed on site, once its post stands."""


class PlainStock(Record):
    """A stock length without holes."""

    what: PlainKind
    key: Key
    """As in the price book; of an offcut, that of the stick it is left of."""
    length: Length
    cents: Cents
    """Price of taking it; 0 for an offcut."""
    trim_left: Length = 0
    """Squared off that end before the first cut; 0 where it is clean."""
    trim_right: Length = 0
    """No piece runs into so much of that end; 0 where it is clean."""
    supply: int | None = None
    """How many there are; none is as many as wanted."""
    tag: Line | None = None
    """Tag of an offcut; none: it is bought."""
    made_of: Line = "any"
    """For which pieces: system and colour, or the core's size."""


class RackPiece(Record):
    """An offcut on the rack: a pair of rails of one length and one phase of holes, or a stick."""

    stock: StockRail | PlainStock
    """As a plan takes it; its id, or its tag, is the tag on the piece."""
    home: Key | None
    """Job whose bar it is left of; none: put there by hand."""
    home_revision: int = 0

    @property
    def tag(self) -> str:
        """On the piece."""
        return self.stock.id if isinstance(self.stock, StockRail) else self.stock.tag or ""


class PlainBar(Record):
    """One plain stock length with its cuts."""

    number: int
    what: PlainKind
    stock: Key
    length: Length
    pieces: tuple[tuple[Line, Length, Length], ...]
    """Piece id, start and end from the left end."""
    trim: Length = 0
    """Squared off its left end before the first cut; 0 where it is clean or goes along uncut."""
    kerf: Length = 0
    """All cuts between and behind the pieces: length = trim + pieces + kerf + left, exactly."""
    left: Length
    """What remains beyond the last cut, its far end as it came."""
    racked: bool = False
    """What remains is long enough to keep and goes to the rack."""
    trim_right: Length = 0
    """What its far end still wants squared off before a piece may end there."""
    made_of: Line = "any"
    """For which pieces."""
    cut_in: CutIn = "site"
    """Where it is cut."""
    cents: Cents = 0
    """Price of the stock length."""
    tag: Line | None = None
    """Tag of the offcut it is; none: it is bought."""


class SawStop(Record):
    """Pieces cut to one length, the stop block set once."""

    length: Length
    """From blade to stop: the cut length."""
    pieces: tuple[Line, ...]


class SawSetUp(Record):
    """Pieces cut at one setting, in order: longest first, the rails of a bay together."""

    number: int
    saw_left_deg: Degrees
    saw_right_deg: Degrees
    long_left: LongSide | None = None
    """On which side left ends come out longer; none: square, or a stair's."""
    long_right: LongSide | None = None
    bars: tuple[int, ...]
    """Numbers of the bars on which they lie."""
    pieces: tuple[Line, ...]
    stops: tuple[SawStop, ...] = ()
    """The same pieces in the same order, by the stop at which they are cut."""


class BoundProof(Record):
    """A worth for every piece that proves a bound by addition alone.

    No stock can hold pieces worth more than its price, so all pieces together cannot cost
    less than they are worth. Stock of which there are few may be worth more than it
    costs; what it is worth over its price is taken off the sum, once for each there is.
    """

    orientation: Literal["level", "stair"]
    system: Key
    colour: Key
    scale: int
    """Parts of a cent in which worth is counted."""
    worth: tuple[tuple[Line, int], ...]
    """Id of the first piece of each kind, and the worth of each of that kind. [cents / scale]"""
    cut_in: CutIn = "site"
    cents: Cents
    """What these prove for this system, colour, orientation and place of cutting."""


class PlainProof(Record):
    """The same for stock without holes: a worth for every length."""

    what: PlainKind
    made_of: Line = "any"
    cut_in: CutIn = "site"
    scale: int
    """Parts of a cent in which worth is counted."""
    worth: tuple[tuple[Length, int], ...]
    """Each length, and the worth of each of that length. [cents / scale]"""
    cents: Cents
    """What these prove."""


class CutPlan(Record):
    """All cuts of a job, a crew's day or a night."""

    pieces: tuple[Piece, ...]
    bars: tuple[Bar, ...]
    plain: tuple[PlainBar, ...]
    plain_pieces: tuple[PlainPiece, ...] = ()
    """What is cut from sticks, by name."""
    set_ups: tuple[SawSetUp, ...]
    kerf: Length
    cents: Cents
    """Price of the rail stock taken, less what its boxed brackets would cost loose."""
    bound_cents: Cents
    """No plan can cost less: proven."""
    method: Line
    """How it was found and what the bound rests on, in words."""
    seconds_allowed: float = 0
    """Time limit given to the solver; 0 is none. [s]"""
    first_fit_cents: Cents = 0
    """What the same pieces cost when each goes, longest first, into the first bar that takes it."""
    proofs: tuple[BoundProof, ...] = ()
    """Bounds that can be checked again by whole-number arithmetic, without the solver."""
    offered: tuple[StockRail, ...] = ()
    """Offcuts of the rack that were set aside for this plan, whether it takes them or not."""
    plain_offered: tuple[PlainStock, ...] = ()
    """And rests of sticks."""
    plain_cents: Cents = 0
    """Price of the stock without holes."""
    plain_bound_cents: Cents = 0
    """No plan of it can cost less: proven."""
    plain_method: Line = "nothing to cut"
    """How that was found and what its bound rests on, in words."""
    plain_proofs: tuple[PlainProof, ...] = ()
    """Bounds of the stock without holes, to be checked again in the same way."""

    @property
    def plain_gap(self) -> float:
        """The same for stock without holes."""
        if not self.plain_cents:
            return 0.0
        return (self.plain_cents - self.plain_bound_cents) / self.plain_cents

    @property
    def gap(self) -> float:
        """How far the plan may be from the best: 0 is proven best."""
        return (self.cents - self.bound_cents) / self.cents if self.cents else 0.0

    def piece(self, name: str) -> Piece:
        """The piece of that id."""
        return next(piece for piece in self.pieces if piece.id == name)
