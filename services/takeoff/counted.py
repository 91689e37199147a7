"""What a count is: a part, how many of it, why, where, and by which spare rule."""

from __future__ import annotations

from dataclasses import dataclass

from schemas.job import Job
from schemas.part_rule import Group, SpareKind
from schemas.rail_system import SectionHeight
from schemas.wording import Said, counted, row, say, shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class Count:
    """One counted part, before packages and spares."""

    group: Group
    key: str
    """Stock key."""
    needed: int
    """All that are needed, boxed ones too."""
    why: str
    places: tuple[str, ...]
    variant: str | None = None
    """Colour and height as ordered."""
    spare: SpareKind | None = None
    """By which of the company's spare rules."""
    spared_by: int | None = None
    """What the spare rule goes by; none: what is needed."""
    a_set: int = 0
    """How many of it a full set has: what one post takes."""
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Boxed:
    """Parts that come in a kit's box."""

    key: str
    variant: str | None
    count: int


def coloured(job: Job) -> str:
    """The variant of a part that is sold in colours."""
    return shipped(job.colour)


def coloured_and_high(job: Job, height: SectionHeight | None) -> str:
    """The variant of a part that is sold in colours and heights."""
    if height is None:
        return coloured(job)
    return row((coloured(job), say("height {height}", height=height.name)))


def bays_words(count: int) -> Said:
    """A count of bays."""
    return counted("{count} bay", "{count} bays", count=count)
