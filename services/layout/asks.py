"""What the layout asks of later stages, and what it hands back.

A later stage's functions come in here as callables; the pipeline joins them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from schemas.layout import Layout
from schemas.lengths import Length
from schemas.rail_system import BracketKind
from schemas.record import Cents
from schemas.site import Question


class BayWorks(Protocol):
    """Whether a level bay of this opening can be built with legal end margins."""

    def __call__(self, *, clear: Length, left: BracketKind, right: BracketKind) -> bool:
        """Answer for one opening, on a tape mark."""
        ...


class NearestLegal(Protocol):
    """The nearest openings below and above that can be built; none on a side without one."""

    def __call__(
        self, *, clear: Length, left: BracketKind, right: BracketKind
    ) -> tuple[Length | None, Length | None]:
        """Answer for one opening, on a tape mark."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Asks:
    """The questions the layout may put to later stages."""

    bay_works: BayWorks
    longest_clear: Length
    """Greatest opening between sleeve faces that the system allows. [1/320 mm]"""
    nearest_legal: NearestLegal
    stock_cents: Callable[[tuple[Length, ...]], Cents] | None = None
    """What the rails of such openings cost in stock; none: cost does not move posts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidOut:
    """A layout, or the questions that must be answered before there is one."""

    layout: Layout | None
    """None: at least one question stops it."""
    questions: tuple[Question, ...] = ()
