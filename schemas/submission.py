"""A submission: what the office sends us for one job, one document a revision.

In: JSON from the office's own systems. Out: a checked, frozen document.
Unknown is a legal value where the trade has it; extra fields are refused.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Final, Literal, Self

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from schemas.lengths import Unit
from schemas.record import Key, Line, Record
from schemas.site import (
    Address,
    Forecast,
    Gate,
    GuardLine,
    JobPart,
    LocalChange,
    MeasuredBy,
    OpenEdge,
    PostSpec,
    Reserved,
    Stair,
)

MISNAMED: Final = "a leg, stair or gate is named twice, or is not in the list"


class CodeChoice(Record):
    """Which published rules the authority applies, as the office recorded it."""

    profile: Key | None
    """Code profile key; null is unknown: the pack is printed with a hold point for it."""
    local_changes: tuple[LocalChange, ...] = ()
    """Local amendments that the office recorded."""


class RailChoice(Record):
    """What was sold."""

    system: Key
    """Rail system key."""
    colour: Key
    """Colour key of that system."""
    height: Key
    """Section height as ordered, by the system's own name for it."""
    stair_system: Key | None = None
    """Another system for the stairs; none: the same."""


class Submission(Record):
    """One job at one revision."""

    schema_version: Literal[1]
    """Version of this document's form; 1."""
    job: Key
    """The office's job number."""
    revision: Annotated[int, Field(ge=1, le=9999)]
    """Counts up; a higher one replaces all lower ones."""
    crew: Key
    """Key of the crew it is for, from the company file."""
    install_date: date
    """Day of work in the company's time zone, ISO 8601."""
    unit: Unit
    """Unit of bare numbers in this document."""
    use: Literal["one-family", "two-family", "multi-family", "commercial"]
    """What the building is; some code rules depend on it."""
    site: Address
    """Where it is, how to get in, what is dangerous there."""
    measured: MeasuredBy
    """Who measured, when and how well."""
    code: CodeChoice
    """Which published rules apply."""
    rail: RailChoice
    """Rail system, colour and height."""
    post: PostSpec
    """The structural posts."""
    lines: Annotated[tuple[GuardLine, ...], Field(min_length=1, max_length=50)]
    """Every guard line, as walked."""
    stairs: Annotated[tuple[Stair, ...], Field(max_length=60)] = ()
    """Every flight that carries a rail."""
    gates: Annotated[tuple[Gate, ...], Field(max_length=60)] = ()
    """Every gate."""
    open_edges: Annotated[tuple[OpenEdge, ...], Field(max_length=60)] = ()
    """Edges that stay without railing where no stair or gate is: stairs removed, a bench."""
    extras: Annotated[tuple[Key, ...], Field(max_length=20)] = ()
    """What was sold beside the railing, by the names in the company's and the system's part rules,
    e.g. `post-lights`."""
    remove_feet: Annotated[float, Field(ge=0, le=5000)] = 0
    """Old railing to take away. [ft]"""
    permit: Line | None = None
    """Permit number; none is not recorded."""
    inspection: date | None = None
    """Day for which the inspector is booked; none is not booked."""
    deck_work: date | None = None
    """Last day on which others built at the deck; none is not known."""
    reserved: Annotated[tuple[Reserved, ...], Field(max_length=60)] = ()
    """Rail kits set aside for it; none: nothing is reserved by kit."""
    promises: Annotated[tuple[Line, ...], Field(max_length=20)] = ()
    """What the customer was promised; always printed."""
    sold: Annotated[str, Field(max_length=200)] | None = None
    """The job head's own count in words, if the office keeps one, e.g. `2 stairs, 1 gate`."""
    forecast: Forecast | None = None
    """Weather of the day of work; none: not looked up."""
    part: JobPart | None = None
    """Which part of a split job it is; written by the split. None: it is a whole job."""

    @model_validator(mode="after")
    def _names_agree(self) -> Self:
        """A guard; the office is told of each by the intake, with its place."""
        legs = [leg.name for line in self.lines for leg in line.legs]
        stairs = [stair.name for stair in self.stairs]
        names = [*legs, *stairs, *(gate.name for gate in self.gates)]
        named = [*(stair.leg for stair in self.stairs), *(gate.leg for gate in self.gates)]
        named += [edge.leg for edge in self.open_edges]
        lost = set(named).difference(legs)
        lost |= {gate.stair for gate in self.gates if gate.stair}.difference(stairs)
        if len(set(names)) < len(names) or lost:
            kind, says = "misnamed", MISNAMED
            raise PydanticCustomError(kind, says)
        return self
