"""Recheck: a finished plan measured again, by other means than those that made it.

In: a plan. Out: every breach of a limit, in words; none is what a pack needs.

Nothing of the stages is used here, not even their geometry: faces, balusters, holes
and circles are placed by their coordinates from the plan's rounded numbers alone,
and what is left open between them is measured.
"""

from schemas.plan import Plan
from services.recheck.counts import recheck_counts
from services.recheck.cuts import recheck_cuts
from services.recheck.days import recheck_days
from services.recheck.findings import recheck_findings
from services.recheck.ground import recheck_ground
from services.recheck.level import recheck_level
from services.recheck.load import recheck_load
from services.recheck.order import recheck_order
from services.recheck.parts import recheck_parts
from services.recheck.pieces import recheck_pieces
from services.recheck.posts import recheck_posts
from services.recheck.shop import recheck_shop
from services.recheck.stair import recheck_flights, recheck_stair
from services.recheck.stock import recheck_stock
from services.recheck.table import recheck_tables

__all__ = ["recheck", "recheck_days", "recheck_shop"]


def recheck(plan: Plan) -> tuple[str, ...]:
    """Measure a finished plan again.

    Returns:
        Every breach found, each naming its place; empty when the plan holds.
    """
    return (
        *recheck_ground(plan),
        *(breach for bay in plan.bays.level for breach in recheck_level(plan, bay)),
        *(breach for bay in plan.bays.stair for breach in recheck_stair(plan, bay)),
        *recheck_flights(plan),
        *recheck_parts(plan),
        *recheck_tables(plan),
        *recheck_posts(plan),
        *recheck_cuts(plan),
        *recheck_pieces(plan),
        *recheck_stock(plan),
        *recheck_counts(plan),
        *recheck_load(plan),
        *recheck_findings(plan),
        *recheck_order(plan),
    )
