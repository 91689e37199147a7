"""Rails and stock made by hand for the cut plan's tests: three invented systems.

Sizes in inches. A, B and C differ in pitch, first hole and bracket room, so that their
lattices waste stock in different ways.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from random import Random
from typing import Literal

from schemas.cut_plan import Piece, StockRail
from schemas.lengths import INCH

SIXTEENTH = INCH // 16
KERF = INCH // 8
KEEP = 24 * INCH


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """An invented rail."""

    pitch: str
    first_hole: str
    least: str
    greatest: str
    kits: tuple[tuple[str, int], ...]
    """Length and price in cents."""


A = Profile(
    pitch="9/2", first_hole="9/4", least="3/2", greatest="67/16",
    kits=(("72", 11_200), ("96", 14_300), ("120", 18_900)),
)  # fmt: skip
B = Profile(
    pitch="37/8", first_hole="3", least="7/4", greatest="17/4",
    kits=(("72", 11_200), ("96", 14_300)),
)  # fmt: skip
C = Profile(
    pitch="5", first_hole="5/2", least="9/4", greatest="71/16",
    kits=(("72", 11_200), ("96", 14_300), ("120", 18_900)),
)  # fmt: skip


def inches(size: str | float) -> int:
    """A length in inches as the inside unit; it must be a whole number of them."""
    length = Fraction(size) * INCH
    assert length.denominator == 1, size
    return int(length)


def kit(
    profile: Profile, size: str, *, cents: int = 0, trim: int = 0, name: str | None = None
) -> StockRail:
    """A kit: as many holes as leave at least the first hole's distance at its right end."""
    length, first, pitch = inches(size), inches(profile.first_hole), inches(profile.pitch)
    return StockRail(
        id=name or f"kit-{size}",
        kit=f"kit-{size}",
        orientation="level",
        system="demo",
        colour="white",
        length=length,
        first_hole=first,
        holes=(length - 2 * first) // pitch + 1,
        pitch=pitch,
        trim_left=trim,
        trim_right=trim,
        cents=cents,
    )


def kits(profile: Profile, *, trim: int = 0) -> tuple[StockRail, ...]:
    """All kits of a profile at their prices."""
    return tuple(kit(profile, size, cents=cents, trim=trim) for size, cents in profile.kits)


def offcut(
    profile: Profile, *, name: str, length: int, first_hole: int, supply: int = 1
) -> StockRail:
    """An offcut of any phase."""
    pitch = inches(profile.pitch)
    return StockRail(
        id=name,
        kit=None,
        orientation="level",
        system="demo",
        colour="white",
        length=length,
        first_hole=first_hole,
        holes=(length - first_hole) // pitch + 1,
        pitch=pitch,
        cents=0,
        supply=supply,
    )


def modes(profile: Profile, length: int, *, step: int = SIXTEENTH) -> list[tuple[int, int, int]]:
    """Every count of holes with both margins inside the limits: holes, left, right margin.

    The left margin is rounded down to the step; the right one is what remains.
    """
    pitch, least, greatest = (
        inches(size) for size in (profile.pitch, profile.least, profile.greatest)
    )
    found = []
    for holes in range(1, length // pitch + 2):
        both = length - (holes - 1) * pitch
        left = both // 2 // step * step
        if least <= left and both - left <= greatest:
            found.append((holes, left, both - left))
    return found


def piece(
    name: str,
    *,
    holes: int,
    left: int,
    right: int,
    pitch: int,
    orientation: Literal["level", "stair"] = "level",
    rails: Literal["pair", "top", "bottom"] = "pair",
    saw: tuple[float, float] = (0, 0),
    reach: tuple[int, int] = (0, 0),
    bay: str | None = None,
) -> Piece:
    """A piece of the demo system; its length follows from holes and margins."""
    return Piece(
        id=name,
        job="J-1",
        revision=1,
        bay=bay or name,
        rails=rails,
        orientation=orientation,
        system="demo",
        colour="white",
        length=left + (holes - 1) * pitch + right,
        holes=holes,
        margin_left=left,
        margin_right=right,
        saw_left_deg=saw[0],
        saw_right_deg=saw[1],
        reach_left=reach[0],
        reach_right=reach[1],
    )


def rail(profile: Profile, name: str, size: str | float, *, count: int = 0) -> Piece:
    """A symmetrical rail of that length with its first (or so many-eth) legal count of holes."""
    holes, left, right = modes(profile, inches(size))[count]
    return piece(name, holes=holes, left=left, right=right, pitch=inches(profile.pitch))


def some_rails(profile: Profile, *, dice: Random, count: int, sizes: range) -> tuple[Piece, ...]:
    """Random rails on sixteenths of an inch, each with one of its legal counts of holes."""
    found: list[Piece] = []
    while len(found) < count:
        length = dice.randrange(sizes.start * 16, sizes.stop * 16) * SIXTEENTH
        if legal := modes(profile, length):
            holes, left, right = dice.choice(legal)
            found.append(
                piece(
                    f"R{len(found):04}",
                    holes=holes,
                    left=left,
                    right=right,
                    pitch=inches(profile.pitch),
                )
            )
    return tuple(found)


def fits_by_trying(stock: StockRail, order: Sequence[Piece], *, kerf: int = KERF) -> bool:
    """Whether square pieces fit in this order, by trying every hole for every piece."""

    def from_hole(at: int, end: int | None, rest: Sequence[Piece]) -> bool:
        if not rest:
            return True
        one = rest[0]
        for first in range(at, stock.holes - one.holes + 1):
            start = stock.first_hole + first * stock.pitch - one.margin_left
            finish = start + one.length
            clear = start >= stock.trim_left if end is None else start - end >= kerf
            if clear and finish <= stock.length - stock.trim_right:
                return from_hole(first + one.holes, finish, rest[1:])
        return False

    return from_hole(0, None, order)


def lengths(pieces: Iterable[Piece]) -> int:
    """Sum of the lengths."""
    return sum(one.length for one in pieces)
