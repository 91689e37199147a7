"""The valid window of a bay and its as-measured table.

Posts end up a sixteenth or two from where they were planned. While the opening found
stays inside the window the lead changes the cut and the margin, and calls nobody.
"""

from __future__ import annotations

from dataclasses import dataclass

from schemas.bays import AsMeasured
from schemas.lengths import INCH
from services.bays.margins import BayRule

TABLE_REACH = INCH
"""The table goes so far to each side of the planned opening. Common practice: posts that
stand further off than an inch are a matter for the office."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Openings for which a count of balusters stays legal, both ends included."""

    low: int
    high: int


def valid_window(*, rule: BayRule, opening: int, balusters: int) -> Window:
    """How far the opening may come out smaller or larger under the same count.

    It is walked mark by mark, so that every opening inside it has been fitted.

    Args:
        rule: What the bay must keep to.
        opening: A legal one, on a tape mark. [length]
        balusters: The count that is kept.
    """

    def last_legal(step: int) -> int:
        at = opening
        while at + step > 0 and rule.fit(opening=at + step, balusters=balusters):
            at += step
        return at

    return Window(low=last_legal(-rule.step), high=last_legal(rule.step))


def as_measured(*, rule: BayRule, opening: int, balusters: int) -> tuple[AsMeasured, ...]:
    """For each opening that may be found: the cut, its margin and the count; or none, to call.

    The planned count stands as long as it is legal; beyond, another one that is.
    """
    steps = TABLE_REACH // rule.step
    found = (opening + k * rule.step for k in range(-steps, steps + 1))
    return tuple(_row(rule, size, balusters) for size in found if size > 0)


def _row(rule: BayRule, opening: int, balusters: int) -> AsMeasured:
    planned = rule.fit(opening=opening, balusters=balusters)
    fit = planned or next(iter(rule.fits(opening=opening)), None)
    if fit is None:
        return AsMeasured(opening=opening, cut=None, margin=None, balusters=None)
    return AsMeasured(
        opening=opening, cut=fit.cut, margin=fit.margins.left, balusters=fit.balusters
    )
