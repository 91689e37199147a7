"""The rails of a level bay: cut lengths and hole pattern for an opening.

Posts or walls out of plumb give two openings, hence two rail lengths under one hole
pattern: balusters stand plumb, so the top rail takes the difference at the end that
leans, or half at each end where that is not known.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from schemas.rail_system import Kit
from services.bays.margins import Fit, Margins, best_first, centred, comes_from_stock, counts

Leans = Literal["left", "right", "both"]


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
    """Which end makes it wider."""

    def fit(self, *, opening: int, balusters: int) -> Fit | None:
        """The bay with so many balusters in that opening; none if a limit is broken.

        bottom cut = opening - 2 * clearance, down to a mark; margins = (cut - (n - 1) * pitch) / 2;
        face to baluster = clearance + margin - width / 2.

        Args:
            opening: Clear at bottom-rail height. [length]
            balusters: [>= 1]
        """
        cut = self._cut(opening)
        top_cut = self._cut(opening + self.top_more)
        margins = centred(cut=cut, balusters=balusters, pitch=self.pitch, step=self.step)
        if margins is None or self.pitch - self.width >= self.limit:
            return None
        top_left = margins.left + self._at_left(top_cut - cut)
        top = Margins(left=top_left, right=top_cut - (balusters - 1) * self.pitch - top_left)
        slack = opening - cut - self.clearance
        top_slack = opening + self.top_more - top_cut - self.clearance
        if not (
            max(opening, opening + self.top_more) <= self.longest
            and self._legal(margins, slack)
            and self._legal(top, top_slack)
            and self._in_stock(cut, margins.left, balusters)
            and self._in_stock(top_cut, top.left, balusters)
        ):
            return None
        widest = max(margins.left, margins.right + slack - self.clearance)
        return Fit(
            balusters=balusters,
            cut=cut,
            margins=margins,
            top_cut=top_cut,
            top_margins=top,
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

    def _at_left(self, longer: int) -> int:
        if self.leans == "both":
            return longer // 2 // self.step * self.step
        return longer if self.leans == "left" else 0

    def _legal(self, margins: Margins, slack: int) -> bool:
        """Both ends of one rail, the room left by rounding counted at either end."""
        reach = 2 * self.limit + self.width - 2 * slack
        return (
            self.left_least <= margins.left <= self.greatest
            and self.right_least <= margins.right <= self.greatest
            and 2 * max(margins.left, margins.right) < reach
        )

    def _in_stock(self, cut: int, margin: int, balusters: int) -> bool:
        return comes_from_stock(
            kits=self.kits,
            pitch=self.pitch,
            cut=cut,
            margin=margin,
            balusters=balusters,
            trim=self.trim,
        )
