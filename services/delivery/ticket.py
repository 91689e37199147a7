"""What a printer is asked for: size, both sides, staple, copies, and no scaling.

Sheets are to scale and carry a check bar, so that a printer which would shrink them to fit, or
has other paper in, is not used; a missing staple or second side only costs comfort, and is said.

Source:
    RFC 8011 (IPP/1.1 Model and Semantics), 5.2: copies, finishings, sides, media.
    PWG 5100.13 (IPP Driver Replacement Extensions): print-scaling.
    PWG 5101.1 (Media Standardized Names): na_letter_8.5x11in, iso_a4_210x297mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from schemas.company import PrintTicket

MEDIA: Final = {"letter": "na_letter_8.5x11in", "a4": "iso_a4_210x297mm"}
STAPLES: Final = {"top-left": 20, "any": 4}
"""Values of `finishings`."""
NO_FINISHING: Final = 3
ONE: Final = "one-sided"
BOTH: Final = "two-sided-long-edge"

Value = str | int
Supported = Mapping[str, Sequence[Value]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreed:
    """What is sent with a job, and what could not be had."""

    keywords: dict[str, str]
    """Attributes of syntax keyword."""
    copies: int
    finishings: int
    """Value of the enumeration; 3 is none."""
    dropped: tuple[str, ...]
    """In words, for the receipt."""
    refused: str
    """Why this printer is not to be used; empty if it is."""


def agree(ticket: PrintTicket, *, paper: str, duplex: bool, supported: Supported) -> Agreed:
    """Fit a crew's wishes to what a printer says it can do.

    Args:
        ticket: The wishes.
        paper: Size of the sheets, `letter` or `a4`.
        duplex: Whether the bundle is set for both sides.
        supported: The printer's `...-supported` attributes; what it does not name is sent.
    """
    dropped = []
    keywords = {"media": MEDIA[paper], "print-scaling": "none", "sides": ONE}
    if duplex and _has(supported, "sides", BOTH):
        keywords["sides"] = BOTH
    elif duplex:
        dropped.append(f"it prints on one side only, not {BOTH}")
    finishings = _staple(ticket, supported)
    if ticket.staple and finishings == NO_FINISHING:
        dropped.append("it has no stapler")
    copies = ticket.copies
    most = supported.get("copies-supported", ())
    if most and isinstance(most[-1], int) and most[-1] < copies:
        copies = most[-1]
        dropped.append(f"it makes {copies} copies at most, not {ticket.copies}")
    return Agreed(
        keywords=keywords,
        copies=copies,
        finishings=finishings,
        dropped=tuple(dropped),
        refused=_refused(keywords["media"], supported),
    )


def _refused(media: str, supported: Supported) -> str:
    if not _has(supported, "document-format", "application/pdf"):
        return "it does not take PDF"
    if not _has(supported, "media", media):
        return f"it has no {media}"
    if not _has(supported, "print-scaling", "none"):
        return "it cannot print without scaling"
    return ""


def _staple(ticket: PrintTicket, supported: Supported) -> int:
    if not ticket.staple:
        return NO_FINISHING
    wanted = (STAPLES["top-left"], STAPLES["any"])
    return next((v for v in wanted if _has(supported, "finishings", v)), NO_FINISHING)


def _has(supported: Supported, name: str, value: Value) -> bool:
    known = supported.get(f"{name}-supported", ())
    return not known or value in known
