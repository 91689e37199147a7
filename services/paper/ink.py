"""The ink of one page: strokes and text, kept until the page is written.

Strokes are painted first, in order; lines of one weight go out as one path unless a
filled shape comes between. All text follows in one text object, over the strokes.
Black, white and one light grey are all there is. This is the only module that writes
to the canvas behind its public calls; a test holds its result against them.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import chain
from math import cos, radians, sin

from reportlab.pdfgen.canvas import Canvas

from schemas.drawings import Fill, Stroke
from services.paper.letters import as_seen
from services.paper.type import Face

WEIGHTS = {"heavy": 1.4, "wide": 1.0, "narrow": 0.5, "hair": 0.5}
"""Rule weights by name. [pt]"""
GREYS = {"white": "1 g", "light": "0.88 g", "black": "0 g"}
"""Fills by name; light is far enough from black for text to stand on it."""
_DASHES = "[6 3] 0 d"
_LINE = "%.2f %.2f m %.2f %.2f l"
_UPRIGHT = "1 0 0 1 %.2f %.2f Tm"
_ESCAPED = re.compile(r"([\\()])")


class Ink:
    """What one page will show."""

    def __init__(self) -> None:
        self._paths: list[str] = []
        self._lines: defaultdict[tuple[float, bool], list[str]] = defaultdict(list)
        self._texts: list[tuple[Face | None, float, bool, str, str]] = []

    def rule(self, x0: float, y0: float, x1: float, y1: float, *, weight: float) -> None:
        """A straight line, in points."""
        path = _LINE % (x0, y0, x1, y1)
        self._lines[weight, False].append(path)

    def rect(
        self,
        x: float,
        y: float,
        wide: float,
        high: float,
        *,
        weight: float = 0,
        fill: Fill = "none",
    ) -> None:
        """An upright rectangle; no weight leaves out its outline, in points."""
        path = f"{x:.2f} {y:.2f} {wide:.2f} {high:.2f} re"
        if fill == "none":
            self._lines[weight, False].append(path)
        else:
            self._fill(path, weight, fill)

    def shape(self, points: Sequence[tuple[float, float]], *, weight: float, fill: Fill) -> None:
        """A closed shape with straight sides, in points."""
        self._fill(_path(points) + " h", weight, fill)

    def strokes(self, strokes: Iterable[Stroke], *, left: float, bottom: float, said: str) -> None:
        """A drawing's strokes, moved to their place, with a sentence for who cannot see them."""
        self._flush()
        self._paths += [
            f"/Figure <</Alt {_spoken(said)}>> BDC",
            f"q 1 0 0 1 {left:.2f} {bottom:.2f} cm",
        ]
        lines = self._lines
        for stroke in strokes:
            path = _path(stroke.points)
            if stroke.closed:
                path += " h"
                if stroke.fill != "none":
                    self._fill(path, WEIGHTS[stroke.weight], stroke.fill, dashed=stroke.dashed)
                    continue
            lines[WEIGHTS[stroke.weight], stroke.dashed].append(path)
        self._flush()
        self._paths += ["Q", "EMC"]

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        size: float,
        face: Face,
        turned: float = 0,
        white: bool = False,
    ) -> None:
        """A printable text from its start on the baseline, turned about that point, in points."""
        if turned:
            c, s = cos(radians(turned)), sin(radians(turned))
            at = f"{c:.5f} {s:.5f} {-s:.5f} {c:.5f} {x:.2f} {y:.2f} Tm"
        else:
            at = _UPRIGHT % (x, y)
        shown = text if text.isascii() else as_seen(text)
        self._texts.append((face, size, white, at, shown))

    def say(self, text: str) -> None:
        """What follows, up to `said`, reads as this text whatever its pieces are."""
        self._texts.append((None, 0, False, "", f"/Span <</ActualText {_spoken(text)}>> BDC"))

    def said(self) -> None:
        """The end of what `say` began."""
        self._texts.append((None, 0, False, "", "EMC"))

    def write(self, canvas: Canvas) -> None:
        """Put all of it on the canvas's current page."""
        self._flush()
        code: list[str] = canvas._code  # noqa: SLF001 batches have no public call
        code.append("0 G 0 g 1 j")
        code += self._paths
        code += ["0 g", "BT"]
        code += self._spelled(canvas._doc)  # noqa: SLF001 the fonts' subsets belong to the document
        code.append("ET")

    @staticmethod
    def raw(canvas: Canvas, operators: str) -> None:
        """Put ready operators on the canvas: what is written once and shown often."""
        canvas._code.append(operators)  # noqa: SLF001 as in `write`

    def _fill(self, path: str, weight: float, fill: Fill, *, dashed: bool = False) -> None:
        self._flush()
        if not weight:
            self._paths.append(f"{GREYS[fill]} {path} f")
        elif dashed:
            self._paths.append(f"{GREYS[fill]} {weight} w {_DASHES} {path} B [] 0 d")
        else:
            self._paths.append(f"{GREYS[fill]} {weight} w {path} B")

    def _flush(self) -> None:
        for (weight, dashed), paths in self._lines.items():
            self._paths.append(f"{weight} w {_DASHES}" if dashed else f"{weight} w")
            self._paths += paths
            self._paths.append("S [] 0 d" if dashed else "S")
        self._lines.clear()

    def _spelled(self, document: object) -> Iterable[str]:
        """The text operators, each font's characters numbered as this document numbers them."""
        names: dict[Face, str] = {}
        now, now_size, pale = "", 0.0, False
        for face, size, white, at, text in self._texts:
            if face is None:
                yield text
                continue
            if white != pale:
                yield "1 g" if white else "0 g"
                pale = white
            yield at
            runs: tuple[tuple[str, str], ...]
            if text.isascii():
                name = names.get(face)
                if name is None:
                    name = names[face] = face.font.getSubsetInternalName(0, document)
                runs = ((name, text),)
            else:
                runs = _runs(face, text, document)
            for name, run in runs:
                if name != now or size != now_size:
                    yield f"{name} {size:g} Tf"
                    now, now_size = name, size
                yield f"({_literal(run)}) Tj"


def _runs(face: Face, text: str, document: object) -> tuple[tuple[str, str], ...]:
    """A text in runs of one subset each: the subset's name and its codes as letters."""
    return tuple(
        (face.font.getSubsetInternalName(subset, document), raw.decode("latin-1"))
        for subset, raw in face.font.splitString(text, document)
    )


def _path(points: Sequence[tuple[float, float]]) -> str:
    if len(points) == 2:
        (x0, y0), (x1, y1) = points
        return _LINE % (x0, y0, x1, y1)
    return _corners(len(points)) % tuple(chain.from_iterable(points))


@lru_cache(maxsize=64)
def _corners(count: int) -> str:
    """The pattern of an open path with so many corners."""
    return "%.2f %.2f m" + " %.2f %.2f l" * (count - 1)


def _literal(text: str) -> str:
    """The inside of a PDF string; codes beyond plain letters as octal."""
    if "(" in text or ")" in text or "\\" in text:
        text = _ESCAPED.sub(r"\\\1", text)
    if text.isascii() and text.isprintable():
        return text
    return "".join(c if " " <= c <= "~" else f"\\{ord(c):03o}" for c in text)


def _spoken(text: str) -> str:
    """A text for programs that read aloud or search, as a PDF string."""
    if text.isascii():
        return f"({_literal(text)})"
    return f"<FEFF{text.encode('utf-16-be', 'replace').hex().upper()}>"
