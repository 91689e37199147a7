"""The head of a page: which sheet this is, of which job, for whom."""

from __future__ import annotations

from dataclasses import dataclass

from schemas.pages import Imprint, Sheet
from schemas.wording import say
from services.paper.frame import Frame
from services.paper.ink import WEIGHTS, Ink
from services.paper.letters import clean
from services.paper.type import ASCENT, BOLD, CUT, REGULAR, Face, Fitted, fit, width
from services.wording import words_for

CONTINUED = say("continued")
"""Said on every page of a sheet but its first."""
_CONTINUED_SIZE = 12.0
_BEFORE = 8.0
"""Between the title and that word. [pt]"""
_JOB_SHARE = 0.34
"""How much of the width the job's own column takes."""
_GAP = 10.0
"""Between the two columns, and under the heavy rule. [pt]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Header:
    """A sheet's head, the same on all its pages but for the word `CONTINUED`."""

    frame: Frame
    left: tuple[tuple[Fitted, Face], ...]
    right: tuple[tuple[Fitted, Face], ...]
    continued: str
    """`CONTINUED` in the crew's words."""

    @property
    def height(self) -> float:
        """From the margin to where blocks may begin, in points."""
        sides = [sum(fitted.height for fitted, _ in side) for side in (self.left, self.right)]
        return max(sides) + 4 + _GAP

    def opening(self, before: int) -> Ink:
        """The ink of the sheet's next page, so many having gone before; nothing else on it yet."""
        ink = Ink()
        frame = self.frame
        _column(ink, frame.left, frame.top, self.left, end=False)
        _column(ink, frame.right, frame.top, self.right, end=True)
        rule = frame.top - self.height + _GAP
        ink.rule(frame.left, rule, frame.right, rule, weight=WEIGHTS["heavy"])
        if before:
            title = self.left[0][0]
            x = frame.left + width(title.lines[-1], title.size, BOLD) + _BEFORE
            y = frame.top - title.height + title.leading - ASCENT * title.size
            ink.text(x, y, self.continued, size=_CONTINUED_SIZE, face=BOLD)
        return ink


def set_header(imprint: Imprint, sheet: Sheet, frame: Frame) -> Header:
    """Fit the head of a sheet's pages into the margins' frame."""
    right = frame.width * _JOB_SHARE
    left = frame.width - right - _GAP
    title = clean(sheet.title).strip() or clean(sheet.key)
    continued = words_for(imprint.language).of(CONTINUED)
    return Header(
        frame=frame,
        continued=continued,
        left=(
            (_title(title, left, continued), BOLD),
            *_lines(
                (sheet.place, BOLD, 13, 11, 2, left),
                (imprint.site, REGULAR, 11, 10, 2, left),
            ),
        ),
        right=(
            (_job(clean(imprint.job), right), BOLD),
            *_lines(
                (imprint.revision, BOLD, 13, 11, 1, right),
                (imprint.crew, REGULAR, 11, 10, 2, right),
            ),
        ),
    )


def _title(text: str, room: float, continued: str) -> Fitted:
    """The title, with room after its last line for `CONTINUED`."""
    more = _BEFORE + width(continued, _CONTINUED_SIZE, BOLD)
    fitted = fit(text, BOLD, size=22, floor=15, most=2, room=room)
    if width(fitted.lines[-1], fitted.size, BOLD) + more <= room:
        return fitted
    return fit(text, BOLD, size=22, floor=15, most=2, room=room - more)


def _job(text: str, room: float) -> Fitted:
    """The job's number, on one line if it can be: it is what a sheet is known by."""
    fitted = fit(text, BOLD, size=18, floor=13, most=1, room=room)
    if fitted.lines[0].endswith(CUT):
        return fit(text, BOLD, size=18, floor=12, most=2, room=room)
    return fitted


def _lines(
    *wanted: tuple[str, Face, float, float, int, float],
) -> tuple[tuple[Fitted, Face], ...]:
    """Each text with its face fitted: size, floor, most lines, room; empty ones left out."""
    return tuple(
        (_short(text, face, size, floor, most, room), face)
        for raw, face, size, floor, most, room in wanted
        if (text := clean(raw).strip())
    )


def _short(text: str, face: Face, size: float, floor: float, most: int, room: float) -> Fitted:
    """One line, smaller if need be; more lines only where the floor is not small enough."""
    fitted = fit(text, face, size=size, floor=floor, most=1, room=room)
    if most > 1 and fitted.lines[0].endswith(CUT):
        return fit(text, face, size=size, floor=floor, most=most, room=room)
    return fitted


def _column(
    ink: Ink, x: float, top: float, texts: tuple[tuple[Fitted, Face], ...], *, end: bool
) -> None:
    for fitted, face in texts:
        for line in fitted.lines:
            start = x - width(line, fitted.size, face) if end else x
            ink.text(start, top - ASCENT * fitted.size, line, size=fitted.size, face=face)
            top -= fitted.leading
