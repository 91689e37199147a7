"""Parts that are counted by a rule: one for each post, wall end, gate, foot of edge.

In: what the company or a rail system's sheet says goes along. Out: data that the takeoff
counts by; what the railing itself is made of is counted from its cuts instead.
"""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from schemas.lengths import WrittenOffset, WrittenSize
from schemas.record import Key, Record

Group = Literal[
    "posts", "sleeves", "rails", "brackets", "handrail", "fixings", "gates", "lights",
    "consumables", "disposal", "safety",
]  # fmt: skip
"""Headings of the takeoff."""

SpareKind = Literal[
    "kit", "kit-special", "baluster", "bracket", "foot-block", "core", "sleeve", "skirt", "cap",
    "screw", "fixing", "anchor", "handrail", "handrail-fitting", "adhesive", "stiffener",
]  # fmt: skip
"""What the company has a spare rule for. `kit`: one of the longest level kit, counted by level
bays; `kit-special`: the same in a colour that is not on the shelf; `anchor`: parts of a detail
on concrete; `handrail-fitting`: brackets and joiners."""

Mount = Literal["inside-rim", "outside-rim", "surface", "concrete"]
"""Where a post stands."""

Per = Literal[
    "job", "post", "post-to-set", "wall-end", "mitred-end", "level-bay", "stair-bay", "bracket",
    "foot-block", "piece", "stair", "handrail", "handrail-landing", "gate", "pool-gate",
    "open-edge", "removed", "leg", "in-line-post",
]  # fmt: skip
"""What a part is counted by. `piece`: rails and sticks to saw; `in-line-post`: a post between two
level bays of one leg, where a bracket may go from line to line; `handrail`: a stair's side that has
one; `handrail-landing`: such a side whose next flight up has one too; `removed`: old railing."""

_BY_LENGTH = ("open-edge", "removed")
_BY_CLEAR = ("level-bay", "stair-bay")


class PartRule(Record):
    """Something that goes along by rule."""

    key: Key
    """Stock key in the price book."""
    group: Group
    """Under which heading it is loaded."""
    per: Per
    """What it is counted by."""
    count: Annotated[int, Field(ge=1, le=100)]
    """So many."""
    each: Annotated[int, Field(ge=1, le=10_000)] = 1
    """For each so many of what it is counted by, begun ones too."""
    every: WrittenSize | None = None
    """For `open-edge` and `removed`: the length that takes that count, begun ones too."""
    over: WrittenOffset = 0
    """For `level-bay` and `stair-bay`: only bays with a clear opening over this."""
    mounts: tuple[Mount, ...] = ()
    """Only where a post's approved detail stands so, and only for such posts; none: everywhere."""
    sold_as: Key | None = None
    """Only for jobs that were sold with an extra of this name; none: for every job."""
    spare: SpareKind | None = None
    """By which of the company's spare rules; none: no spares."""

    @model_validator(mode="after")
    def _sizes_go_with_what_is_counted(self) -> Self:
        if (self.per in _BY_LENGTH) != (self.every is not None):
            msg = f"every goes with per {' or '.join(_BY_LENGTH)}, and only with them"
            raise ValueError(msg)
        if self.over and self.per not in _BY_CLEAR:
            msg = f"over goes with per {' or '.join(_BY_CLEAR)} only"
            raise ValueError(msg)
        return self
