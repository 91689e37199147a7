"""One measured thing, before any rule is laid beside it."""

from __future__ import annotations

from dataclasses import dataclass

from schemas.code_profile import Measured
from schemas.wording import Said, row, say
from services.compliance.wording import found


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """What the plan comes to at one place."""

    measures: Measured
    place: str
    says: str
    """The figure in words and tape marks, rounded to its worse side."""
    low: int | None = None
    """The figure; the smallest of several. None: the plan does not know it. [1/320 mm]"""
    high: int | None = None
    """The largest of several; none: the same. [1/320 mm]"""
    number: float | None = None
    """The figure where it is no length."""
    drop: int | None = None
    """Surface down to grade there; none: not measured. [1/320 mm]"""
    tread: int | None = None
    """Tread run there, for rules that a deep tread lifts. [1/320 mm]"""
    width: int | None = None
    """Clear width of the stair there, for rules that only wide ones meet. [1/320 mm]"""
    planned: bool = False
    """For a rule that only says when something is needed: the plan has it."""
    unsure: str = ""
    """Why the figure has to be read on site, although one stands here."""
    note: str = ""
    """Shown arithmetic."""
    by_rule: bool = False
    """Told only where a recorded rule asks for it."""

    @property
    def top(self) -> int | None:
        """The largest figure. [1/320 mm]."""
        return self.low if self.high is None else self.high


def widest(
    gaps: dict[Said, int], *, measures: Measured, place: str, step: int, drop: int | None
) -> Measure:
    """The widest of a bay's openings, with all of them shown, the widest first.

    Args:
        gaps: Openings by where they are. [1/320 mm]
        measures: Whether they are those of a level or of a stair guard.
        place: The bay.
        step: The paper's graduation. [1/320 mm]
        drop: Surface down to grade there. [1/320 mm]
    """
    first, *others = sorted(gaps, key=lambda where: -gaps[where])
    shown = {where: found(gap, step=step, worse="up") for where, gap in gaps.items()}
    rest = row(say("{where} {gap}", where=where, gap=shown[where]) for where in others)
    return Measure(
        measures=measures,
        place=place,
        says=say("{gap} {where}; {rest}", gap=shown[first], where=first, rest=rest),
        low=gaps[first],
        drop=drop,
    )
