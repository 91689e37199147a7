"""The four brackets of a bay."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from schemas.bays import BracketFit
from schemas.rail_system import BracketKind


@dataclass(frozen=True, slots=True, kw_only=True)
class EndHeights:
    """What one end of a bay shows to its post."""

    end: Literal["left", "right"]
    kind: BracketKind
    bottom: int
    """Underside of the bottom rail."""
    top: int
    """Underside of the top rail."""


def brackets(*ends: EndHeights) -> tuple[BracketFit, ...]:
    """Each end's two brackets, both out of sight from above, under their rail.

    The top rail's routed holes look down, so its bracket sits on the hole side; the bottom
    rail's look up, so its bracket sits on the plain side.

    Source:
        Common practice.
    """
    return tuple(
        BracketFit(rail=rail, end=end.end, kind=end.kind, side=side, height=height)
        for end in ends
        for rail, side, height in _rails(end)
    )


def _rails(
    end: EndHeights,
) -> tuple[tuple[Literal["top", "bottom"], Literal["hole side", "plain side"], int], ...]:
    return (("bottom", "plain side", end.bottom), ("top", "hole side", end.top))
