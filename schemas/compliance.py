"""Findings: one checked statement each. They approve nothing.

In: the plan and the code profile. Out: rule, place, required, found, margin, verdict.
"""

from __future__ import annotations

from typing import Literal

from schemas.lengths import Length
from schemas.record import Key, Line, Record

Verdict = Literal["meets", "breaks", "check on site", "for the authority"]
"""`for the authority` includes a licensed designer's decision."""


class Finding(Record):
    """One rule at one place."""

    rule: Key
    """Rule id in the profile, or of our own screen, e.g. ``post-bending``."""
    clause: Line
    """As the edition numbers it; ``common practice`` for what no code says."""
    says: Line
    """The rule in our own words."""
    place: Line
    """In the names printed on the plan."""
    required: Line
    """In words and tape marks, e.g. ``under 4 in; working limit 3 15/16``."""
    found: Line
    """What the plan has, in tape marks."""
    margin: Length | None = None
    """How far inside (negative: outside) the recorded limit; none where it is no length."""
    verdict: Verdict
    """What can be said of it from here."""
    outside: bool = False
    """Found outside the recorded limit, also where the verdict is left to the authority."""
    working: bool = True
    """Also inside the company's stricter working limit."""
    note: str = ""
    """Shown arithmetic, doubts, who allowed what."""
    source: Line
    """Publication, edition and page or clause."""


class Compliance(Record):
    """All findings of a job, and the proof that nothing was left out."""

    profile: Line
    """Title and edition, or that none is recorded."""
    findings: tuple[Finding, ...]
    """In plan order."""
    doubts: tuple[Line, ...]
    """What is not settled about the profile."""
    complete: tuple[tuple[Line, Line, Line, bool], ...]
    """What, job head, sheets, and whether they are equal."""
