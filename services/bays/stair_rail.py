"""The rails of a stair bay: cut along the slope and hole pattern for a level opening.

A stair rail is cut plumb at both ends, so a level measure grows with the slope.
Balusters stand plumb: the pitch along the rail closes up when seen level, and it is
the level gap that the sphere meets.

Both ends of a rail and all its baluster centre lines are plumb, hence parallel: the
margin and the marks measured along the slope are the same on the rail's upper side, on
its axis and on its underside, and the holes of both rails stand plumb over each other
when both rails carry the same marks. The two points of an end cut lie depth * tan apart
along the slope. At the lower end the underside reaches further down: the long point is
there, and at the upper end it is on the upper side.
"""

from __future__ import annotations

from dataclasses import dataclass

from schemas.rail_system import Kit
from services.bays.margins import Fit, Margins, best_first, centred, comes_from_stock, counts
from services.geometry.slope import Slope


@dataclass(frozen=True, slots=True, kw_only=True)
class StairRule:
    """What a stair bay must keep to, whatever its opening. [1/320 mm]."""

    slope: Slope
    step: int
    pitch: int
    """Along the rail."""
    width: int
    """Baluster, seen from the front."""
    clearance: int
    """At each end, along the slope."""
    least: int
    """Least margin of the stair bracket, along the slope."""
    greatest: int
    """Greatest margin; under the pitch."""
    longest: int
    """Longest clear opening of the system, along the slope."""
    limit: int
    """Working limit of openings, level; an opening equal to it fails."""
    kits: tuple[Kit, ...] | None
    """Stock the rails are cut from; none: of any length."""
    trim: int
    """Lost at each stock end."""
    point: int = 0
    """How far an end's long point stands out beyond the holes' face, along the slope."""

    def fit(self, *, opening: int, balusters: int) -> Fit | None:
        """The bay with so many balusters in that level opening; none if a limit is broken.

        With t = atan(riser / tread): cut = opening / cos t - 2 * clearance, down to a mark;
        margins along the slope; level gap = pitch * cos t - width; face to baluster, level =
        opening - (cut + clearance - margin) * cos t - width / 2, which counts the room left by
        rounding at either end.

        Args:
            opening: Clear between sleeve faces, level. [length]
            balusters: [>= 1]

        Source:
            US Navy Builder course 14044, framing square: line length per foot of run,
            sqrt(12**2 + rise**2), which is 12 / cos t.
        """
        cut = self._cut(opening)
        margins = centred(cut=cut, balusters=balusters, pitch=self.pitch, step=self.step)
        if (
            margins is None
            or min(margins.left, margins.right) < self.least
            or max(margins.left, margins.right) > self.greatest
            or self.slope.ceil_along(opening) > self.longest
            or not self._sphere_stops(opening, cut, max(margins.left, margins.right))
            or not comes_from_stock(
                kits=self.kits,
                pitch=self.pitch,
                balusters=balusters,
                left=margins.left + self.point,
                right=margins.right + self.point,
                trim=self.trim,
            )
        ):
            return None
        return Fit(
            balusters=balusters,
            cut=cut,
            margins=margins,
            top_cut=cut,
            top_margins=margins,
            end_gap=(self.clearance + max(margins.left, margins.right)) * self.slope.cos
            - self.width / 2,
            regular_gap=self.pitch * self.slope.cos - self.width,
        )

    def fits(self, *, opening: int) -> tuple[Fit, ...]:
        """Every legal count for that opening, the best first."""
        some = counts(
            cut=self._cut(opening), pitch=self.pitch, least=self.least, greatest=self.greatest
        )
        found = (self.fit(opening=opening, balusters=n) for n in some)
        return best_first(fit for fit in found if fit)

    def level_gap(self) -> int:
        """Clear between neighbouring balusters, level, rounded up."""
        return self.slope.ceil_level(self.pitch) - self.width

    def end_gaps(self, *, opening: int, fit: Fit) -> Margins:
        """Sleeve face to nearest baluster, level, rounded up: lower (left), upper (right).

        The lower end has its clearance; what rounding the cut left over is at the upper end.
        """
        lower = self.slope.ceil_level(2 * (self.clearance + fit.margins.left)) - self.width
        to_last = self.slope.floor_level(2 * (self.clearance + fit.cut - fit.margins.right))
        upper = 2 * opening - to_last - self.width
        return Margins(left=-(-lower // 2), right=-(-upper // 2))

    def _cut(self, opening: int) -> int:
        return (self.slope.floor_along(opening) - 2 * self.clearance) // self.step * self.step

    def _sphere_stops(self, opening: int, cut: int, margin: int) -> bool:
        beyond = 2 * opening - self.width - 2 * self.limit
        return self.slope.level_is_under(
            self.pitch, self.limit + self.width
        ) and self.slope.level_is_over(2 * (cut + self.clearance - margin), beyond)
