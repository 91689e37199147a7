"""A pack: one job's printed document and its identity.

In: a plan. Out: pages, bytes and the code by which two versions are told apart.
"""

from __future__ import annotations

from schemas.plan import Plan
from schemas.record import Key, Line, Record
from schemas.site import Question


class Outcome(Record):
    """What planning a submission came to."""

    plan: Plan | None
    """None: held, a human must answer first."""
    questions: tuple[Question, ...]
    """Those still open, the stops first."""


class PackFile(Record):
    """One job's pack."""

    job: Key
    revision: int
    code: Key
    """Content code: same content, same code."""
    pages: int
    pdf: bytes
    sheets: tuple[tuple[Key, Line, int], ...]
    """Key, title and first page of each sheet."""


class OtherFile(Record):
    """A file that goes beside a pack."""

    name: Line
    content: bytes
