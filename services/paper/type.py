"""Type: the two faces, how wide a text is, and how it is made to fit its room.

Fit policy: wrap at spaces; where that needs too many lines, or a word is wider than
the room, go smaller by half points down to a floor; at the floor break the words;
what still does not fit is cut and ends in a visible ``…``. Nothing ever overflows.
A measure stays whole: ``12' 4 1/2 in`` is never parted at its spaces.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from reportlab import rl_config
from reportlab.pdfbase.pdfmetrics import registerFont
from reportlab.pdfbase.ttfonts import TTFont

from schemas.errors import GeometryError

FONTS = Path(__file__).parent / "fonts"
"""Where the faces lie, with their licence. Nothing is taken from the system's fonts."""
ASCENT = 0.85
"""From a line's top down to its baseline, of the type size."""
LEADING = 1.22
"""Baseline to baseline, of the type size."""
CUT = "…"
"""The mark of a text that was cut."""
_STEP = 0.5
_MEASURE = re.compile(r"(?<=\d) (?=\d+/\d)|(?<=') (?=\d)|(?<=[\d\"]) (?=(?:in|ft|mm|cm|lb|kg)\b)")


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """A font that is ready to be written with."""

    name: str
    font: TTFont
    widths: Mapping[str, float]
    """Advance of each character it has, of the type size."""


class Fitted(NamedTuple):
    """A text as it will stand: its lines and their type size."""

    lines: tuple[str, ...]
    size: float
    """[pt]"""

    @property
    def leading(self) -> float:
        """Baseline to baseline, in points."""
        return self.size * LEADING

    @property
    def height(self) -> float:
        """Room all lines take, in points."""
        return len(self.lines) * self.leading

    def widest(self, face: Face) -> float:
        """Width of its longest line, in points."""
        return max(width(line, self.size, face) for line in self.lines)


def _load(name: str) -> Face:
    font = TTFont(name, str(FONTS / f"{name}.ttf"))
    registerFont(font)
    widths = {chr(code): wide / 1000 for code, wide in font.face.charWidths.items()}
    return Face(name, font, widths)


rl_config.applySettings(
    {
        "useA85": 0,  # ASCII armour makes a file an eighth larger, and nobody reads it
        "invariant": 1,  # same sheets, same bytes
        "toColorCanUse": None,  # no colour is ever computed from text
    }
)
REGULAR = _load("DejaVuSansCondensed")
BOLD = _load("DejaVuSansCondensed-Bold")


def width(text: str, size: float, face: Face) -> float:
    """How wide a printable text is, in points."""
    return sum(map(face.widths.__getitem__, text)) * size


def fit(
    text: str, face: Face, *, size: float, room: float, most: int, floor: float | None = None
) -> Fitted:
    """Make a text fit its room by the fit policy.

    Args:
        text: Printable text (see `letters.clean`).
        face: The face it is set in.
        size: The type size wished for. [pt, > 0]
        room: Width of the room. [pt]
        most: Number of lines there is room for. [>= 1]
        floor: The smallest type size allowed; none is the size itself. [pt]

    Raises:
        GeometryError: A room narrower than one letter.
    """
    if width(text, size, face) <= room:
        return Fitted((text,), size)
    floor = size if floor is None else floor
    if room < floor:
        msg = f"a room {room:.1f} pt wide holds no type of {floor} pt"
        raise GeometryError(msg)
    words = [(w, width(w, 1, face)) for w in _MEASURE.sub("\u00a0", text).split(" ") if w]
    space = face.widths[" "]
    widest = max((wide for _, wide in words), default=0)
    while True:
        lines = _fill(words, space, room / size) if widest * size <= room else []
        if lines and len(lines) <= most:
            break
        if size <= floor:
            pieces = list(_broken(words, face, room / size))
            lines = _cut(_fill(pieces, space, room / size), most, face, room / size)
            break
        size = max(floor, size - _STEP)
    return Fitted(lines=tuple(line.replace("\u00a0", " ") for line in lines), size=size)


def _fill(words: list[tuple[str, float]], space: float, room: float) -> list[str]:
    """Words set into lines, as many to a line as it holds. Widths of the type size."""
    lines: list[str] = []
    line: list[str] = []
    used = 0.0
    for word, wide in words:
        if line and used + space + wide > room:
            lines.append(" ".join(line))
            line, used = [], 0.0
        used += wide + (space if line else 0)
        line.append(word)
    return [*lines, " ".join(line)]


def _broken(words: list[tuple[str, float]], face: Face, room: float) -> Iterator[tuple[str, float]]:
    """The words, each in pieces no wider than the room."""
    for word, wide in words:
        if wide <= room:
            yield word, wide
            continue
        start, used = 0, 0.0
        for i, char in enumerate(word):
            step = face.widths[char]
            if used + step > room and i > start:
                yield word[start:i], used
                start, used = i, 0.0
            used += step
        yield word[start:], used


def _cut(lines: list[str], most: int, face: Face, room: float) -> list[str]:
    """The first lines, the last of them ending in the cut mark if any were left out."""
    if len(lines) <= most:
        return lines
    last = lines[most - 1]
    while last and width(last + CUT, 1, face) > room:
        last = last[:-1]
    return [*lines[: most - 1], last.rstrip() + CUT]
