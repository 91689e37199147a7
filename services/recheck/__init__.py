"""Recheck: a finished plan measured again, by other means than those that made it.

In: a plan. Out: every breach of a limit, in words; none is what a pack needs.

Nothing of the stages is used here, not even their geometry: faces, balusters, holes
and circles are placed by their coordinates from the plan's rounded numbers alone,
and what is left open between them is measured.
"""

from collections.abc import Iterator

from schemas.plan import Plan
from services.recheck.apart import recheck_apart
from services.recheck.counts import recheck_counts
from services.recheck.cuts import recheck_cuts
from services.recheck.days import recheck_days
from services.recheck.edges import recheck_edges
from services.recheck.figures import recheck_figures
from services.recheck.findings import recheck_findings
from services.recheck.fittings import recheck_fittings
from services.recheck.ground import recheck_ground
from services.recheck.level import recheck_level
from services.recheck.load import recheck_load
from services.recheck.order import recheck_order
from services.recheck.parts import recheck_parts
from services.recheck.pieces import recheck_pieces
from services.recheck.plan_marks import recheck_plan_marks
from services.recheck.posts import recheck_posts
from services.recheck.screen import recheck_screen
from services.recheck.shop import recheck_ahead, recheck_shop
from services.recheck.spaces import recheck_spaces
from services.recheck.stair import recheck_flights, recheck_stair
from services.recheck.sticks import recheck_sticks
from services.recheck.stock import recheck_stock
from services.recheck.structure import recheck_structure
from services.recheck.sums import recheck_takeoff_sums
from services.recheck.table import recheck_tables
from services.recheck.window import recheck_windows

__all__ = ["breaches", "recheck", "recheck_days", "recheck_shop"]


def recheck(plan: Plan) -> tuple[str, ...]:
    """Measure a finished plan again.

    Returns:
        Every breach found, each naming its place; empty when the plan holds.
    """
    return tuple(breaches(plan))


def breaches(plan: Plan) -> Iterator[str]:
    """The same one by one; a plan whose names lead nowhere is not measured further."""
    astray = tuple(recheck_structure(plan))
    yield from astray
    if astray:
        return
    for look in _LOOKS:
        yield from look(plan)


def _bays(plan: Plan) -> Iterator[str]:
    for bay in plan.bays.level:
        yield from recheck_level(plan, bay)
    for side in plan.bays.stair:
        yield from recheck_stair(plan, side)


_LOOKS = (
    recheck_ground,
    recheck_apart,
    recheck_plan_marks,
    _bays,
    recheck_flights,
    recheck_spaces,
    recheck_fittings,
    recheck_parts,
    recheck_tables,
    recheck_windows,
    recheck_posts,
    recheck_cuts,
    recheck_pieces,
    recheck_stock,
    recheck_sticks,
    recheck_ahead,
    recheck_counts,
    recheck_load,
    recheck_takeoff_sums,
    recheck_findings,
    recheck_figures,
    recheck_screen,
    recheck_edges,
    recheck_order,
)
