"""The takeoff: everything the crew would otherwise drive back for.

In: the plan so far. Out: counted lines with their reason, the load in truck order,
hours and cost.
"""

from __future__ import annotations

from schemas.lengths import Total
from schemas.part_rule import Group
from schemas.record import Cents, Grams, Key, Record
from schemas.wording import SaidLine, SaidText, row


class TakeoffLine(Record):
    """One item of the takeoff."""

    group: Group
    """Heading."""
    item: Key
    """Stock key."""
    says: SaidLine
    """What the crew calls it."""
    variant: SaidLine | None = None
    """Colour and height as ordered; none: it comes in one only."""
    needed: int
    """Counted from the plan, less what comes boxed with the kits."""
    spare: int
    """By the company's rule, less what the kits bring too many of."""
    package: int
    """Pieces in a package."""
    packages: int
    """Whole packages to load."""
    grams: Grams
    """Of what is loaded."""
    cents: Cents
    """Of the packages."""
    load: int
    """Truck order."""
    why: SaidText
    """What it was counted from, e.g. ``4 a bay x 6 bays``."""
    places: tuple[SaidLine, ...]
    """Bays, posts or stairs that need it."""
    note: SaidLine | None = None
    """What to mind with it: corrosion, a check before ordering."""

    @property
    def named(self) -> str:
        """What the crew calls it, with colour and height."""
        return row((self.says, self.variant)) if self.variant else self.says


class HoursLine(Record):
    """One kind of work."""

    task: SaidLine
    """Kind of work, in words."""
    count: float
    """How much of it."""
    each: float
    """Crew-hours each."""
    hours: float
    """Crew-hours."""
    apart: bool = False
    """Set-up or travel, not work on the railing."""
    rate: Key | None = None
    """Key of the company's rate that it goes by."""


class Cost(Record):
    """Money; never on field sheets."""

    material_cents: Cents
    """All packages of the takeoff."""
    waste_cents: Cents
    """Share of the rail stock's price that ends as waste: kerfs, trims, scraps."""
    stick_waste_cents: Cents = 0
    """The same of sleeves, cores and handrail, their rests included."""
    by_group: tuple[tuple[Group, Cents], ...]
    """The same by heading."""


class ReadyRail(Record):
    """A rail, sleeve or core that comes ready cut."""

    ticket: str
    """Number on its cut ticket."""
    bay: str
    """Its bay; of a sleeve or core its post."""
    rail: str
    """Top, bottom, sleeve or core."""


class PreCut(Record):
    """What comes ready cut from the shop, and what it stands for on the truck."""

    rails: tuple[ReadyRail, ...]
    kits: tuple[tuple[Key, int], ...]
    """Kits and sticks of the job's own plan that stay in the yard for them."""
    bag: tuple[tuple[Key, int], ...]
    """Loose parts of those kits' boxes, which come along in a bag."""


class Takeoff(Record):
    """The full count of what the job needs."""

    lines: tuple[TakeoffLine, ...]
    """In truck order."""
    hours: tuple[HoursLine, ...]
    """One line a kind of work."""
    crew_hours: float
    """Sum, crew of two, travel and set-up included."""
    day_hours: float
    """What the crew has in a day, for the same count of people."""
    grams: Grams
    """Whole load."""
    truck_grams: Grams
    """What the truck may carry."""
    cost: Cost
    """Money; never on field sheets."""
    rail_length: Total
    """Sum of all level and stair clear openings on the sheets."""
    tools: tuple[tuple[SaidLine, tuple[SaidLine, ...]], ...] = ()
    """Task, and the tools, bits and blades it takes."""
    pre_cut: PreCut | None = None
    """What is cut ahead in the shop; none: all is cut on site."""
