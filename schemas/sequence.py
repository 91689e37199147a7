"""The order of work, its hold points and its cautions.

In: the finished layout, bays, cuts. Out: steps with this job's own numbers.
"""

from __future__ import annotations

from typing import Literal

from schemas.record import Key, Record
from schemas.wording import SaidLine, SaidText


class Step(Record):
    """One step of the install."""

    number: int
    """Order on paper, from 1."""
    key: Key
    """As other steps name it."""
    stage: SaidLine
    """Part of the work it belongs to, e.g. ``Posts``."""
    text: SaidText
    """What to do, with this job's numbers."""
    hold: Key | None = None
    """Hold point: not passed until checked and initialled, e.g. ``H3``."""
    people: int = 1
    """How many it takes."""
    tool: SaidText = ""
    """Tool, bit, blade, driver."""
    wait: SaidText = ""
    """Cure or wait before going on."""
    slip: SaidText = ""
    """The trade's known slip at this step."""
    cautions: tuple[Key, ...] = ()
    """Caution keys, said in short here and in full at the front."""
    after: tuple[Key, ...] = ()
    """Steps that must be done first."""


class Caution(Record):
    """A safety message, once in full."""

    key: Key
    """As steps name it."""
    signal: Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
    """Signal word as ANSI Z535 means it."""
    task: SaidLine
    """Work it belongs to."""
    hazard: SaidText
    """What can hurt."""
    consequence: SaidText
    """What it can do."""
    avoid: SaidText
    """What to do about it."""
    short: SaidLine
    """At the step."""
    source: SaidLine
    """Publication and clause, or ``common practice``."""


class Sequence(Record):
    """The whole order of work."""

    steps: tuple[Step, ...]
    """In order."""
    cautions: tuple[Caution, ...]
    """Those that this job's steps call for, worst first."""
    site_hazards: tuple[SaidText, ...]
    """This site's own, first on the job card; eight at most."""
    further_hazards: tuple[SaidText, ...] = ()
    """Those beyond, in full on the cautions sheet."""
