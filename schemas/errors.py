"""Every way Dawnpack says no, in one tree.

    DawnpackError
    ├── BadInput            what was sent cannot be read; a problem list says where
    ├── GeometryError       sizes outside a formula's range
    ├── NoLayout            no legal bay, cut or position exists, with the nearest that would
    ├── BrokenPlan          a finished plan breaks a limit it was checked against
    ├── UnprintableText     a text no shipped font can show, or that cannot fit its place
    ├── Conflict            same job and revision with other content, or a lower revision
    ├── UnknownThing        no job, pack, crew or system of that name
    └── NotNow              a store, queue or printer cannot be used at the moment

The doors turn these into exit codes and HTTP statuses; the docstring is what the office reads.
"""

from __future__ import annotations

from collections.abc import Sequence

from schemas.record import Record


class Problem(Record):
    """One thing wrong with what was sent."""

    pointer: str
    """Where, as a JSON Pointer (RFC 6901); empty for the whole document."""
    value: str
    """What stood there, cut to 80 characters."""
    says: str
    """What is wrong with it."""
    mend: str
    """What would be right."""


class DawnpackError(Exception):
    """The root of all refusals."""


class BadInput(DawnpackError):
    """What was sent cannot be read as it stands; nothing was kept."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        """Keep all problems of the document, in the document's order."""
        super().__init__("; ".join(f"{p.pointer or '/'}: {p.says}" for p in problems))
        self.problems = tuple(problems)


class GeometryError(DawnpackError):
    """Sizes outside the range in which the formula holds."""


class NoLayout(DawnpackError):
    """No legal bay, cut or position exists for these measures."""


class BrokenPlan(DawnpackError):
    """A finished plan breaks a limit it was checked against; it is not printed."""


class UnprintableText(DawnpackError):
    """A text that no shipped font can show or that cannot fit its place on the sheet."""


class Conflict(DawnpackError):
    """The same job and revision with other content, or a revision that is not the highest."""


class UnknownThing(DawnpackError):
    """There is no job, pack, crew, system or profile of that name."""


class NotNow(DawnpackError):
    """A store, queue or printer cannot be used at the moment; the work is kept and tried again."""
