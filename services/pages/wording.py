"""Words and figures as the crew reads them: one phrase, one place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from schemas.bays import Movement
from schemas.layout import Post
from schemas.lengths import Length
from schemas.pages import Prose
from schemas.wording import Said, counted, row, say
from services import tape

_GRAMS_A_POUND = 453.59237
"""International yard and pound agreement (1959)."""

CLAIM = say(
    "This pack gives layout and quantities, worked out from the measures it was "
    "sent, and nothing more. It does not approve the structure, the fixings or "
    "anything under a code. The authority having jurisdiction, a licensed "
    "professional and the rail maker's printed instructions come before it: "
    "where they differ from a sheet, stop and call the office."
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

    def marks(self, lengths: Iterable[Length]) -> str:
        """Several, one after the other."""
        return "; ".join(map(self.mark, lengths)) or say("none")

    def weight(self, grams: int) -> str:
        """In pounds beside inches, in kilograms beside millimetres."""
        if self.metric:
            return f"{grams / 1000:.1f} kg"
        return f"{grams / _GRAMS_A_POUND:.0f} lb"


def units_words(ruler: Ruler) -> str:
    """The sheet's unit, where its own head has room for it."""
    return say("Millimetres") if ruler.metric else say("Inches")


def units_note(ruler: Ruler) -> Prose:
    """The line that says the sheet's unit and which side is left."""
    unit = say("Lengths in millimetres.") if ruler.metric else say("Lengths in inches.")
    sides = say("Left and right: from the yard toward the house, or going up.")
    return Prose(text=row((unit, sides), " "))


def job_words(job: str, revision: int) -> Said:
    """A job at its revision."""
    return say("{job} rev {revision}", job=job, revision=revision)


def hours_words(hours: float) -> str:
    """Hours to a hundredth, as they are added up, e.g. ``6.05 h``: rows make their sum."""
    return f"{round(hours, 2):g} h"


def movement_words(movement: Movement, ruler: Ruler) -> str:
    """How much a rail grows and shrinks, against the gaps at its ends."""
    grows = say(
        "{free}, against {room} of end gap, both ends together",
        free=ruler.mark(movement.free),
        room=ruler.mark(movement.room),
    )
    return grows if movement.fits else say("{grows}: see the rail maker", grows=grows)


def people(count: int) -> Said:
    """How many it takes."""
    return counted("{count} person", "{count} people", count=count)


_UNKNOWN = say("not known")


def yes(*, value: bool | None, unknown: str = _UNKNOWN) -> str:
    """Yes, no, or that nobody knows."""
    if value is None:
        return unknown
    return say("yes") if value else say("no")


def post_words(post: Post) -> str:
    """What kind of post it is, and whether it stands already."""
    kinds = {
        "end": say("end"), "line": say("line"), "corner": say("corner"), "gate": say("gate"),
        "stair-upper": say("top of stair"), "stair-mid": say("on a tread"),
        "stair-lower": say("foot of stair"),
    }  # fmt: skip
    kind = kinds[post.where]
    return row((kind, say("in place"))) if post.in_place else kind


def side_words(stair: str, side: str) -> Said:
    """One side of a stair."""
    if side == "left":
        return say("Stair {stair}, left side going up", stair=stair)
    return say("Stair {stair}, right side going up", stair=stair)
