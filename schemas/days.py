"""A job whose work is done on two days: what each does, and what is handed over between them."""

from __future__ import annotations

from typing import Literal

from schemas.record import Record
from schemas.wording import SaidLine, SaidText

Work = Literal["posts", "rails"]
"""The first day's work, up to posts that stand dressed and a guarded edge; the second's, from
openings measured again to the customer's signature."""


class Shared(Record):
    """One thing of the job, shared out: what both days do is what the job has."""

    what: SaidLine
    whole: SaidText
    first: SaidText
    second: SaidText
    equal: bool


class DayShare(Record):
    """One day's share of a job."""

    work: Work
    shared: tuple[Shared, ...]
    """The whole job and both days, side by side."""
    stays: tuple[tuple[SaidLine, int], ...]
    """Loaded on the first day, used on both: left on site or handed over, with pieces loaded."""
