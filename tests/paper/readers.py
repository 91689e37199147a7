"""Reading a printed file back with programs that did not write it."""

from __future__ import annotations

import ctypes
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import pikepdf
import pypdfium2
import pypdfium2.raw
from PIL import Image

pdfium: Any = pypdfium2.raw
"""The library's own functions, made at import and so unknown to a type checker."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Char:
    """A letter as it stands on the page, in points from the lower left."""

    text: str
    left: float
    bottom: float
    right: float
    top: float
    size: float

    @property
    def wide(self) -> float:
        """[pt]."""
        return self.right - self.left

    @property
    def high(self) -> float:
        """[pt]."""
        return self.top - self.bottom


def chars(pdf: bytes, page: int) -> list[Char]:
    """The letters of a page by pdfium, spaces left out. Pages count from 0."""
    return _chars(pypdfium2.PdfDocument(_as_drawn(pdf, page))[0])


def letters_of(pdf: bytes) -> list[list[Char]]:
    """The letters of every page."""
    document = opened(pdf)
    for page in document.pages:
        page.obj.Contents = _unmarked(document, page)
    file = io.BytesIO()
    document.save(file)
    return [_chars(page) for page in pypdfium2.PdfDocument(file.getvalue())]


def _chars(page: pypdfium2.PdfPage) -> list[Char]:
    text = page.get_textpage()
    found = []
    for i in range(pdfium.FPDFText_CountChars(text)):
        code = pdfium.FPDFText_GetUnicode(text, i)
        if pdfium.FPDFText_IsGenerated(text, i) or chr(code).isspace():
            continue
        edges = [ctypes.c_double() for _ in range(4)]
        pdfium.FPDFText_GetCharBox(text, i, *edges)
        left, right, bottom, top = (edge.value for edge in edges)
        found.append(
            Char(
                text=chr(code),
                left=left,
                bottom=bottom,
                right=right,
                top=top,
                size=pdfium.FPDFText_GetFontSize(text, i),
            )
        )
    return found


def texts(pdf: bytes) -> list[str]:
    """The text of each page by pdfium, its lines joined by single spaces."""
    document = pypdfium2.PdfDocument(pdf)
    return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


def picture(pdf: bytes, page: int, dpi: int = 72) -> Image.Image:
    """A page as grey pixels."""
    rendered = pypdfium2.PdfDocument(pdf)[page].render(scale=dpi / 72, grayscale=True)
    shown: Image.Image = rendered.to_pil().convert("L")
    return shown


def opened(pdf: bytes) -> pikepdf.Pdf:
    """The file's objects."""
    return pikepdf.open(io.BytesIO(pdf))


@lru_cache(maxsize=4)
def _kept_open(pdf: bytes) -> pikepdf.Pdf:
    """The same, for reading only: it is opened once for all pages."""
    return opened(pdf)


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """A straight stroke, in points of the page."""

    x0: float
    y0: float
    x1: float
    y1: float
    weight: float
    dashed: bool


class _Pen:
    """What a page's operators do to the pen; q, Q, cm, w, d, m, l, h, re and painting."""

    def __init__(self) -> None:
        self.drawn: list[Segment] = []
        self._stack: list[tuple[tuple[float, ...], float]] = []
        self._matrix: tuple[float, ...] = (1, 0, 0, 1, 0, 0)
        self._weight, self._dashed = 1.0, False
        self._path: list[tuple[float, float, float, float]] = []
        self._at = self._start = (0.0, 0.0)

    def obey(self, name: str, operands: Sequence[Any]) -> None:
        """Follow one operator."""
        if name in {"q", "Q", "cm", "w", "d"}:
            self._set(name, operands)
        elif name in {"m", "l", "h", "re"}:
            self._move(name, [float(o) for o in operands])
        elif name in {"S", "B", "f", "n"}:
            if name in {"S", "B"}:
                self.drawn += [
                    Segment(x0=a, y0=b, x1=c, y1=d, weight=self._weight, dashed=self._dashed)
                    for a, b, c, d in self._path
                ]
            self._path = []

    def _set(self, name: str, operands: Sequence[Any]) -> None:
        if name == "q":
            self._stack.append((self._matrix, self._weight))
        elif name == "Q":
            self._matrix, self._weight = self._stack.pop()
        elif name == "cm":
            self._matrix = _times(tuple(float(o) for o in operands), self._matrix)
        elif name == "w":
            self._weight = float(operands[0])
        else:
            self._dashed = len(operands[0]) > 0

    def _move(self, name: str, numbers: list[float]) -> None:
        if name == "re":
            x, y, wide, high = numbers
            corners = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)]
            moved = [_moved(self._matrix, *corner) for corner in corners]
            self._path += [(*a, *b) for a, b in zip(moved, moved[1:] + moved[:1], strict=True)]
            return
        to = self._start if name == "h" else _moved(self._matrix, *numbers)
        if name == "m":
            self._start = to
        else:
            self._path.append((*self._at, *to))
        self._at = to


def segments(pdf: bytes, page: int) -> list[Segment]:
    """The straight strokes of a page, from its content stream by pikepdf."""
    pen = _Pen()
    for name, operands in operators(pdf, page):
        pen.obey(name, operands)
    return pen.drawn


def operators(pdf: bytes, page: int) -> list[tuple[str, list[Any]]]:
    """Every operator of a page with its operands."""
    document = _kept_open(pdf)
    return [
        (str(step.operator), list(step.operands))
        for step in pikepdf.parse_content_stream(document.pages[page])
        if isinstance(step, pikepdf.ContentStreamInstruction)
    ]


def fonts(pdf: bytes) -> dict[str, set[str]]:
    """The fonts that pages may use, by base name, with what each carries along."""
    document = opened(pdf)
    found: dict[str, set[str]] = {}
    for page in document.pages:
        for font in page.obj.Resources.Font.values():
            carried = set(font.keys()) | set(font.FontDescriptor.keys())
            found[str(font.BaseFont)] = carried
    return found


def squeezed(text: str) -> str:
    """A text without any of its spaces, for comparing across line ends."""
    return re.sub(r"\s+", "", text)


@lru_cache(maxsize=64)
def _as_drawn(pdf: bytes, page: int) -> bytes:
    """One page without its marked content: pdfium would tell the spoken text's letters instead."""
    document = opened(pdf)
    document.pages[page].obj.Contents = _unmarked(document, document.pages[page])
    alone = pikepdf.new()
    alone.pages.append(document.pages[page])
    file = io.BytesIO()
    alone.save(file)
    return file.getvalue()


def _unmarked(document: pikepdf.Pdf, page: pikepdf.Page) -> pikepdf.Stream:
    kept = [
        step
        for step in pikepdf.parse_content_stream(page)
        if str(step.operator) not in {"BDC", "EMC"}
    ]
    return document.make_stream(pikepdf.unparse_content_stream(kept))


def _moved(m: tuple[float, ...], x: float, y: float) -> tuple[float, float]:
    return m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]


def _times(a: tuple[float, ...], b: tuple[float, ...]) -> tuple[float, ...]:
    """The matrix that does a, then b (PDF 32000-1, 8.3.4)."""
    return (
        a[0] * b[0] + a[1] * b[2], a[0] * b[1] + a[1] * b[3],
        a[2] * b[0] + a[3] * b[2], a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4], a[4] * b[1] + a[5] * b[3] + b[5],
    )  # fmt: skip
