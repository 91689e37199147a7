"""A bundle: one crew's packs for one day, behind a day sheet.

In: the day's plans and what could not be made. Out: one document to print.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from schemas.plan import Plan
from schemas.record import Key, Line, Record
from schemas.wording import SaidText


class Stop(Record):
    """A job on a crew's day, with its pack."""

    plan: Plan
    code: Key
    """Content code of its pack."""
    replaces: Line
    """What is to be destroyed, or ``nothing``."""
    before: Plan | None = None
    """Plan of the pack that is to be destroyed, where it is known: what differs is marked."""
    open_questions: tuple[SaidText, ...] = ()


class Missing(Record):
    """A job of the day that has no pack."""

    job: Key
    revision: int
    why: SaidText
    """Reason, in words: held, refused, failed."""


class DecidedBooking(Record):
    """What the office answered about a day's bookings."""

    question: Annotated[str, Field(max_length=100)]
    """Key of the question, e.g. `day-full.heron`."""
    says: Annotated[str, Field(max_length=4000)]
    """What was asked about, in English: an answer counts only while the same is the matter."""
    option: Key
    """Key of the option chosen."""
    by: Line
    """Who decided."""
    why: Line
    """On what ground."""


class LateChange(Record):
    """What is different for one job since its crew's bundle was printed."""

    job: Key
    revision: int
    destroy: str = ""
    """Code of the pack in that bundle that counts no more; empty if it held none."""
    pack: str = ""
    """Code of the pack that counts now; empty if there is none."""
    why: SaidText = ""
    """Why there is none."""


class BundleFile(Record):
    """One crew's day."""

    crew: Key
    day: Line
    code: Key
    pages: int
    pdf: bytes
