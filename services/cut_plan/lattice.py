"""The lattice of factory holes: which pieces can lie on which stock, in whole numbers.

Stock comes with its holes. A piece of n holes takes n holes in a row of the stock, so its
left end stands at first hole + k * pitch - margin for a whole k, and nowhere else.
Between two neighbours the next piece starts so many holes on that both margins and the
saw cut find room. Everything that decides whether a cut can be made is therefore a count
of holes; no fraction is ever compared.

Stock without holes is the same with a pitch of one step and one kind of end.

Source:
    Derived from the geometry above; the counts of a joint are the rounding up of
    (margin + kerf + margin) / pitch.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, cos, radians
from typing import Literal, NamedTuple

from schemas.cut_plan import Piece, StockRail
from schemas.errors import GeometryError


class RailEnd(NamedTuple):
    """One end of one rail of a piece."""

    margin: int
    """End to the centre of the nearest hole. [length]"""
    reach: int
    """Long point beyond that end; 0 for a square cut. [length]"""
    deg: float
    """Saw setting off square. [degrees]"""


class PairEnd(NamedTuple):
    """One end of what is cut from a stock pair: both its rails start at the same hole."""

    top: RailEnd
    bottom: RailEnd


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """Pieces that are one and the same to the saw."""

    holes: int
    """Holes it takes in a row. [> 0]"""
    left: int
    """Number of its kind of left end."""
    right: int
    """Number of its kind of right end."""
    wanted: int
    """How many. [> 0]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stick:
    """One kind of stock, seen as a row of holes counted from 0."""

    holes: int
    first: tuple[int, ...]
    """For each kind of left end: the first hole at which such a piece may begin."""
    last: tuple[int, ...]
    """For each kind of right end: the last hole at which such a piece may finish; -1 for none."""
    price: int
    """[cents]"""
    supply: int | None
    """How many there are; none is as many as wanted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lattice:
    """Pieces and stock of one system, colour and orientation, in holes."""

    kinds: tuple[Kind, ...]
    sticks: tuple[Stick, ...]
    joint: tuple[tuple[int, ...], ...]
    """joint[right end][left end]: holes from a piece's last to the next one's first. [>= 1]"""

    def starts(self, *, stick: int, order: tuple[int, ...]) -> tuple[int, ...] | None:
        """First-hole numbers of pieces laid as far left as they go, or None if they do not fit.

        Args:
            stick: Which stock.
            order: Kinds from left to right.
        """
        bar = self.sticks[stick]
        places: list[int] = []
        least = 0
        for at, name in enumerate(order):
            kind = self.kinds[name]
            if at == 0:
                least = bar.first[kind.left]
            else:
                before = self.kinds[order[at - 1]]
                least += before.holes - 1 + self.joint[before.right][kind.left]
            if least + kind.holes - 1 > bar.holes - 1:
                return None
            places.append(least)
        if (
            order
            and places[-1] + self.kinds[order[-1]].holes - 1 > bar.last[self.kinds[order[-1]].right]
        ):
            return None
        return tuple(places)


def along(*, kerf: int, deg: float) -> int:
    """What a saw cut takes along the rail, rounded up: kerf / cos(saw setting).

    Args:
        kerf: Width of the blade's cut. [length, >= 0]
        deg: Saw setting off square. [degrees, under 90]

    Raises:
        GeometryError: The saw cannot be set so.
    """
    if not -90 < deg < 90:
        msg = f"no saw setting: {deg=}"
        raise GeometryError(msg)
    return kerf if deg == 0 else ceil(kerf / cos(radians(deg)))


def room(*, right: RailEnd, left: RailEnd, kerf: int, plumb: bool) -> int:
    """Least distance from one piece's last hole to the next piece's first, on one rail.

    Square ends: margin + kerf + margin. An angled end needs its long point's reach as well.
    Mitres of level rails may lean either way, so both reaches are kept free. Plumb cuts of
    stair rails all lean the same way: at equal setting they lie in each other and only the
    cut itself is lost; at unequal setting the larger reach covers the difference, since
    depth * |tan a - tan b| <= depth * max(tan a, tan b).

    Args:
        right: The piece's right end.
        left: The next piece's left end.
        kerf: Width of the blade's cut. [length, >= 0]
        plumb: Stair rails, laid with their lower ends to the left.
    """
    cut = max(along(kerf=kerf, deg=right.deg), along(kerf=kerf, deg=left.deg))
    if not plumb:
        reach = right.reach + left.reach
    elif right.deg == left.deg:
        reach = 0
    else:
        reach = max(right.reach, left.reach)
    return right.margin + reach + cut + left.margin


def joint(*, right: PairEnd, left: PairEnd, kerf: int, pitch: int, plumb: bool) -> int:
    """Holes from a piece's last to the next one's first: room / pitch, rounded up, at least 1."""
    rooms = [
        room(right=one, left=other, kerf=kerf, plumb=plumb)
        for one, other in zip(right, left, strict=True)
    ]
    return max([1, *(-(-need // pitch) for need in rooms)])


def first_place(*, stock: StockRail, left: PairEnd) -> int:
    """The first hole of the stock, from 0, at which a piece with this left end may begin.

    Its left end, long point included, must lie clear of the end and of what is trimmed off.
    A square end on the very end of clean stock needs no cut.
    """
    need = max(rail.margin + rail.reach for rail in left) + stock.trim_left
    return max(0, -(-(need - stock.first_hole) // stock.pitch))


def last_place(*, stock: StockRail, right: PairEnd) -> int:
    """The last hole of the stock, from 0, at which a piece with this right end may finish."""
    need = max(rail.margin + rail.reach for rail in right) + stock.trim_right
    return max(-1, min(stock.holes - 1, (stock.length - need - stock.first_hole) // stock.pitch))


def pair_end(pieces: tuple[Piece, ...], side: Literal["left", "right"]) -> PairEnd:
    """The end of what is cut together: a pair, or a top and a bottom rail of two lengths.

    A rail without its fellow keeps the same room free on the other rail of the stock.
    """
    ends = {piece.rails: _end(piece, side) for piece in pieces}
    first = next(iter(ends.values()))
    return PairEnd(ends.get("top", first), ends.get("bottom", first))


def _end(piece: Piece, side: Literal["left", "right"]) -> RailEnd:
    if side == "left":
        return RailEnd(piece.margin_left, piece.reach_left, piece.saw_left_deg)
    return RailEnd(piece.margin_right, piece.reach_right, piece.saw_right_deg)


def check_piece(piece: Piece, *, pitch: int) -> None:
    """Refuse a piece that its own numbers contradict.

    Raises:
        GeometryError: Margins and holes do not add up to its length, or a margin reaches
            the next hole of the stock.
    """
    spans = piece.margin_left + (piece.holes - 1) * pitch + piece.margin_right
    if piece.holes < 1 or spans != piece.length:
        msg = f"piece {piece.id}: margins and holes give {spans}, not {piece.length}; {pitch=}"
        raise GeometryError(msg)
    if not (0 < piece.margin_left < pitch and 0 < piece.margin_right < pitch):
        msg = (
            f"piece {piece.id}: margins {piece.margin_left} and {piece.margin_right} "
            f"must lie between 0 and the pitch {pitch}"
        )
        raise GeometryError(msg)
