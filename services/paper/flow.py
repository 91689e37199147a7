"""Pieces set down the page and on to the next, nothing parted that belongs together.

A piece is the least that is never cut by a page's end: a line of prose, a row, a
figure. A piece may be kept with the one after it, and may bring others with it when
it opens a page, as a row brings its table's head.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from schemas.errors import GeometryError
from services.paper.frame import Frame
from services.paper.ink import Ink

_HAIR = 0.01
"""Sums of points may be off by so much. [pt]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """What is never parted, and how it stands to its neighbours."""

    height: float
    """[pt]"""
    paint: Callable[[Ink, float], None]
    """Called with the page's ink and the height of the piece's top on the page."""
    gap: float = 0
    """Clear room over it, dropped at the top of a page. [pt]"""
    keep: bool = False
    """Not parted from the next piece, as a heading is not."""
    again: tuple[Piece, ...] = ()
    """Set over it once more when it opens a page."""
    opens: bool = False
    """Opens a page whatever room is left."""


BAR = 3.0
"""Width of the bar beside what has changed; it stands as far from the frame. [pt]"""


def barred(piece: Piece, frame: Frame) -> Piece:
    """The piece with a bar beside it, in the margin: it has changed."""

    def paint(ink: Ink, top: float) -> None:
        ink.rect(frame.left - 2 * BAR, top - piece.height, BAR, piece.height, fill="black")
        piece.paint(ink, top)

    return replace(piece, paint=paint)


def flow(pieces: Sequence[Piece], frame: Frame, fresh: Callable[[int], Ink]) -> list[Ink]:
    """Set the pieces on as few pages as their order allows.

    Where the last page would be saved by it, the clear room between pieces is halved.

    Args:
        pieces: In order. Each fits an empty page.
        frame: What they may use of each page.
        fresh: Gives a page's ink, told how many pages went before.

    Returns:
        One page's ink after the other; at least one.

    Raises:
        GeometryError: A piece taller than an empty page.
    """
    placed = _placed(pieces, frame)
    if len(placed) > 1:
        tight = _placed([replace(p, gap=p.gap / 2) for p in pieces], frame)
        placed = min(placed, tight, key=len)
    inks = []
    for number, page in enumerate(placed):
        ink = fresh(number)
        for piece, top in page:
            piece.paint(ink, top)
        inks.append(ink)
    return inks


def _placed(pieces: Sequence[Piece], frame: Frame) -> list[list[tuple[Piece, float]]]:
    """Which piece stands on which page, and how high its top is."""
    top, bottom = frame.top, frame.bottom
    pages: list[list[tuple[Piece, float]]] = [[]]
    y = top
    for chain in _chains(pieces):
        need = sum(p.height + p.gap for p in chain)
        if y < top and (chain[0].opens or y - need < bottom - _HAIR):
            pages.append([])
            y = top
        for piece in chain:
            if y < top and y - piece.gap - piece.height < bottom - _HAIR:
                pages.append([])  # kept together but longer than a page
                y = top
            if y == top and len(pages) > 1:
                for repeated in piece.again:
                    pages[-1].append((repeated, y))
                    y -= repeated.height
            y -= piece.gap if y < top else 0
            if y - piece.height < bottom - _HAIR:
                msg = f"a piece {piece.height:.0f} pt tall does not fit an empty page"
                raise GeometryError(msg)
            pages[-1].append((piece, y))
            y -= piece.height
    return pages


def _chains(pieces: Sequence[Piece]) -> list[list[Piece]]:
    """The pieces in runs that are not to be parted."""
    chains: list[list[Piece]] = []
    kept = False
    for piece in pieces:
        if kept and not piece.opens:
            chains[-1].append(piece)
        else:
            chains.append([piece])
        kept = piece.keep
    return chains
