"""Rendering the standard 12-page pack, against a hand-made writer of the same pages.

The pack: 8 drawing pages of 400 primitives (260 lines in 3 weights, 40 rectangles of
which 10 filled, 100 labels in 3 sizes and 3 anchors), 4 tables of 40 rows and 6
columns, heads, feet and two faces; no code to scan. The floor is the least that pure
Python can do for such pages: one format a primitive, widths from a dictionary, one
compression a page, fonts ready as bytes. Both are timed in this process, turn about,
each round on new content; the figure is the ratio of the least CPU times, which other
work on the machine disturbs least.
"""

from __future__ import annotations

import random
import re
import resource
import sys
import zlib
from dataclasses import dataclass
from time import process_time
from typing import Literal

from schemas.drawings import Drawing, Fill, Label, Stroke
from schemas.pages import Column, Figure, Imprint, Row, Sheet, Table
from services.paper.book import Part, set_book
from services.paper.type import BOLD, REGULAR, Face

ROUNDS, WARM_UP = 15, 3
GROWTH_PACKS = 500
WIDE, HIGH = 470, 480
"""The drawings' size. [pt]"""
WEIGHTS = {"heavy": 1.4, "wide": 1.0, "narrow": 0.5}
LINE = "%s w %.2f %.2f m %.2f %.2f l S"
BOX = "%s w 0.88 g %.2f %.2f %.2f %.2f re %s"
TEXT = "BT /%s %g Tf %.2f %.2f Td (%s) Tj ET"
HEADS = ("Mark", "Where", "Piece", "Length", "Saw", "Note")
ALIGNS: tuple[Literal["left", "right", "centre"], ...] = (
    "left",
    "left",
    "left",
    "right",
    "centre",
    "left",
)
IMPRINT = Imprint(
    job="J-2041",
    revision="rev 2",
    site="Alder family, 18 Fern Lane, Millbrook",
    crew="Crew B",
    code="7K3Q-9X2M-0RTV",
    issued="Tue 12 May 2026, 04:10, night run 1",
    replaces="nothing",
    check_at="",
    notes=("All lengths in inches.",),
)

Font = tuple[str, dict[str, float], list[bytes]]
"""Name in the file, widths by character, its ready objects."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """The same content for both writers."""

    drawings: tuple[Drawing, ...]
    tables: tuple[Table, ...]


def make_pack(seed: int) -> Pack:
    """A standard pack with its own numbers."""
    dice = random.Random(seed)
    return Pack(
        drawings=tuple(_drawing(dice, i) for i in range(8)),
        tables=tuple(_table(dice) for _ in range(4)),
    )


def render(pack: Pack) -> bytes:
    """The pack by the product."""
    sheets = [
        Sheet(key=f"d{i}", title="Elevation", blocks=(Figure(drawing=drawing),))
        for i, drawing in enumerate(pack.drawings)
    ]
    sheets += [
        Sheet(key=f"t{i}", title="Cut list", blocks=(table,)) for i, table in enumerate(pack.tables)
    ]
    return set_book(parts=[Part(imprint=IMPRINT, sheets=tuple(sheets))], size="letter").pdf


class Floor:
    """The hand-made writer; its fonts are made once, as the product's are."""

    def __init__(self) -> None:
        self.regular = _font("F1", REGULAR)
        self.bold = _font("F2", BOLD)

    def render(self, pack: Pack) -> bytes:
        """The pack as a PDF of the same pages."""
        pages = [self._drawing_page(d, i) for i, d in enumerate(pack.drawings, 1)]
        pages += [self._table_page(t, i) for i, t in enumerate(pack.tables, 9)]
        return self._file([zlib.compress("\n".join(p).encode("ascii"), 6) for p in pages])

    def _drawing_page(self, drawing: Drawing, number: int) -> list[str]:
        out = self._furniture("Elevation", number)
        left, bottom = 71, 130
        for stroke in drawing.strokes:
            if len(stroke.points) == 2:
                (x0, y0), (x1, y1) = stroke.points
                out.append(
                    LINE % (WEIGHTS[stroke.weight], x0 + left, y0 + bottom, x1 + left, y1 + bottom)
                )
            else:
                (x0, y0), (x1, _), (_, y1), _ = stroke.points
                out.append(
                    BOX
                    % (
                        WEIGHTS[stroke.weight], x0 + left, y0 + bottom, x1 - x0, y1 - y0,
                        "S" if stroke.fill == "none" else "B",
                    )
                )  # fmt: skip
        out.append("0 g")
        for label in drawing.labels:
            x = label.x + left
            if label.anchor != "start":
                wide = self._width(label.text, label.size, self.regular)
                x -= wide if label.anchor == "end" else wide / 2
            out.append(self._text(x, label.y + bottom, label.text, label.size, self.regular))
        out.append(self._text(57, 700, drawing.title, 12, self.bold))
        return out

    def _table_page(self, table: Table, number: int) -> list[str]:
        out = self._furniture("Cut list", number)
        columns = [(57 + 83 * i, align) for i, align in enumerate(ALIGNS)]
        y = 690.0
        out.append(f"0.88 g 56.69 {y - 4:.2f} 498.6 14 re f 0 g")
        for cells, font in [(HEADS, self.bold), *((row.cells, self.regular) for row in table.rows)]:
            out.append(LINE % (0.5, 56.69, y - 4, 555.31, y - 4))
            for (x, align), cell in zip(columns, cells, strict=True):
                start: float = x
                if align != "left":
                    spare = 75 - self._width(cell, 9, font)
                    start = x + (spare if align == "right" else spare / 2)
                out.append(self._text(start, y, cell, 9, font))
            y -= 14
        return out

    def _furniture(self, title: str, number: int) -> list[str]:
        regular, bold = self.regular, self.bold
        count = f"sheet {number} of 12"
        rights = (
            (IMPRINT.job, 18, bold),
            (IMPRINT.revision, 13, bold),
            (IMPRINT.crew, 11, regular),
        )
        return [
            "1.4 w 56.69 713 m 555.31 713 l S 1 w 56.69 90 m 555.31 90 l S",
            self._text(57, 740, title, 22, bold),
            self._text(57, 720, IMPRINT.site, 11, regular),
            *(
                self._text(555 - self._width(text, size, font), 740 - 14 * i, text, size, font)
                for i, (text, size, font) in enumerate(rights)
            ),
            self._text(57, 76, f"Code {IMPRINT.code}", 12, bold),
            self._text(57, 62, f"Issued {IMPRINT.issued}. Replaces {IMPRINT.replaces}", 10, bold),
            self._text(57, 38, IMPRINT.notes[0], 9, regular),
            self._text(555 - self._width(count, 14, bold), 76, count, 14, bold),
        ]

    @staticmethod
    def _width(text: str, size: float, font: Font) -> float:
        return sum(map(font[1].__getitem__, text)) * size

    @staticmethod
    def _text(x: float, y: float, text: str, size: float, font: Font) -> str:
        if "(" in text or ")" in text or "\\" in text:
            text = re.sub(r"([\\()])", r"\\\1", text)
        return TEXT % (font[0], size, x, y, text)

    def _file(self, pages: list[bytes]) -> bytes:
        kids = " ".join(f"{12 + 2 * i} 0 R" for i in range(len(pages)))
        objects = [
            b"<< /Type /Catalog /Pages 2 0 R >>",
            f"<< /Type /Pages /Count {len(pages)} /Kids [{kids}] >>".encode(),
            b"<< /Font << /F1 4 0 R /F2 8 0 R >> >>",
            *self.regular[2],
            *self.bold[2],
        ]
        for i, page in enumerate(pages):
            objects.append(
                b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Resources 3 0 R "
                b"/Contents %d 0 R >>" % (13 + 2 * i)
            )
            objects.append(_stream(page, b""))
        out = [b"%PDF-1.4\n"]
        offsets = []
        at = len(out[0])
        for i, body in enumerate(objects, 1):
            offsets.append(at)
            out.append(b"%d 0 obj\n%s\nendobj\n" % (i, body))
            at += len(out[-1])
        table = b"".join(b"%010d 00000 n \n" % offset for offset in offsets)
        out.append(
            b"xref\n0 %d\n0000000000 65535 f \n%strailer\n<< /Size %d /Root 1 0 R >>\n"
            b"startxref\n%d\n%%%%EOF\n" % (len(objects) + 1, table, len(objects) + 1, at)
        )
        return b"".join(out)


def run() -> dict[str, dict[str, object]]:
    """Time both writers turn about, then watch memory over many packs."""
    floor = Floor()
    ours: list[float] = []
    least: list[float] = []
    for turn in range(WARM_UP + ROUNDS):
        pack = make_pack(turn)
        started = process_time()
        render(pack)
        between = process_time()
        floor.render(pack)
        ended = process_time()
        if turn >= WARM_UP:
            ours.append(between - started)
            least.append(ended - between)
    ratio = min(ours) / min(least)
    packs = [make_pack(seed) for seed in range(5)]
    for pack in packs:
        render(pack)
    before = _peak_mib()
    for turn in range(GROWTH_PACKS):
        render(packs[turn % len(packs)])
    growth = _peak_mib() - before
    return {
        "figures": {
            "ratio_to_floor": round(ratio, 2),
            "cpu_ms_a_pack": round(min(ours) * 1000, 1),
            "cpu_ms_floor": round(min(least) * 1000, 1),
            "bytes": len(render(packs[0])),
            "bytes_floor": len(floor.render(packs[0])),
            "growth_mib_500_packs": round(growth, 1),
            "peak_mib": round(_peak_mib(), 1),
        },
        "targets": {"ratio_to_floor": 2.5, "growth_mib_500_packs": 5},
        "met": {"ratio_to_floor": ratio <= 2.5, "growth_mib_500_packs": growth <= 5},
    }


def _peak_mib() -> float:
    """The most memory this process has had at once, in MiB."""
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / (1024 * 1024 if sys.platform == "darwin" else 1024)


def _drawing(dice: random.Random, number: int) -> Drawing:
    def place() -> tuple[float, float]:
        return round(dice.uniform(40, WIDE - 40), 2), round(dice.uniform(10, HIGH - 20), 2)

    lines = [
        Stroke(points=(place(), place()), weight=("heavy", "wide", "narrow")[i % 3])
        for i in range(260)
    ]
    boxes = []
    for i in range(40):
        x, y = place()
        corners = ((x, y), (x + 30, y), (x + 30, y + 12), (x, y + 12))
        fill: Fill = "light" if i < 10 else "none"
        boxes.append(Stroke(points=corners, weight="narrow", closed=True, fill=fill))
    labels = []
    for i in range(100):
        x, y = place()
        labels.append(
            Label(
                x=x,
                y=y,
                text=f"{dice.randrange(200)} {2 * dice.randrange(8) + 1}/16",
                size=(10, 12, 14)[i % 3],
                anchor=("start", "middle", "end")[i // 3 % 3],
            )
        )
    return Drawing(
        name=f"bay-{number}",
        title=f"Bay {number}",
        said="A bay.",
        width=WIDE,
        height=HIGH,
        strokes=(*boxes, *lines),
        labels=tuple(labels),
    )


def _table(dice: random.Random) -> Table:
    columns = tuple(
        Column(head=head, align=align) for head, align in zip(HEADS, ALIGNS, strict=True)
    )
    rows = tuple(
        Row(
            cells=(
                f"C{i}",
                f"bay A{dice.randrange(90)}",
                dice.choice(("top rail", "bottom rail", "post", "baluster")),
                f"{dice.randrange(200)} {2 * dice.randrange(8) + 1}/16",
                f"{dice.randrange(45)}.5",
                dice.choice(("", "foot block", "mitre")),
            )
        )
        for i in range(40)
    )
    return Table(columns=columns, rows=rows, size="small")


def _font(name: str, face: Face) -> Font:
    """An ASCII subset as four ready objects: font, descriptor, file, map to Unicode."""
    first = 4 if name == "F1" else 8
    codes = list(range(32, 127))
    data = face.font.face.makeSubset([0] * 32 + codes)
    widths = " ".join(f"{face.widths[chr(c)] * 1000:.0f}" for c in codes)
    ranges = b"/CIDInit /ProcSet findresource begin begincmap 1 begincodespacerange <00> <FF> "
    ranges += b"endcodespacerange 1 beginbfrange <20> <7E> <0020> endbfrange endcmap end"
    return (
        name,
        {chr(c): face.widths[chr(c)] for c in codes},
        [
            (
                f"<< /Type /Font /Subtype /TrueType /BaseFont /AAAAAA+{face.name} /FirstChar 32 "
                f"/LastChar 126 /Widths [{widths}] /FontDescriptor {first + 1} 0 R "
                f"/ToUnicode {first + 3} 0 R >>"
            ).encode(),
            (
                f"<< /Type /FontDescriptor /FontName /AAAAAA+{face.name} /Flags 4 /Ascent 760 "
                f"/Descent -240 /CapHeight 729 /StemV 80 /ItalicAngle 0 "
                f"/FontBBox [-200 -300 1200 1000] /FontFile2 {first + 2} 0 R >>"
            ).encode(),
            _stream(zlib.compress(data), b" /Length1 %d" % len(data)),
            _stream(zlib.compress(ranges), b""),
        ],
    )


def _stream(packed: bytes, more: bytes) -> bytes:
    return b"<< /Length %d%s /Filter /FlateDecode >>\nstream\n%s\nendstream" % (
        len(packed), more, packed,
    )  # fmt: skip
