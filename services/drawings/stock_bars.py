"""Stock bars to scale: holes, cuts, pieces by name, kept offcuts.

All bars of a drawing have one scale and lie with the stock's left end at the left.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby
from typing import Literal

from schemas.cut_plan import Bar, CutPlan, PlainBar
from schemas.drawings import TALLEST, WIDEST, Drawing
from schemas.lengths import Length
from schemas.wording import Said, row, say, shipped
from services.drawings.boxes import MIDDLE, text_width
from services.drawings.finish import finish
from services.drawings.lanes import Says, rows
from services.drawings.lines import READ, Anchor, Mark, line, rect, word
from services.drawings.scale import Scale, choose_scale
from services.tape import text
from services.wording import ENGLISH, Words
from services.wording.terms import piece_name, term

Called = Callable[[str], str]
"""From a stock key to what the crew calls it."""
_ROOM = WIDEST - 30
_WIDE = WIDEST - 10
"""A longer title is set in two lines or more."""
_LEAD = READ * 1.3
_TALL = TALLEST - 30
_HIGH = 22.0
_AFTER = 14.0
_A_TITLE = 8
"""Sticks cut alike that one title names."""


def stock_bars(
    *, cuts: CutPlan, step: Length, metric: bool, words: Words = ENGLISH, called: Called = str
) -> tuple[Drawing, ...]:
    """Draw all rail stock with its cuts, as many bars to a drawing as find room.

    Args:
        cuts: The cut plan.
        step: Graduation of the job's paper. [1/320 mm]
        metric: Whether it is in millimetres.
        words: The crew's.
        called: What the crew calls a stock item, by its key.
    """
    if not cuts.bars:
        return ()
    scale = choose_scale(wide=max(b.stock.length for b in cuts.bars), room=_ROOM, metric=metric)
    strips = [
        _bar(bar, rail=rail, cuts=cuts, scale=scale, step=step, words=words, called=called)
        for bar in cuts.bars
        for rail in _rails_apart(bar, cuts)
    ]
    return _sheets(strips, name="bars", title=say("Rail stock"), scale=scale, words=words)


def plain_bars(
    *, cuts: CutPlan, step: Length, metric: bool, words: Words = ENGLISH, called: Called = str
) -> tuple[Drawing, ...]:
    """Draw the stock without holes from which more than one piece is cut.

    Args:
        cuts: The cut plan.
        step: Graduation of the job's paper. [1/320 mm]
        metric: Whether it is in millimetres.
        words: The crew's.
        called: What the crew calls a stock item, by its key.
    """
    out: list[Drawing] = []
    shared = (bar for bar in cuts.plain if len(bar.pieces) > 1)
    ordered = sorted(shared, key=lambda b: (b.what, b.number))
    for what, bars in groupby(ordered, key=lambda b: b.what):
        some = list(bars)
        scale = choose_scale(wide=max(b.length for b in some), room=_ROOM, metric=metric)
        alike: dict[tuple[object, ...], list[PlainBar]] = {}
        for bar in some:
            cuts_at = tuple((start, end) for _, start, end in bar.pieces)
            alike.setdefault((bar.stock, bar.length, cuts_at), []).append(bar)
        strips = [
            _plain_bar(own[i : i + _A_TITLE], scale=scale, step=step, words=words, called=called)
            for own in alike.values()
            for i in range(0, len(own), _A_TITLE)
        ]
        out += _sheets(strips, name=f"plain-{what}", title=_PLAIN[what], scale=scale, words=words)
    return tuple(out)


Rail = Literal["top", "bottom"]
Strip = tuple[tuple[Mark, ...], float]
"""A bar drawn with its title's baseline under height 0, and the height it takes. [pt]"""


_PLAIN = {
    "sleeve": say("Sleeve stock"),
    "core": say("Core stock"),
    "handrail": say("Handrail stock"),
    "stiffener": say("Stiffener stock"),
}


def _sheets(
    strips: Sequence[Strip], *, name: str, title: Said, scale: Scale, words: Words
) -> tuple[Drawing, ...]:
    """Bars one under the other, on as many drawings as it takes."""
    parts: list[list[Mark]] = [[]]
    low = 0.0
    for marks, high in strips:
        if low - high < -_TALL and parts[-1]:
            parts.append([])
            low = 0.0
        parts[-1] += _lowered(marks, low)
        low -= high + _AFTER
    return tuple(
        finish(
            marks,
            name=f"{name}-{i}",
            title=words.say(
                "{what}: left end at the left",
                what=say("{what}, part {number} of {of}", what=title, number=i, of=len(parts))
                if len(parts) > 1
                else title,
            ),
            said=words.say(
                "{what} with every cut, measured from the left end of each.", what=title
            ),
            scale=scale,
        )
        for i, marks in enumerate(parts, 1)
    )


def _lowered(marks: Sequence[Mark], low: float) -> list[Mark]:
    out: list[Mark] = []
    for mark in marks:
        if hasattr(mark, "points"):
            points = tuple((x, y + low) for x, y in mark.points)
            out.append(mark.model_copy(update={"points": points}))
        else:
            out.append(mark.model_copy(update={"y": mark.y + low}))
    return out


def _rails_apart(bar: Bar, cuts: CutPlan) -> tuple[Rail | None, ...]:
    """A bar's two rails are drawn apart where their cuts differ; else once for both."""
    if all(cuts.piece(placed.piece).rails == "pair" for placed in bar.pieces):
        return (None,)
    return ("top", "bottom")


_RAIL = {"top": say("top rail"), "bottom": say("bottom rail")}


def _bar(
    bar: Bar,
    *,
    rail: Rail | None,
    cuts: CutPlan,
    scale: Scale,
    step: Length,
    words: Words,
    called: Called,
) -> Strip:
    stock, pt = bar.stock, scale.points
    which = [say("Bar {bar}", bar=bar.number), *([_RAIL[rail]] if rail else [])]
    kind = (
        row((called(stock.kit), shipped(stock.colour)))
        if stock.kit
        else say(
            "offcut {offcut}, {colour}, {orientation}, {length} long",
            offcut=stock.id, colour=shipped(stock.colour),
            orientation=term(stock.orientation), length=text(stock.length, step),
        )
    )  # fmt: skip
    title = words.say("{bar}: {kind}", bar=row(which), kind=kind)
    pieces = [
        (f"{words.of(piece_name(placed.piece))} r{piece.revision}", placed.start, placed.end)
        for placed, piece in ((p, cuts.piece(p.piece)) for p in bar.pieces)
        if rail is None or piece.rails in {"pair", rail}
    ]
    solid = len(pieces)
    body: list[Mark] = []
    for offcut in bar.offcuts:
        low = _bar_low()
        body.append(
            rect(pt(offcut.start), low, pt(offcut.length), _HIGH, weight="wide", dashed=True)
        )
        pieces.append(
            (
                words.say("keep {length}", length=text(offcut.length, step)),
                offcut.start,
                offcut.start + offcut.length,
            )
        )
    holes: list[Mark] = []
    for i in range(stock.holes):
        x = pt(stock.first_hole + i * stock.pitch)
        holes.append(line((x, _bar_low() + 1), (x, _bar_low() + 6), weight="wide"))
    return _drawn(title, stock.length, pieces, (*body, *holes), solid, scale, step)


def _plain_bar(
    bars: Sequence[PlainBar], *, scale: Scale, step: Length, words: Words, called: Called
) -> Strip:
    """One stick for all that are cut alike; the cut list says which piece comes from which."""
    bar = bars[0]
    pieces = [(words.of(piece_name(name)), start, end) for name, start, end in bar.pieces]
    long = text(bar.length, step)
    if len(bars) == 1:
        title = words.say(
            "Stick {bar}: {stock}, {length} long",
            bar=bar.number,
            stock=called(bar.stock),
            length=long,
        )
    else:
        title = words.say(
            "Sticks {bars}: {stock}, {length} long, {count} off",
            bars=", ".join(str(b.number) for b in bars), stock=called(bar.stock), length=long,
            count=len(bars),
        )  # fmt: skip
        pieces = [(text(end - start, step), start, end) for _, start, end in bar.pieces]
    return _drawn(title, bar.length, pieces, (), len(pieces), scale, step)


def _bar_low() -> float:
    return -READ - 8 - _HIGH


def _drawn(
    title: str,
    long: Length,
    pieces: Sequence[tuple[str, Length, Length]],
    extra: Sequence[Mark],
    solid: int,
    scale: Scale,
    step: Length,
) -> Strip:
    """A bar with its title over it, names inside where they fit, cuts running under it."""
    pt, low = scale.points, _bar_low()
    *over, last = _in_lines(title)
    marks: list[Mark] = [word(0, -READ, last, bold=True, size=READ, lane="title")]
    marks.append(rect(0, low, pt(long), _HIGH, weight="narrow"))
    homeless: list[Says] = []
    for i, (name, start, end) in enumerate(pieces):
        if i < solid:
            marks.append(rect(pt(start), low, pt(end - start), _HIGH, weight="heavy", fill="white"))
        middle = pt(start + end) / 2
        if text_width(name, size=READ, bold=True) + 6 <= pt(end - start):
            y = low + _HIGH / 2 - MIDDLE * READ + 3
            marks.append(word(middle, y, name, bold=True, anchor="middle", lane="pieces"))
        else:
            anchor: Anchor = "end" if middle > pt(long) / 2 else "start"
            homeless.append(Says(x=middle, text=name, anchor=anchor, measure=False, bold=True))
    cuts = _cut_marks(pieces[:solid], long, scale, step)
    marks += [line((c.x, low), (c.x, low - 5)) for c in cuts]
    placed = rows(cuts, top=low - 5, lane="cuts")
    extra_rows = rows(homeless, top=low - 5 - placed.height, lane="short-pieces")
    high = -(low - 5 - placed.height - extra_rows.height) + len(over) * _LEAD
    below = _lowered((*marks, *extra, *placed.labels, *extra_rows.labels), -len(over) * _LEAD)
    head = [
        word(0, -READ - number * _LEAD, one, bold=True, size=READ, lane=f"title{number}")
        for number, one in enumerate(over)
    ]
    return (*head, *below), high


def _in_lines(title: str) -> list[str]:
    """A title in as few lines as have room, broken behind commas."""
    lines = [""]
    for part in title.split(", "):
        longer = f"{lines[-1]}, {part}" if lines[-1] else part
        if lines[-1] and text_width(longer, size=READ, bold=True) > _WIDE:
            lines[-1] += ","
            lines.append(part)
        else:
            lines[-1] = longer
    return lines


def _cut_marks(
    pieces: Sequence[tuple[str, Length, Length]], long: Length, scale: Scale, step: Length
) -> list[Says]:
    """Where each piece starts and ends, its text on its own side of the saw's kerf."""
    out = []
    for _, start, end in pieces:
        out.append(Says(x=scale.points(start), text=text(start, step), anchor="start"))
        out.append(Says(x=scale.points(end), text=text(end, step), anchor="end"))
    if all(end < long for _, _, end in pieces):
        out.append(Says(x=scale.points(long), text=text(long, step), anchor="end"))
    return out
