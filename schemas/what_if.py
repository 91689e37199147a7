"""What if: a job planned in several ways, side by side.

In: what is tried. Out: for each way its posts, bays, stock, waste, money and hours, or the
question that stops it. For the office only.
"""

from __future__ import annotations

from schemas.lengths import Length, Total
from schemas.record import Cents, Key, Line, Record
from schemas.site import Question


class Try(Record):
    """What is changed against the submission; what is none stays as it is."""

    named: Line
    """As it was asked for, e.g. ``system=tern,max-bay=72 in``."""
    system: Key | None = None
    """Another rail system for level bays, posts and sleeves."""
    height: Key | None = None
    """Another section height, by the system's own name."""
    colour: Key | None = None
    """Another colour."""
    stock: tuple[Key, ...] = ()
    """Only these kits; an orientation of which none is named keeps all of its own."""
    max_bay: Length | None = None
    """Level bays no longer than this; the system's own limit holds as well."""


class Alternative(Record):
    """What one way of planning the job came to."""

    named: Line
    """What was tried."""
    planned: bool
    """Whether there is a plan; else `stops` or `refused` says why not."""
    posts: int = 0
    """All posts, in place or to be set."""
    posts_to_set: int = 0
    level_bays: int = 0
    stair_bays: int = 0
    kits: tuple[tuple[Key, int], ...] = ()
    """Rail stock taken: kit, or offcut, and how many pairs."""
    stock_length: Total = 0
    """All of it, pair by pair."""
    waste_length: Total = 0
    """Of it kerfs, trims and scraps."""
    material_cents: Cents = 0
    """All packages of the takeoff."""
    waste_cents: Cents = 0
    """Of it rail stock that ends as waste."""
    stick_waste_cents: Cents = 0
    """Of it ends of sleeves, cores and handrail."""
    crew_hours: float = 0
    """Crew of two, travel and set-up included."""
    day_hours: float = 0
    """What the crew has in a day."""
    grams: int = 0
    """Whole load. [g]"""
    holds: int = 0
    """Open questions that the pack would print as hold points."""
    stops: tuple[Question, ...] = ()
    """What must be answered before it can be planned."""
    refused: str = ""
    """Why it cannot be planned at all; empty when it can."""

    @property
    def waste_share(self) -> float:
        """Waste of the rail stock taken, from 0 to 1."""
        return self.waste_length / self.stock_length if self.stock_length else 0.0
