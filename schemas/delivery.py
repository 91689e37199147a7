"""The night report: what one night's run came to, for the office's morning.

In: what the ledger says. Out: one document with every crew, every exception and its reason,
and the proof that no job was forgotten.
"""

from __future__ import annotations

from typing import Literal

from schemas.bundle import DecidedBooking
from schemas.errors import Problem
from schemas.record import Key, Line, Record
from schemas.site import Question


class DeliveredPack(Record):
    """A pack on a crew's day sheet."""

    job: Key
    revision: int
    code: Key
    """Content code."""
    pages: int
    replaces: str
    """Content code of the pack to be destroyed; empty for none."""
    file: str
    """Where it stands, under the delivery folder."""
    sha256: str
    """Of the file's bytes."""


class CrewNight(Record):
    """What a crew finds in the morning."""

    crew: Key
    state: Literal["made", "failed", "waiting", "ready", "withdrawn"]
    """Made: the bundle lies ready. Withdrawn: no work and no paper for this day any more."""
    code: str
    """Content code of the bundle; empty if there is none."""
    pages: int
    file: str
    """Where it stands, under the delivery folder; empty if there is none."""
    sha256: str
    packs: tuple[DeliveredPack, ...]
    supplement: str = ""
    """Where the sheet stands that brings a bundle already printed up to date; empty if there is
    no late change."""
    error: str
    """Why there is no bundle; empty if there is one."""


class ShopCutting(Record):
    """What the shop cuts ahead for a crew's day or the whole night."""

    pool: Key
    """Key of the crew, or `night`."""
    code: str
    """Content code of its sheets."""
    pages: int
    file: str
    """Where its sheets stand, under the delivery folder."""
    sha256: str


class NightException(Record):
    """A due job that is on no day sheet."""

    job: Key
    revision: int
    crew: Key
    state: str
    """Where it stands in its life."""
    reason: str
    questions: tuple[Question, ...]
    """What a human must answer first."""


class Unlabelled(Record):
    """A job whose cut tickets could not be set on the company's label stock."""

    job: Key
    revision: int
    crew: Key
    why: Line


class CalledBack(Record):
    """A pack that a crew may hold and must destroy."""

    job: Key
    revision: int
    crew: Key
    code: Key
    why: Line


Late = Literal["soft cut-off", "hard cut-off", "start of the last run"]


class LateChange(Record):
    """A change to the day that came after a cut-off."""

    job: Key
    revision: int
    crew: Key
    came: str
    """When, in the company's own time."""
    after: Late
    """The latest it came after."""


class RefusedFile(Record):
    """A file that was not taken in since the night before."""

    came_as: str
    problems: tuple[Problem, ...]


class NightReport(Record):
    """One run of one night."""

    schema_version: Literal[1] = 1
    company: Key
    work_date: str
    """The day the crews work, ISO 8601, in the company's zone."""
    issued: str
    """Day printed as that of issue, ISO 8601."""
    run: int
    """Counts the runs of this night."""
    started: str
    """RFC 3339, UTC."""
    ended: str
    """RFC 3339, UTC."""
    jobs_due: int
    """Counted from what was accepted, not from what was made."""
    on_day_sheets: int
    excepted: int
    complete: bool
    """Every due job is on exactly one crew's day sheet, or on the list of exceptions."""
    faults: tuple[str, ...]
    """What breaks that proof; empty when it holds."""
    packs_made: int
    """Made in this run; the others had not changed."""
    crews: tuple[CrewNight, ...]
    shop: tuple[ShopCutting, ...] = ()
    exceptions: tuple[NightException, ...]
    unlabelled: tuple[Unlabelled, ...] = ()
    """Jobs whose crew has no labels beside its bundle: the pack has the tickets on plain paper."""
    bookings: tuple[Question, ...]
    """What is wrong with who works where when, stops first; asked of the office."""
    decided: tuple[DecidedBooking, ...] = ()
    """What of it the office has answered: it is not asked again while the same is the matter."""
    called_back: tuple[CalledBack, ...]
    late: tuple[LateChange, ...] = ()
    """Changes after a cut-off, for whoever has loaded or cut already."""
    refused: tuple[RefusedFile, ...]
