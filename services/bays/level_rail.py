"""The rails of a level bay: cut lengths and hole pattern for an opening.

Posts or walls out of plumb give two openings, hence two rail lengths under one hole
pattern: balusters stand plumb, so the top rail takes the difference at the end that
leans, or half at each end where that is not known. Where both ends lean by known figures
each takes its own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from schemas.rail_system import Kit
from services.bays.margins import Fit, Margins, best_first, centred, comes_from_stock, counts

Leans = Literal["left", "right", "both"] | int
"""Which end makes an opening wider at the top; both: half each. A figure: so much of it is at the
left end, the rest at the right. [1/320 mm]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rail:
    """One rail in its opening."""

    opening: int
    cut: int
    margins: Margins
    slack: int
    """The gap at one end when the other has its clearance: rounding is counted here."""


_SQUARE = Margins(left=0, right=0)
"""An end cut square has no long point."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelRule:
    """What a level bay must keep to, whatever its opening. [1/320 mm]."""

    step: int
    pitch: int
    width: int
    """Baluster, seen from the front."""
    clearance: int
    """At each end of a rail."""
    left_least: int
    """Least margin of the left end's bracket."""
    right_least: int
    greatest: int
    """Greatest margin; under the pitch."""
    longest: int
    """Longest clear opening of the system."""
    limit: int
    """Working limit of openings; an opening equal to it fails."""
    kits: tuple[Kit, ...] | None
    """Stock the rails are cut from; none: of any length."""
    trim: int
    """Lost at each stock end."""
    top_more: int = 0
    """How much wider the opening is at top-rail height."""
    leans: Leans = "both"
    """Which end makes it wider, or how much of it the left one does."""
    points: Margins = _SQUARE
    """How far the bottom rail's long points stand out at mitred ends."""
    top_points: Margins = _SQUARE
    """The same of the top rail."""

    def fit(self, *, opening: int, balusters: int) -> Fit | None:
        """The bay with so many balusters in that opening; none if a limit is broken.

        bottom cut = opening - 2 * clearance, down to a mark; margins = (cut - (n - 1) * pitch) / 2;
        face to baluster = clearance + margin - width / 2.

        Args:
            opening: Clear at bottom-rail height. [length]
            balusters: [>= 1]
        """
        if self.pitch - self.width >= self.limit:
            return None
        bottom = self._rail(opening=opening, balusters=balusters)
        if bottom is None:
            return None
        top = self._top_rail(bottom, balusters) if self._has_two_rails() else bottom
        if not (
            self._legal(bottom)
            and (top is bottom or self._legal(top))
            and self._from_stock(bottom.margins, top.margins, balusters)
        ):
            return None
        widest = max(bottom.margins.left, bottom.margins.right + bottom.slack - self.clearance)
        return Fit(
            balusters=balusters,
            cut=bottom.cut,
            margins=bottom.margins,
            top_cut=top.cut,
            top_margins=top.margins,
            end_gap=self.clearance + widest - self.width / 2,
            regular_gap=self.pitch - self.width,
        )

    def fits(self, *, opening: int) -> tuple[Fit, ...]:
        """Every legal count for that opening, the best first."""
        some = counts(
            cut=self._cut(opening),
            pitch=self.pitch,
            least=min(self.left_least, self.right_least),
            greatest=self.greatest,
        )
        found = (self.fit(opening=opening, balusters=n) for n in some)
        return best_first(fit for fit in found if fit)

    def _cut(self, opening: int) -> int:
        return (opening - 2 * self.clearance) // self.step * self.step

    def _rail(self, *, opening: int, balusters: int) -> _Rail | None:
        cut = self._cut(opening)
        margins = centred(cut=cut, balusters=balusters, pitch=self.pitch, step=self.step)
        if margins is None:
            return None
        slack = opening - cut - self.clearance
        return _Rail(opening=opening, cut=cut, margins=margins, slack=slack)

    def _top_rail(self, bottom: _Rail, balusters: int) -> _Rail:
        """The top rail over the bottom one's holes, longer or shorter where the end leans."""
        opening = bottom.opening + self.top_more
        cut = self._cut(opening)
        left = bottom.margins.left + self._at_left(cut - bottom.cut)
        right = cut - (balusters - 1) * self.pitch - left
        return _Rail(
            opening=opening,
            cut=cut,
            margins=Margins(left=left, right=right),
            slack=opening - cut - self.clearance,
        )

    def _has_two_rails(self) -> bool:
        """Ends that lean the same way leave the rails alike long, and their holes not."""
        return bool(self.top_more) or not isinstance(self.leans, str)

    def _at_left(self, longer: int) -> int:
        if not isinstance(self.leans, str):
            return self.leans // self.step * self.step
        if self.leans == "both":
            return longer // 2 // self.step * self.step
        return longer if self.leans == "left" else 0

    def _legal(self, rail: _Rail) -> bool:
        """Both ends of one rail, the room left by rounding counted at either end."""
        margins = rail.margins
        return (
            rail.opening <= self.longest
            and self.left_least <= margins.left <= self.greatest
            and self.right_least <= margins.right <= self.greatest
            and 2 * (max(margins.left, margins.right) + rail.slack) < 2 * self.limit + self.width
        )

    def _from_stock(self, bottom: Margins, top: Margins, balusters: int) -> bool:
        """Both rails from one stock pair, long points and all."""
        return comes_from_stock(
            kits=self.kits,
            pitch=self.pitch,
            balusters=balusters,
            left=max(bottom.left + self.points.left, top.left + self.top_points.left),
            right=max(bottom.right + self.points.right, top.right + self.top_points.right),
            trim=self.trim,
        )
