"""Findings: one checked statement each. They approve nothing.

In: the plan and the code profile. Out: rule, place, required, found, margin, verdict.
"""

from __future__ import annotations

from typing import Literal

from schemas.lengths import Length
from schemas.record import Key, Record
from schemas.wording import SaidLine, SaidText

Verdict = Literal["meets", "breaks", "check on site", "for the authority"]
"""`for the authority` includes a licensed designer's decision."""


class Finding(Record):
    """One rule at one place."""

    rule: Key
    """Rule id in the profile, or of our own screen, e.g. ``post-bending``."""
    clause: SaidLine
    """As the edition numbers it; ``common practice`` for what no code says."""
    says: SaidLine
    """The rule in our own words."""
    place: SaidLine
    """In the names printed on the plan."""
    required: SaidText
    """In words and tape marks, e.g. ``under 4 in; working limit 3 15/16``."""
    found: SaidText
    """What the plan has, in tape marks."""
    margin: Length | None = None
    """How far inside (negative: outside) the recorded limit; none where it is no length."""
    verdict: Verdict
    """What can be said of it from here."""
    outside: bool = False
    """Found outside the recorded limit, also where the verdict is left to the authority."""
    working: bool = True
    """Also inside the company's stricter working limit."""
    over_guide: bool = False
    """A screen's figure is over the value it is set beside; that value is no recorded rule."""
    note: SaidText = ""
    """Shown arithmetic, doubts, who allowed what."""
    source: SaidText
    """Publication, edition and page or clause."""


class Compliance(Record):
    """All findings of a job, and the proof that nothing was left out."""

    profile: SaidLine
    """Title and edition, or that none is recorded."""
    findings: tuple[Finding, ...]
    """In plan order."""
    doubts: tuple[SaidText, ...]
    """What is not settled about the profile."""
    complete: tuple[tuple[SaidText, SaidText, SaidText, bool], ...]
    """What, job head, sheets, and whether they are equal."""
