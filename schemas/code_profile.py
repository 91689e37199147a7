"""A code profile: published rules of one edition as data, with their clauses.

In: one TOML file an edition. Out: rules that findings compare against.
A rule says what is measured, the comparison, the limit, its source and how sure
we are of it; nothing about any code stands in Python.
"""

from __future__ import annotations

from operator import ge, gt, le, lt
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from schemas.lengths import Unit, WrittenSize
from schemas.record import Key, Line, Record
from schemas.wording import SaidLine

Measured = Literal[
    "guard.drop",
    "guard.height",
    "guard.stair_height",
    "guard.stair_height_as_handrail",
    "guard.opening",
    "guard.opening_above",
    "guard.stair_opening",
    "guard.triangle",
    "stair.clear_width_above",
    "stair.clear_width_one_rail",
    "stair.clear_width_two_rails",
    "stair.flight_rise",
    "stair.riser",
    "stair.riser_spread",
    "stair.riser_adjacent",
    "stair.tread",
    "stair.tread_spread",
    "stair.open_riser",
    "stair.nosing",
    "stair.pitch",
    "stair.twice_riser_plus_tread",
    "handrail.risers",
    "handrail.sides",
    "handrail.height",
    "handrail.projection",
    "handrail.clearance",
    "handrail.diameter",
    "handrail.bracket_apart",
    "handrail.bracket_end",
    "handrail.extension_top",
    "handrail.extension_bottom",
    "guard.foothold",
    "load.point",
    "load.line",
    "load.infill",
    "load.vertical",
    "said.guards",
    "said.handrails",
    "said.posts",
    "said.posts_at_side",
    "said.posts_on_top",
    "said.hardware",
]
"""What is measured, in the trade's words; `said` is what a rule puts in words only."""

Comparison = Literal["<", "<=", ">", ">=", "within", "as said"]
"""How the found value must stand to the limit; `within` includes both ends. A sphere is `<`, and
"30 in or more" is `>=`. `as said` has no figure: people look on site whether it is so."""

_STANDS = {"<": lt, "<=": le, ">": gt, ">=": ge}


class Rule(Record):
    """One published rule."""

    id: Key
    """Ours, the same through all editions, e.g. ``guard-height``."""
    measures: Measured
    """What is measured."""
    compare: Comparison
    """How the found value must stand to the limit."""
    limit: WrittenSize | None = None
    """The recorded limit, where it is a length; the lower one of `within`."""
    upper: WrittenSize | None = None
    """The upper limit of `within`."""
    number: float | None = None
    """The recorded limit, where it is not a length."""
    number_unit: Literal[
        "", "risers", "sides", "treads", "lb", "lb/ft", "kN", "kN/m", "kN/m2", "degrees"
    ] = ""
    """Unit of `number`."""
    clause: Line
    """Clause in this edition."""
    says: Line
    """The rule in our own words."""
    where: Literal["all", "drop-over", "drop-up-to", "climbable-over"] = "all"
    """Whether it holds only beyond or up to a drop."""
    where_drop: WrittenSize | None = None
    """That drop."""
    unless_tread: WrittenSize | None = None
    """It is not asked where the tread is at least this."""
    from_width: WrittenSize | None = None
    """It is asked only where the stair is at least so wide."""
    trigger: bool = False
    """A rule that decides whether others apply, not one that is met or broken."""
    confidence: Literal["quoted", "secondary", "from memory"]
    """How the figure was come by; anything but `quoted` is printed as one for the authority."""
    source: SaidLine
    """Publication and edition."""

    @model_validator(mode="after")
    def _has_its_limit(self) -> Self:
        figures = (self.limit is not None) + (self.number is not None)
        if self.compare == "as said" and (figures or not self.measures.startswith("said.")):
            msg = "a rule compared `as said` measures something `said.` and has no figure"
            raise ValueError(msg)
        if self.compare != "as said" and figures != 1:
            msg = "a rule has either a limit (a length) or a number"
            raise ValueError(msg)
        if (self.compare == "within") != (self.upper is not None) and self.number is None:
            msg = "upper goes with the comparison `within`, and only with it"
            raise ValueError(msg)
        return self

    def stands(self, figure: float) -> bool | None:
        """Whether a figure stands to the limit as the rule compares; none: it has no limit.

        Args:
            figure: In the inside unit where the limit is a length, else in `number_unit`.
        """
        limit = self.number if self.limit is None else self.limit
        if limit is None:
            return None
        if self.compare == "within":
            return limit <= figure and (self.upper is None or figure <= self.upper)
        return bool(_STANDS[self.compare](figure, limit))


class CodeProfile(Record):
    """The rules of one edition of one code."""

    schema_version: Literal[1] = 1
    """Version of this document's form; 1."""
    key: Key
    """As submissions name it, e.g. ``us-irc-2021``."""
    title: Line
    """Name of the code, as published."""
    edition: Line
    """Edition or amendment."""
    unit: Unit
    """Primary unit: in for US profiles, mm elsewhere; never converted back and forth."""
    scope: Line
    """What buildings it is for."""
    uses: tuple[Literal["one-family", "two-family", "multi-family", "commercial"], ...] = ()
    """The same as a job names them; a job of another use is doubted on paper. None given: all."""
    rules: Annotated[tuple[Rule, ...], Field(min_length=1)]
    """All rules transcribed."""
    doubts: tuple[Line, ...] = ()
    """What is not settled about this transcript; printed with the findings."""

    @model_validator(mode="after")
    def _one_rule_an_id(self) -> Self:
        ids = [rule.id for rule in self.rules]
        if len(set(ids)) < len(ids):
            twice = sorted({i for i in ids if ids.count(i) > 1})
            msg = f"rule ids must differ; twice: {', '.join(twice)}"
            raise ValueError(msg)
        return self
