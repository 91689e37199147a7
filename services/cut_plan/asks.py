"""What other stages may ask of the cut plan: the price of a set of bays in stock."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from schemas.cut_plan import Piece
from schemas.errors import NoLayout
from schemas.job import Job
from schemas.lengths import Length
from schemas.record import Cents
from services.cut_plan.solve import plan_cuts
from services.cut_plan.stock import stock_rails, with_boxed


def stock_cents(
    job: Job, *, fit: Callable[[Length], tuple[Length, int, Length, Length] | None]
) -> Callable[[tuple[Length, ...]], Cents]:
    """The least price of stock for level bays with square ends, as a question for the layout.

    Args:
        job: With its system, price book and saw.
        fit: For a clear opening: cut length, holes, left and right margin of both rails; none
            where no rail fits. The bays' own rule.

    Returns:
        A function from clear openings to the price of the cheapest stock for all of them.
        It raises NoLayout where an opening has no rail or a rail no stock.
    """
    level = tuple(one for one in stock_rails(job) if one.orientation == "level")

    @cache
    def of_sorted(clears: tuple[Length, ...]) -> Cents:
        pieces = tuple(
            _square(job, number, clear, fit(clear)) for number, clear in enumerate(clears)
        )
        return plan_cuts(
            pieces=pieces,
            stock=with_boxed(level, pieces, job=job),
            kerf=job.company.saw_kerf,
            keep=job.company.keep_offcut,
        ).cents

    return lambda clears: of_sorted(tuple(sorted(clears)))


def _square(
    job: Job, number: int, clear: Length, fit: tuple[Length, int, Length, Length] | None
) -> Piece:
    if fit is None:
        msg = f"no rail fits a clear opening of {clear / 320:.1f} mm"
        raise NoLayout(msg)
    length, holes, left, right = fit
    return Piece(
        id=f"bay {number}",
        job=job.job,
        revision=job.revision,
        bay=f"bay {number}",
        rails="pair",
        orientation="level",
        system=job.system.key,
        colour=job.colour,
        length=length,
        holes=holes,
        margin_left=left,
        margin_right=right,
        saw_left_deg=0,
        saw_right_deg=0,
        brackets=4,
    )
