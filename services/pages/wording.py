"""Words and figures as the crew reads them: one phrase, one place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from schemas.bays import Movement
from schemas.layout import Post
from schemas.lengths import Length
from schemas.pages import Prose
from services import tape

_GRAMS_A_POUND = 453.59237
"""International yard and pound agreement (1959)."""
_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip

CLAIM = (
    "This pack gives layout and quantities, worked out from the measures it was sent, and nothing "
    "more. It does not approve the structure, the fixings or anything under a code. The authority "
    "having jurisdiction, a licensed professional and the rail maker's printed instructions come "
    "before it: where they differ from a sheet, stop and call the office."
)
"""What a pack is and is not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruler:
    """Lengths and weights as this job's paper shows them."""

    step: Length
    """Graduation. [1/320 mm]"""

    @property
    def metric(self) -> bool:
        """Whether the paper is in millimetres."""
        return tape.is_metric(self.step)

    @property
    def unit(self) -> str:
        """The unit's name, for heads of tables and notes."""
        return "mm" if self.metric else "in"

    def mark(self, length: Length) -> str:
        """As read off the tape, without the unit."""
        return tape.text(length, self.step)

    def maybe(self, length: Length | None, otherwise: str) -> str:
        """A length that may not be known."""
        return otherwise if length is None else self.mark(length)

    def whole(self, length: Length) -> str:
        """With its unit, for running words."""
        return tape.text_with_unit(length, self.step)

    def long(self, length: Length) -> str:
        """A long length: with feet and inches, or metres, beside the marks."""
        return f"{self.mark(length)} ({tape.feet_and_inches(length, self.step)})"

    def marks(self, lengths: Iterable[Length], *, none: str = "none") -> str:
        """Several, one after the other."""
        return "; ".join(map(self.mark, lengths)) or none

    def weight(self, grams: int) -> str:
        """In pounds beside inches, in kilograms beside millimetres."""
        if self.metric:
            return f"{grams / 1000:.1f} kg"
        return f"{grams / _GRAMS_A_POUND:.0f} lb"


def units_words(ruler: Ruler) -> str:
    """The sheet's unit, where its own head has room for it."""
    return "Millimetres" if ruler.metric else "Inches"


def units_note(ruler: Ruler) -> Prose:
    """The line that says the sheet's unit and which side is left."""
    unit = "millimetres" if ruler.metric else "inches"
    return Prose(
        text=f"Lengths in {unit}. Left and right: from the yard toward the house, or going up."
    )


def day_words(iso: str) -> str:
    """A day in words, e.g. ``3 December 2026``."""
    year, month, day = iso.split("-")
    return f"{int(day)} {_MONTHS[int(month) - 1]} {year}"


def hours_words(hours: float) -> str:
    """Hours to a quarter, e.g. ``6.25 h``."""
    return f"{round(hours * 4) / 4:g} h"


def movement_words(movement: Movement, ruler: Ruler) -> str:
    """How much a rail grows and shrinks, against the gaps at its ends."""
    grows = f"{ruler.mark(movement.free)}, end gaps {ruler.mark(movement.room)}"
    return grows if movement.fits else f"{grows}: see the rail maker"


def count_words(count: int, one: str) -> str:
    """A count with its thing, e.g. ``1 person``, ``2 bays``."""
    many = {"person": "people"}.get(one, f"{one}s")
    return f"{count} {one if count == 1 else many}"


def yes(*, value: bool | None, unknown: str = "not known") -> str:
    """Yes, no, or that nobody knows."""
    if value is None:
        return unknown
    return "yes" if value else "no"


def joined(names: Iterable[str]) -> str:
    """Names in a row."""
    return ", ".join(names)


def post_words(post: Post) -> str:
    """What kind of post it is, and whether it stands already."""
    kinds = {
        "end": "end", "line": "line", "corner": "corner", "gate": "gate",
        "stair-upper": "top of stair", "stair-mid": "on a tread", "stair-lower": "foot of stair",
    }  # fmt: skip
    return kinds[post.where] + (", in place" if post.in_place else "")


def side_words(stair: str, side: str) -> str:
    """One side of a stair."""
    return f"Stair {stair}, {side} side going up"
