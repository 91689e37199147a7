"""Safety messages: signal word, what can happen, how to avoid it.

Printed in black only, so the level is carried by the word, the panel, the weight of
the frame and the alert triangle, never by a colour. NOTICE is not about injury and
has no triangle. The triangle is our own plain drawing.

Source:
    ANSI Z535.4 and Z535.6: meaning and order of the signal words, and the alert
    symbol's place before them (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from schemas.drawings import Fill
from schemas.pages import Message
from services.paper.flow import Piece
from services.paper.frame import Frame
from services.paper.ink import Ink
from services.paper.letters import clean
from services.paper.type import ASCENT, BOLD, REGULAR, fit, width


@dataclass(frozen=True, slots=True, kw_only=True)
class _Look:
    """How a level is told from the others in black and white."""

    weight: float
    """Of the frame. [pt]"""
    panel: Fill
    triangle: bool


_LOOKS = {
    "DANGER": _Look(weight=3, panel="black", triangle=True),
    "WARNING": _Look(weight=2.5, panel="light", triangle=True),
    "CAUTION": _Look(weight=1.4, panel="white", triangle=True),
    "NOTICE": _Look(weight=0.7, panel="white", triangle=False),
}
_PANEL = 24.0
"""Height of the signal word's panel. [pt]"""
_WORD = 17.0
_PAD = 8.0


def set_message(block: Message, frame: Frame) -> list[Piece]:
    """A framed piece, never parted; one that goes on under the same signal word has no panel.

    Where a page ends between the two, the next one opens with the signal word again.
    """
    look = _LOOKS[block.signal]
    again = clean(block.goes_on) if block.more else ""
    panel = _panel(block.word or block.signal, look, frame, again=again)
    body = _body(block, look, frame)
    return [replace(body, again=(panel,))] if block.more else [panel, body]


def _panel(signal: str, look: _Look, frame: Frame, *, again: str) -> Piece:
    def paint(ink: Ink, top: float) -> None:
        ink.rect(frame.left, top - _PANEL, frame.width, _PANEL, weight=look.weight, fill=look.panel)
        _signal(ink, frame.left + _PAD, top, signal, look, again=again)

    return Piece(height=_PANEL, paint=paint, gap=10, keep=True)


def _body(block: Message, look: _Look, frame: Frame) -> Piece:
    room = frame.width - 2 * _PAD
    wanted = (
        (" ".join(filter(None, (block.hazard, block.consequence))), REGULAR, 12.0, 11.0, 14),
        (block.avoid, BOLD, 12.0, 11.0, 10),
        (block.source, REGULAR, 9.0, 9.0, 2),
    )  # face, size, floor and most lines: all of it always fits one page
    texts = [
        (fit(text, face, size=size, floor=floor, most=most, room=room), face)
        for raw, face, size, floor, most in wanted
        if (text := clean(raw).strip())
    ]
    height = sum(fitted.height for fitted, _ in texts) + 7

    def paint(ink: Ink, top: float) -> None:
        ink.rect(frame.left, top - height, frame.width, height, weight=look.weight)
        y = top - 3
        for fitted, face in texts:
            for line in fitted.lines:
                ink.text(
                    frame.left + _PAD, y - ASCENT * fitted.size, line, size=fitted.size, face=face
                )
                y -= fitted.leading

    return Piece(height=height, paint=paint)


def _signal(ink: Ink, x: float, top: float, word: str, look: _Look, *, again: str) -> None:
    """The triangle and the signal word, in the middle of their panel."""
    white = look.panel == "black"
    if look.triangle:
        _triangle(ink, x, top - _PANEL + 4, _PANEL - 8, white=white)
        x += (_PANEL - 8) * 1.155 + 8
    base = top - (_PANEL + ASCENT * _WORD) / 2 + 0.5
    ink.text(x, base, word, size=_WORD, face=BOLD, white=white)
    if again:
        x += width(word, _WORD, BOLD) + 8
        ink.text(x, base, again, size=12, face=BOLD, white=white)


def _triangle(ink: Ink, x: float, y: float, high: float, *, white: bool) -> None:
    """An upright triangle with an exclamation mark, standing on y."""
    wide = high * 1.155  # equal sides
    middle = x + wide / 2
    corners = ((x, y), (x + wide, y), (middle, y + high))
    ink.shape(corners, weight=0, fill="white" if white else "black")
    mark: Fill = "black" if white else "white"
    stem = high * 0.09
    top, foot = y + high * 0.72, y + high * 0.32
    bar = (
        (middle - stem, top), (middle + stem, top),
        (middle + stem * 0.6, foot), (middle - stem * 0.6, foot),
    )  # fmt: skip
    ink.shape(bar, weight=0, fill=mark)
    ink.rect(middle - stem * 0.8, y + high * 0.12, stem * 1.6, stem * 1.6, fill=mark)
