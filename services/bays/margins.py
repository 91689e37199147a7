"""End margins: where the fixed hole pattern comes to lie on a rail.

The factory fixed the pitch; only the count and the place of the pattern can be
chosen. A legal count has both margins between the bracket's room and the next hole,
and the first baluster close enough to the post.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from schemas.rail_system import Bracket, BracketKind, Kit, RoutedRail
from schemas.record import Degrees


@dataclass(frozen=True, slots=True, kw_only=True)
class Margins:
    """Rail end to the nearest hole centre, at both ends of one rail."""

    left: int
    right: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """A legal count of balusters in an opening, with the cuts that follow from it."""

    balusters: int
    cut: int
    """The bottom rail; of a stair bay, each rail along the slope."""
    margins: Margins
    """Of the bottom rail."""
    top_cut: int
    top_margins: Margins
    end_gap: float
    """The wider gap from a face to a baluster, level."""
    regular_gap: float
    """Between neighbouring balusters, level."""


class BayRule(Protocol):
    """What decides about one bay, whatever its opening turns out to be."""

    @property
    def step(self) -> int:
        """The tape's graduation."""

    def fit(self, *, opening: int, balusters: int) -> Fit | None:
        """The bay with so many balusters in that opening; none breaks a limit."""

    def fits(self, *, opening: int) -> tuple[Fit, ...]:
        """Every legal count for that opening, the best first."""


def centred(*, cut: int, balusters: int, pitch: int, step: int) -> Margins | None:
    """Lay the pattern in the middle of a rail; the left margin is on the tape mark nearest to it.

    Both margins and the pitches add up to the cut exactly, and differ by a mark at most; half
    a mark goes to the right. None: the pattern is longer.

    Args:
        cut: Rail, on its axis. [length, > 0]
        balusters: [>= 1]
        pitch: Holes, centre to centre along the rail. [length, > 0]
        step: Graduation. [length, > 0]
    """
    both = cut - (balusters - 1) * pitch
    if both < 0:
        return None
    left = -((step - both) // (2 * step)) * step
    return Margins(left=left, right=both - left)


def counts(*, cut: int, pitch: int, least: int, greatest: int) -> range:
    """The baluster counts whose centred margin can lie between two limits."""
    most = (cut - 2 * least) // pitch + 1
    fewest = -((2 * greatest - cut) // pitch) + 1
    return range(max(1, fewest - 1), most + 2)


def best_first(fits: Iterable[Fit]) -> tuple[Fit, ...]:
    """Order legal fits: end gap nearest to the regular gap but not larger, then fewer balusters.

    Source:
        Common practice: ends that look like the rest, never wider than it.
    """

    def worse(fit: Fit) -> tuple[bool, float, int]:
        over = fit.end_gap - fit.regular_gap
        return over > 0, abs(over), fit.balusters

    return tuple(sorted(fits, key=worse))


def bracket_of(rail: RoutedRail, kind: BracketKind) -> Bracket | None:
    """The system's bracket of that kind; none if it has none."""
    return rail.angle_bracket if kind == "angle" else rail.bracket


def takes(bracket: Bracket, deg: Degrees) -> bool:
    """Whether a bracket takes a rail that meets its face so far off square."""
    return bracket.least_deg <= abs(deg) <= bracket.greatest_deg


def comes_from_stock(
    *, kits: tuple[Kit, ...] | None, pitch: int, balusters: int, left: int, right: int, trim: int
) -> bool:
    """Whether some stock pair holds these rails, their holes where the factory routed them.

    Both rails of a bay start at the same hole of the pair and have all their balusters over
    routed holes; both stock ends lose their trim.

    Args:
        kits: Stock; none: rails of any length.
        pitch: Holes, centre to centre along the rail. [length, > 0]
        balusters: [>= 1]
        left: First hole centre to the left end, an angled end's long point included; the
            greater one of both rails. [length]
        right: Last hole centre to the right end, the same. [length]
        trim: Lost at each stock end. [length]
    """
    if kits is None:
        return True
    for kit in kits:
        first = max(0, -((kit.first_hole - trim - left) // pitch))
        end = kit.first_hole + (first + balusters - 1) * pitch + right
        if first + balusters <= kit.holes and end <= kit.length - trim:
            return True
    return False
