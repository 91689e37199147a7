"""The cut list: in the order of the saw, with the stock bars drawn."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.cut_plan import Bar, PlacedPiece, SawSetUp
from schemas.lengths import Length
from schemas.pages import Block, Column, Heading, Prose, Row, Sheet, Table
from schemas.plan import Plan
from schemas.wording import row, say
from services.pages.cut_from import rails_words, stock_words
from services.pages.figures import Figures
from services.pages.wording import Ruler, units_note
from services.tape import angle


def cut_list(plan: Plan, figures: Figures) -> Sheet:
    """The sheet that the saw is run from.

    Args:
        plan: The finished plan.
        figures: Its drawings.
    """
    ruler = Ruler(step=plan.job.step)
    return Sheet(
        key="cut-list",
        title=say("Cut list"),
        place=say("By saw set-up; stock lies with its left end at the left"),
        blocks=(
            units_note(ruler),
            Prose(
                text=say(
                    "Cut to the opening found, not to this list, once posts stand: the bay's own "
                    "sheet has the line. Kerf {kerf}. Holes of the stock count from its left "
                    "end; a piece starts at the hole named here or does not fit.",
                    kerf=ruler.mark(plan.cuts.kerf),
                )
            ),
            *_rails(plan, ruler),
            *_plain(plan, ruler),
            *_offcuts(plan, ruler),
            *figures.starting("bars"),
            *figures.starting("plain"),
        ),
    )


_RAIL_COLUMNS = (
    Column(head=say("Piece"), share=1.5, bold=True),
    Column(head=say("Rails"), share=1.4),
    Column(head=say("Cut"), share=1.2, align="right", bold=True),
    Column(head=say("Bar"), share=0.6),
    Column(head=say("Stock"), share=1.8),
    Column(head=say("First hole"), share=0.8, align="right"),
    Column(head=say("Starts"), share=1.1, align="right"),
    Column(head=say("Ends"), share=1.1, align="right"),
    Column(head=say("Done"), share=0.7, box=True),
)


def _rails(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    places = {placed.piece: (bar, placed) for bar in plan.cuts.bars for placed in bar.pieces}
    rows = tuple(
        _rail(name, places[name], set_up, plan, ruler)
        for set_up in plan.cuts.set_ups
        for name in set_up.pieces
    )
    return (Heading(text=say("Rails")), Table(columns=_RAIL_COLUMNS, rows=rows)) if rows else ()


def _rail(
    name: str, place: tuple[Bar, PlacedPiece], set_up: SawSetUp, plan: Plan, ruler: Ruler
) -> Row:
    bar, placed = place
    piece = plan.cuts.piece(name)
    cells = (
        name, rails_words(piece.rails), ruler.mark(piece.length), str(bar.number),
        stock_words(bar), str(placed.first_hole), ruler.mark(placed.start), ruler.mark(placed.end),
        "",
    )  # fmt: skip
    return Row(cells=cells, group=set_up_words(set_up))


def set_up_words(set_up: SawSetUp) -> str:
    """A saw set-up in words."""
    left, right = angle(set_up.saw_left_deg), angle(set_up.saw_right_deg)
    return say(
        "Set-up {number}: saw at {left} for left ends, {right} for right ends",
        number=set_up.number,
        left=left,
        right=right,
    )


def _offcuts(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    columns = (
        Column(head=say("From bar"), share=0.8),
        Column(head=say("Starts at"), align="right"),
        Column(head=say("Length"), align="right", bold=True),
        Column(head=say("Its end to first hole"), share=1.4, align="right"),
        Column(head=say("Holes"), share=0.7, align="right"),
        Column(head=say("Tag"), share=1.4, box=True),
    )
    rows = tuple(
        Row(
            cells=(
                str(bar.number),
                ruler.mark(offcut.start),
                ruler.mark(offcut.length),
                ruler.mark(offcut.first_hole) if offcut.holes else say("none"),
                str(offcut.holes),
                "",
            )
        )
        for bar in plan.cuts.bars
        for offcut in bar.offcuts
    )
    return (Heading(text=say("Offcuts to keep")), Table(columns=columns, rows=rows)) if rows else ()


def _plain(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    columns = (
        Column(head=say("Pieces"), share=3, bold=True),
        Column(head=say("Cut"), share=1, align="right", bold=True),
        Column(head=say("Off"), share=0.5, align="right"),
        Column(head=say("Stock"), share=1.6),
        Column(head=say("Sticks"), share=1.4),
        Column(head=say("Starts"), share=0.9, align="right"),
        Column(head=say("Ends"), share=0.9, align="right"),
        Column(head=say("Done"), share=0.7, box=True),
    )
    alike: dict[tuple[str, str, Length, Length], list[tuple[str, int]]] = {}
    for bar in plan.cuts.plain:
        for name, start, end in bar.pieces:
            alike.setdefault((bar.what, bar.stock, start, end), []).append((name, bar.number))
    rows = tuple(_plain_row(key, pieces, ruler) for key, pieces in alike.items())
    if not rows:
        return ()
    return (Heading(text=say("Sleeves, cores, handrail")), Table(columns=columns, rows=rows))


def _plain_row(
    key: tuple[str, str, Length, Length], pieces: Sequence[tuple[str, int]], ruler: Ruler
) -> Row:
    """All pieces cut alike, in one row."""
    what, stock, start, end = key
    group = {"sleeve": "Sleeves", "core": "Cores", "handrail": "Handrail"}[what]
    names = row(name.removesuffix(f" {what}") for name, _ in pieces)
    sticks = row(str(number) for _, number in pieces)
    size, off = ruler.mark(end - start), str(len(pieces))
    cells = (names, size, off, stock, sticks, ruler.mark(start), ruler.mark(end), "")
    return Row(cells=cells, group=group)
