"""The company file: crews, hours, cut-offs, saw, tape, rates, price book.

In: one file the office keeps. Out: what is the same for all its jobs.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal, Self
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import AfterValidator, Field, model_validator

from schemas.lengths import INCH, PER_MM, Unit, WrittenOffset, WrittenSize
from schemas.part_rule import Mount, PartRule, SpareKind
from schemas.record import Cents, Grams, Key, Line, Record
from schemas.wording import Language, Said, say, shipped


def _a_zone(name: str) -> str:
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError) as no:
        msg = "not a time zone of the IANA database, like America/New_York"
        raise ValueError(msg) from no
    return name


Hour = Annotated[str, Field(pattern=r"^([01]\d|2[0-3]):[0-5]\d$")]
"""A time of day in the company's zone, hh:mm."""

GRADUATIONS = {
    "1/8 in": INCH // 8, "1/16 in": INCH // 16, "1/32 in": INCH // 32, "1 mm": PER_MM,
}  # fmt: skip
"""Tape graduations and their step. [1/320 mm]"""


Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]


class DayOff(Record):
    """A day on which no crew goes out."""

    day: date
    """ISO 8601."""
    says: Line
    """Why, e.g. the holiday's name."""


Mail = Annotated[str, Field(pattern=r"^[^\s@<>,;]+@[^\s@<>,;]+$", max_length=200)]
"""A mail address."""


class PrintTicket(Record):
    """How a crew's bundle is printed."""

    copies: Annotated[int, Field(ge=1, le=9)] = 1
    """Whole bundles."""
    staple: bool = True
    """Top left, where the printer can."""


class Crew(Record):
    """A crew."""

    key: Key
    """As submissions name it."""
    name: Line
    """As printed."""
    people: Annotated[int, Field(ge=1, le=12)]
    """Head count."""
    hours: Annotated[float, Field(gt=0, le=24)]
    """Hours a day on the clock, each person."""
    truck_kg: Annotated[float, Field(gt=0)]
    """What its truck may carry. [kg]"""
    language: Language = "en"
    """Language of its sheets."""
    paper: Literal["letter", "a4"] = "letter"
    """Size of its sheets."""
    duplex: bool = False
    """Its bundle is set for both sides and printed so, turned along the long edge. Each job then
    begins on a leaf of its own; so do cut tickets and what is given away."""
    skills: tuple[Literal["stair", "angle", "gate", "concrete", "lead-safe"], ...] = ()
    """Work it is down for beyond level bays."""
    printer: Line | None = None
    """Print queue address, like ipp://host/ipp/print; none for the folder only."""
    ticket: PrintTicket = PrintTicket()
    """How its bundle is printed."""
    mail: Mail | None = None
    """Where its bundle is mailed to; none: nowhere."""


class Rate(Record):
    """How long a piece of work takes a crew of two."""

    task: Literal[
        "remove", "post", "post-surface", "post-concrete", "dress", "level", "stair", "handrail",
        "gate", "angle", "set-up", "travel",
    ]  # fmt: skip
    """Kind of work. `post-surface`, `post-concrete`: for details mounted so; without such a rate
    `post` holds for all."""
    hours: Annotated[float, Field(ge=0)]
    """Crew-hours each (a foot for `remove`; a day for `set-up` and `travel`)."""


class Spare(Record):
    """How many more than counted are packed."""

    kind: SpareKind
    """Kind of part."""
    one_in: Annotated[int, Field(ge=1)]
    """One spare for each so many, rounded up."""
    least: Annotated[int, Field(ge=0)] = 0
    """But at least so many."""
    not_under: Annotated[int, Field(ge=0)] = 1
    """None where fewer are needed than this; 0: some go along even where none is needed."""
    sets: Annotated[int, Field(ge=0, le=9)] = 0
    """So many full sets on top: each what one post takes of it."""


Finish = Literal[
    "hot-dip-galvanized", "stainless", "silicon-bronze", "copper", "aluminium", "zinc-plated",
    "other", "not-metal",
]  # fmt: skip
"""Metal of a part, for what touches preservative-treated wood."""


class StockItem(Record):
    """A line of the price book."""

    key: Key
    """Stock key, as rail systems and cut lists name it."""
    says: Line
    """What the crew calls it."""
    package: Annotated[int, Field(ge=1)] = 1
    """Pieces in a package; only whole packages are bought or loaded."""
    cents: Cents
    """Price of a package."""
    grams: Grams
    """Weight of one piece. [g]"""
    load: Annotated[int, Field(ge=0, le=99)] = 50
    """Place in the truck's loading order: low goes in first, at the bottom (long and heavy stock),
    high last, on top (boxes, caps). From 95 on it rides in the cab (adhesive, sealant)."""
    finish: Finish | None = None
    """What its metal is made of or covered with; none is not recorded."""
    supplier: Key | None = None
    """Whom it is ordered from; none: not decided."""


BOLT = INCH // 2
"""A bolt's diameter where a detail says nothing: printed as assumed. Source: common practice."""
END_DIAMETERS = 7
"""Wood under the lowest bolt's centre, in bolt diameters, where a detail says nothing.

National Design Specification for Wood Construction, table 12.5.1A (from memory), end distance for
the full value of a bolt: 7 in softwood loaded parallel to grain toward the end (5 in hardwood),
4 loaded away from the end or across the grain; half of each, at half the value, is the least.
"""
LEAST_DIAMETERS = 2
"""No row of that table goes under this, at whatever reduced value."""


class FixingDetail(Record):
    """A post connection which the authority or a licensed designer approved for the company."""

    key: Key
    """The number printed on the sheets, e.g. ``D-3``."""
    says: Line
    """The connection in words; printed, never chosen by us."""
    approved_by: Line
    """Who approved it and when; printed as recorded."""
    mount: Mount
    """Where the post stands."""
    bolt_apart: WrittenOffset
    """Through bolts, centre to centre up the post; 0 without bolts."""
    bolt_below: WrittenOffset
    """Walking surface down to the top bolt."""
    core_below: WrittenOffset
    """Walking surface down to the foot of the core; 0 for a surface mount."""
    bolt_diameter: WrittenSize | None = None
    """Of its through bolts; none: 1/2 in is assumed."""
    bolt_end: WrittenSize | None = None
    """Lowest bolt's centre down to the foot of the core, at least; none: 7 bolt diameters."""
    parts: tuple[tuple[Key, Annotated[int, Field(ge=1, le=64)]], ...]
    """Stock keys and count a post."""

    @model_validator(mode="after")
    def _bolt_has_wood_under_it(self) -> Self:
        if (
            self.lowest_bolt
            and self.bolt_end is not None
            and self.bolt_end < LEAST_DIAMETERS * self.bolt
        ):
            least = LEAST_DIAMETERS * self.bolt
            msg = (
                f"detail {self.key}: bolt_end of {self.bolt_end / INCH:g} in leaves less than "
                f"2 bolt diameters ({least / INCH:g} in) under the lowest bolt; give bolt_diameter "
                "and bolt_end as the approved detail shows them"
            )
            raise ValueError(msg)
        return self

    @property
    def bolt(self) -> int:
        """Diameter of its bolts, as recorded or assumed. [1/320 mm]."""
        return self.bolt_diameter or BOLT

    @property
    def lowest_bolt(self) -> int:
        """Walking surface down to the lowest bolt's centre; 0 without bolts. [1/320 mm]."""
        return self.bolt_below + self.bolt_apart

    @property
    def end_distance(self) -> int:
        """Wood under the lowest bolt's centre, as recorded or assumed. [1/320 mm]."""
        return self.bolt_end or END_DIAMETERS * self.bolt

    @property
    def core_foot(self) -> int:
        """Walking surface down to the foot: as recorded, or lower for the bolt. [1/320 mm]."""
        asked = self.lowest_bolt + self.end_distance if self.lowest_bolt else 0
        return max(self.core_below, asked)


CAB = 95
"""From this place of the loading order on a line rides in the cab."""


class CoreStock(Record):
    """A length in which post cores are bought."""

    key: Key
    """Stock key in the price book."""
    core: WrittenSize
    """Core, face to face."""
    length: WrittenSize
    """True length of a stick."""


class LabelStock(Record):
    """A sheet of labels for cut tickets, as its packet describes it."""

    paper: Literal["letter", "a4"] = "letter"
    """Size of the sheet."""
    columns: Annotated[int, Field(ge=1, le=8)]
    """Labels beside each other."""
    rows: Annotated[int, Field(ge=1, le=30)]
    """Labels one under the other."""
    left: WrittenOffset
    """Left edge of the sheet to the first label."""
    top: WrittenOffset
    """Top edge of the sheet to the first label."""
    wide: WrittenSize
    """Width of a label."""
    high: WrittenSize
    """Height of a label."""
    across: WrittenSize
    """Label to label across, left edges; the width itself where they touch."""
    down: WrittenSize
    """Label to label down, top edges."""


class Company(Record):
    """The company file."""

    schema_version: Literal[1] = 1
    """Version of this document's form; 1."""
    key: Key
    """The company's short name."""
    name: Line
    """As printed on the day sheets."""
    unit: Unit
    """Unit of bare numbers in this document."""
    zone: Annotated[str, AfterValidator(_a_zone)]
    """IANA time zone of the yard."""
    soft_cut_off: Hour
    """From then on changes are asked about."""
    hard_cut_off: Hour
    """From then on changes wait for the next night or a supplement."""
    final_run: Hour
    """When the last run of the night starts."""
    bundles_by: Hour = "05:00"
    """On the morning of the work day: packs not finished by then count as missing."""
    work_days: Annotated[tuple[Weekday, ...], Field(min_length=1)] = (
        "mon", "tue", "wed", "thu", "fri",
    )  # fmt: skip
    """Days of the week on which crews go out."""
    days_off: tuple[DayOff, ...] = ()
    """Holidays and closures on such days."""
    address: Line | None = None
    """Base address of the company's own Dawnpack service, to which printed codes lead; none: the
    codes carry job, revision and content code only."""
    on_duty: Line
    """Who answers questions at night, as printed."""
    on_duty_phone: Line | None = None
    """Telephone of the one on duty; printed wherever a crew is told to call."""
    phone: Line | None = None
    """Telephone for customers; printed on the homeowner's card and the open edge notice."""
    fallback_printer: Line | None = None
    """Print queue address that stands in when a crew's own printer cannot be used."""
    on_duty_mail: Mail | None = None
    """Where the night's decisions are mailed to; none: nowhere."""
    tape: Literal["1/8 in", "1/16 in", "1/32 in", "1 mm"]
    """Graduation of the crews' tapes for jobs in inches."""
    saw_kerf: WrittenSize
    end_trim: WrittenOffset
    """Squared off each end of a rail or stick, the blade within it; 0 where ends are clean."""
    keep_offcut: WrittenSize
    """An offcut at least this long goes back to the rack."""
    sphere_margin: WrittenOffset
    """The working limit of an opening stands this much inside the recorded one."""
    height_margin: WrittenOffset
    """The working limit of a height stands this much inside the recorded one."""
    post_error: WrittenOffset = INCH // 8
    """Posts are set to within this of their places: bays, and answers that move a post, keep so
    much to spare where they can. Default 1/8 in, common practice."""
    driver_room: WrittenOffset = 8 * INCH
    """A rail section beside a wall shorter than this is asked about: bracket and driver hardly
    fit. Default 8 in, common practice."""
    least_gate: WrittenOffset = 24 * INCH
    """A gate's clear opening narrower than this is asked about: a person with a load hardly gets
    through. Default 24 in, common practice; where a gate is a way out the code asks for more."""
    cut_for: Literal["job", "crew-day", "night"] = "job"
    """What is cut together."""
    shop_leaves: WrittenOffset = INCH // 2
    """Sleeves cut ahead are left so much longer, to be trimmed once their posts stand; so are the
    cores of posts that end a flight, until the stair's line is proved."""
    crews: Annotated[tuple[Crew, ...], Field(min_length=1)]
    """All crews."""
    wording: dict[Literal["es"], dict[Line, Line]] = Field(default_factory=dict)
    """The company's own texts in a crew's language: names of the price book, words of its fixing
    details, what posts stand on. A text that is not here is printed as given."""
    systems: Annotated[tuple[Key, ...], Field(min_length=1)]
    """Rail systems it buys."""
    details: tuple[FixingDetail, ...] = ()
    """Approved post connections."""
    rates: tuple[Rate, ...]
    """Hours for each kind of work."""
    spares: tuple[Spare, ...]
    """Spare rules by kind of part."""
    price_book: tuple[StockItem, ...]
    """Everything that is bought or loaded."""
    cores: tuple[CoreStock, ...] = ()
    """Lengths in which post cores are bought."""
    extras: tuple[PartRule, ...] = ()
    """What goes along by rule with whatever system."""
    labels: LabelStock | None = None
    """Label stock for cut tickets; none: they are cut from plain paper."""
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] | None = None
    """ISO 4217 code of the price book's money, in hundredths; none: orders carry no prices."""
    two_people_over: Grams
    """A piece heavier than this is carried by two. [g]"""
    two_people_longer: WrittenSize
    """So is a longer one."""

    @property
    def step(self) -> int:
        """The tape's graduation. [1/320 mm]."""
        return GRADUATIONS[self.tape]

    @property
    def whom_to_call(self) -> Said:
        """Who answers on the day, with the number where one is known."""
        if self.on_duty_phone:
            return say("{who}, {phone}", who=shipped(self.on_duty), phone=self.on_duty_phone)
        return shipped(self.on_duty)

    def called(self, key: str) -> str:
        """What the crew calls a stock item; its key where the price book has none."""
        return next((shipped(item.says) for item in self.price_book if item.key == key), key)

    def squared(self, stick: int) -> int:
        """The longest piece that a stick gives once both its ends are squared. [1/320 mm]."""
        return max(0, stick - 2 * self.end_trim)

    @model_validator(mode="after")
    def _cut_offs_in_order(self) -> Self:
        if self.soft_cut_off > self.hard_cut_off:
            msg = "soft_cut_off comes after hard_cut_off; put them the other way round"
            raise ValueError(msg)
        return self

    @model_validator(mode="after")
    def _keys_differ(self) -> Self:
        for what, keys in (
            ("crews", [c.key for c in self.crews]),
            ("price_book", [i.key for i in self.price_book]),
            ("details", [d.key for d in self.details]),
        ):
            if twice := sorted({k for k in keys if keys.count(k) > 1}):
                msg = f"{what}: keys must differ; twice: {', '.join(twice)}"
                raise ValueError(msg)
        return self
