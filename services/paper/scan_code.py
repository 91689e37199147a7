"""The code a telephone reads: the address that says whether a sheet is still current.

It is encoded once for a part, written once into the document and shown on each page.
Neighbouring dark modules of a row are one rectangle, all rectangles one path.

Source:
    ISO/IEC 18004: dark modules 1, light 0; a quiet zone four modules wide.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

import segno
from reportlab.pdfgen.canvas import Canvas

from schemas.errors import UnprintableText
from services.paper.ink import Ink

SIDE = 54.0
"""Side of the printed code, without its quiet zone. [pt]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScanCode:
    """A code ready to be placed."""

    modules: int
    """Modules along one side."""
    path: str
    """Rectangles of the dark modules, in modules from the lower left."""

    def define(self, canvas: Canvas, name: str) -> None:
        """Write it into the document under a name."""
        scale = SIDE / self.modules
        canvas.beginForm(name, 0, 0, SIDE, SIDE)
        Ink.raw(canvas, f"0 g {scale:.5f} 0 0 {scale:.5f} 0 0 cm {self.path} f")
        canvas.endForm()


def show(canvas: Canvas, name: str, *, x: float, y: float) -> None:
    """Show a defined code with its lower left corner here, in points."""
    canvas.saveState()
    canvas.translate(x, y)
    canvas.doForm(name)
    canvas.restoreState()


def encode(text: str) -> ScanCode | None:
    """Encode an address; none for an empty one.

    Raises:
        UnprintableText: More than a code of any size holds.
    """
    if not text:
        return None
    try:
        code = segno.make_qr(text, error="m", boost_error=False)
    except ValueError as problem:
        msg = f"an address of {len(text)} letters is too long for a code to scan: {text[:40]!r}"
        raise UnprintableText(msg) from problem
    rows = [list(row) for row in code.matrix]
    path: list[str] = []
    for y, row in enumerate(reversed(rows)):
        x = 0
        for dark, run in groupby(row):
            wide = len(list(run))
            if dark:
                path.append(f"{x} {y} {wide} 1 re")
            x += wide
    return ScanCode(modules=len(rows), path=" ".join(path))
