"""Drawings in their place: title over, scale and check bar under, never resized.

A drawing that does not fit the frame, or draws outside its own box, is refused: a
figure that was shrunk to fit would no longer be to its scale.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import chain

from schemas.drawings import LONGEST_BAR, Drawing
from schemas.errors import GeometryError
from schemas.pages import Figure
from services.paper.flow import Piece, barred
from services.paper.frame import MM, Frame
from services.paper.ink import WEIGHTS, Ink
from services.paper.label import paint_label
from services.paper.letters import clean
from services.paper.type import ASCENT, BOLD, REGULAR, fit, width

_SLACK = 1.0
"""A stroke's own thickness may reach so far out of its drawing's box. [pt]"""
_REACH = 6.0
"""A label may reach so far over or under its drawing's box. [pt]"""
_BAR_ROOM = 22.0
"""Under a drawing, for its scale and check bar. [pt]"""
_SCALE_SHARE = 0.18
"""How much of the width the scale in words may take."""
_BAR_GAP = 8.0
"""Between the check bar and its words. [pt]"""


def set_figure(block: Figure, frame: Frame) -> list[Piece]:
    """A drawing with its title and scale, one piece.

    Raises:
        GeometryError: Wider or taller than the frame, drawn outside its own box, or its check bar
            too long.
    """
    drawing = block.drawing
    says = clean(drawing.title).strip()
    title = fit(says, BOLD, size=12, floor=10, most=2, room=frame.width)
    head = title.height + 4 if says else 0
    under = _BAR_ROOM if drawing.scale or drawing.bar else 0
    height = head + drawing.height + under + 2
    _refuse_misfit(drawing, frame, height)
    left = frame.left + (frame.width - drawing.width) / 2

    def paint(ink: Ink, top: float) -> None:
        y = top
        for line in title.lines:
            ink.text(frame.left, y - ASCENT * title.size, line, size=title.size, face=BOLD)
            y -= title.leading
        y = top - head - drawing.height
        ink.strokes(drawing.strokes, left=left, bottom=y, said=clean(drawing.said))
        room = replace(frame, bottom=y - _REACH, top=y + drawing.height + _REACH)
        for label in drawing.labels:
            paint_label(ink, label, left=left, bottom=y, frame=room)
        _scale(ink, drawing, frame, y - 5, check=block.check)

    piece = Piece(height=height, paint=paint, gap=8)
    return [barred(piece, frame) if block.changed else piece]


def _refuse_misfit(drawing: Drawing, frame: Frame, height: float) -> None:
    if drawing.bar > LONGEST_BAR:
        msg = f"drawing {drawing.name}: a check bar of {drawing.bar:g} pt leaves its words no room"
        raise GeometryError(msg)
    if drawing.width > frame.width or height > frame.height:
        msg = (
            f"drawing {drawing.name}: {drawing.width:g} x {drawing.height:g} pt with its title "
            f"does not fit {frame.width:.0f} x {frame.height:.0f} pt"
        )
        raise GeometryError(msg)
    if not drawing.strokes:
        return
    xs, ys = zip(*chain.from_iterable(s.points for s in drawing.strokes), strict=True)
    box = (min(xs), min(ys), max(xs) - drawing.width, max(ys) - drawing.height)
    if min(box[:2]) < -_SLACK or max(box[2:]) > _SLACK:
        msg = (
            f"drawing {drawing.name}: strokes from {min(xs):g}, {min(ys):g} to {max(xs):g}, "
            f"{max(ys):g} leave its {drawing.width:g} x {drawing.height:g} pt"
        )
        raise GeometryError(msg)


def _scale(ink: Ink, drawing: Drawing, frame: Frame, top: float, *, check: str) -> None:
    """The scale in words, the check bar, and what it stands for and measures."""
    base = top - ASCENT * 10
    if drawing.scale:
        room = frame.width * _SCALE_SHARE
        text = fit(clean(drawing.scale), BOLD, size=10, floor=9, most=1, room=room)
        ink.text(frame.left, base, text.lines[0], size=text.size, face=BOLD)
    if not drawing.bar:
        return
    right, y = frame.right, top - 6
    says = clean(drawing.bar_says)
    measure = f"{drawing.bar / MM:.1f} mm"
    if not says.endswith(" mm"):
        measure = f"{drawing.bar / 72:.2f} in ({measure})"
    words = f"{says}: {measure} {clean(check)}".lstrip(": ")
    room = frame.width * (1 - _SCALE_SHARE) - drawing.bar - _BAR_GAP
    text = fit(words, REGULAR, size=9, most=1, room=room)
    start = right - drawing.bar - _BAR_GAP - width(text.lines[0], text.size, REGULAR)
    ink.text(start, base, text.lines[0], size=text.size, face=REGULAR)
    ink.rule(right - drawing.bar, y, right, y, weight=WEIGHTS["heavy"])
    for x in (right - drawing.bar, right):
        ink.rule(x, y + 4, x, y - 4, weight=WEIGHTS["wide"])
