"""The foot of a page: which version this is, and how to see whether it still counts."""

from __future__ import annotations

from dataclasses import dataclass

from schemas.pages import Imprint
from schemas.wording import say
from services.paper.frame import Frame
from services.paper.ink import WEIGHTS, Ink
from services.paper.letters import clean
from services.paper.scan_code import SIDE
from services.paper.type import ASCENT, BOLD, REGULAR, Face, Fitted, fit, width
from services.wording import Words, words_for

_GAP = 8.0
"""Between the rule and what is under it: the quiet zone of the code. [pt]"""
_COUNT_ROOM = 160.0
"""Room for `sheet i of k`. [pt]"""
_SCAN = say("Scan: is this sheet still current?")
_ASK = say("Ask the office by the code whether this sheet is current.")
_MOST_NOTES = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Footer:
    """A part's foot, the same on all its pages but for the count."""

    frame: Frame
    texts: tuple[tuple[Fitted, Face], ...]
    left: float
    """Where the texts begin, right of the code. [pt]"""
    words: Words

    @property
    def height(self) -> float:
        """From where blocks must end to the margin, in points."""
        side = SIDE if self.left > self.frame.left else 0
        return max(sum(fitted.height for fitted, _ in self.texts), side) + 2 * _GAP

    @property
    def code_at(self) -> tuple[float, float]:
        """Lower left corner of the code, in points."""
        return self.frame.left, self.frame.bottom + self.height - 2 * _GAP - SIDE

    def paint(self, ink: Ink, *, number: int, of: int) -> None:
        """Put it on a page."""
        frame = self.frame
        top = frame.bottom + self.height - _GAP
        ink.rule(frame.left, top, frame.right, top, weight=WEIGHTS["wide"])
        top -= _GAP
        count = self.words.say("sheet {number} of {of}", number=number, of=of)
        x = frame.right - width(count, 14, BOLD)
        ink.text(x, top - ASCENT * 12, count, size=14, face=BOLD)
        for fitted, face in self.texts:
            for line in fitted.lines:
                ink.text(self.left, top - ASCENT * fitted.size, line, size=fitted.size, face=face)
                top -= fitted.leading


def set_footer(imprint: Imprint, frame: Frame) -> Footer:
    """Fit the foot of a part's pages into the margins' frame."""
    left = frame.left + (SIDE + 12 if imprint.check_at else 0)
    room = frame.right - left
    words = words_for(imprint.language)
    issued = words.say("Issued {when}", when=clean(imprint.issued))
    if company := clean(imprint.company).strip():
        issued = f"{company}. {issued}"
    code = words.say("Code {code}", code=clean(imprint.code))
    texts = [
        (fit(code, BOLD, size=12, floor=9, most=2, room=room - _COUNT_ROOM), BOLD),
        *_versions(issued, _replaces(words, clean(imprint.replaces).strip()), room),
    ]
    notes = " ".join(text for note in imprint.notes if (text := clean(note).strip()))
    if imprint.check_at:
        asked = words.of(_SCAN if "://" in imprint.check_at else _ASK)
        notes = f"{asked} {notes}".strip()
    if notes:
        texts.append((fit(notes, REGULAR, size=9, most=_MOST_NOTES, room=room), REGULAR))
    return Footer(frame=frame, texts=tuple(texts), left=left, words=words)


def _replaces(words: Words, what: str) -> str:
    return words.say("Replaces {what}", what=what) if what else words.say("Replaces nothing")


def _versions(issued: str, replaces: str, room: float) -> tuple[tuple[Fitted, Face], ...]:
    """When it was issued and what it replaces: in one line where both find room."""
    both = f"{issued}. {replaces}"
    if width(both, 10, BOLD) <= room:
        return ((Fitted(lines=(both,), size=10), BOLD),)
    return tuple(
        (fit(text, face, size=10, floor=9, most=2, room=room), face)
        for text, face in ((issued, REGULAR), (replaces, BOLD))
    )
