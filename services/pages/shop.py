"""The shop's sheets: what is cut ahead, where each piece goes, and its tickets."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.company import Company
from schemas.cut_plan import Bar, PlacedPiece, SawSetUp
from schemas.drawings import Drawing
from schemas.pages import Block, Column, Heading, Prose, Row, Sheet, Table, Tickets
from schemas.shop import ShopJob, ShopPlan
from schemas.wording import row, say
from services.pages.cut_from import rails_words, ready_words, stock_words
from services.pages.cut_list import (
    offcuts_to_keep,
    set_up_words,
    squared_ends,
    stock_words_of,
)
from services.pages.cut_tickets import tickets_of
from services.pages.figures import Figures
from services.pages.wording import Ruler, job_words, units_note
from services.wording.terms import piece_name


def shop_sheets(
    shop: ShopPlan, *, drawings: Sequence[Drawing], company: Company
) -> tuple[Sheet, ...]:
    """Everything the shop needs: the cut list, the tickets, and what goes to which job.

    Args:
        shop: The shop's plan.
        drawings: Of its stock bars.
        company: For what the yard calls its stock.
    """
    ruler = Ruler(step=shop.step)
    return (
        _cut_list(shop, Figures(drawings), ruler, company),
        _tickets(shop, ruler),
        _goes_to(shop, company),
    )


def _cut_list(shop: ShopPlan, figures: Figures, ruler: Ruler, company: Company) -> Sheet:
    return Sheet(
        key="shop-cut-list",
        title=say("Shop cut list"),
        place=say("By saw set-up, longest first; stock lies with its left end at the left"),
        blocks=(
            units_note(ruler),
            Prose(
                text=say(
                    "Rails whose posts stand and whose openings were measured at two heights; "
                    "sleeves, left long, and cores. Kerf {kerf}. Holes count from the left end of "
                    "the stock; a rail starts at the hole named here or does not fit. Tape the "
                    "ticket on before the next cut.",
                    kerf=ruler.mark(shop.cuts.kerf),
                )
            ),
            *squared_ends(company.end_trim, ruler),
            *_rails(shop, ruler, company),
            *_sticks(shop, ruler, company),
            *offcuts_to_keep(shop.cuts, ruler),
            Prose(text=stock_words_of(shop.cuts), role="small"),
            *figures.starting("bars"),
            *figures.starting("plain"),
        ),
    )


_COLUMNS = (
    Column(head=say("Piece"), share=2, bold=True),
    Column(head=say("Tickets"), share=2.2),
    Column(head=say("Cut"), share=1.2, align="right", bold=True),
    Column(head=say("Bar"), share=0.6),
    Column(head=say("Stock"), share=1.6),
    Column(head=say("First hole"), share=0.8, align="right"),
    Column(head=say("Starts"), share=1.1, align="right"),
    Column(head=say("Ends"), share=1.1, align="right"),
    Column(head=say("Done"), share=0.9, box=True),
)


def _rails(shop: ShopPlan, ruler: Ruler, company: Company) -> tuple[Block, ...]:
    places = {placed.piece: (bar, placed) for bar in shop.cuts.bars for placed in bar.pieces}
    rows = tuple(
        _rail(name, places[name], set_up, shop, ruler, company)
        for set_up in shop.cuts.set_ups
        for name in set_up.pieces
    )
    return (Heading(text=say("Rails")), Table(columns=_COLUMNS, rows=rows)) if rows else ()


_STICK_COLUMNS = (
    Column(head=say("Piece"), share=2, bold=True),
    Column(head=say("Ticket"), share=1.8),
    Column(head=say("Cut"), share=1.2, align="right", bold=True),
    Column(head=say("Stick"), share=0.7),
    Column(head=say("Stock"), share=1.8),
    Column(head=say("Starts"), share=1.1, align="right"),
    Column(head=say("Ends"), share=1.1, align="right"),
    Column(head=say("Done"), share=0.9, box=True),
)


def _sticks(shop: ShopPlan, ruler: Ruler, company: Company) -> tuple[Block, ...]:
    """Sleeves and cores, stick by stick."""
    pieces = {piece.id: piece for piece in shop.cuts.plain_pieces}
    rows = tuple(
        Row(
            cells=(
                piece_name(name),
                pieces[name].ticket or "",
                ruler.mark(end - start),
                str(bar.number),
                say("rest {tag}", tag=bar.tag) if bar.tag else company.called(bar.stock),
                ruler.mark(start),
                ruler.mark(end),
                "",
            )
        )
        for bar in shop.cuts.plain
        for name, start, end in bar.pieces
    )
    if not rows:
        return ()
    heading = Heading(text=say("Sleeves and cores"))
    return (heading, Table(columns=_STICK_COLUMNS, rows=rows))


def _rail(
    name: str,
    place: tuple[Bar, PlacedPiece],
    set_up: SawSetUp,
    shop: ShopPlan,
    ruler: Ruler,
    company: Company,
) -> Row:
    bar, placed = place
    piece = shop.cuts.piece(name)
    cells = (
        row((piece.job, piece.bay, rails_words(piece.rails)), " "), row(piece.tickets),
        ruler.mark(piece.length), str(bar.number), stock_words(bar, company),
        str(placed.first_hole), ruler.mark(placed.start), ruler.mark(placed.end), "",
    )  # fmt: skip
    return Row(cells=cells, group=set_up_words(set_up, shop.cuts))


def _tickets(shop: ShopPlan, ruler: Ruler) -> Sheet:
    return Sheet(
        key="shop-tickets",
        title=say("Cut tickets"),
        leaf="each page",
        place=say("One to each piece, in the order of the bars"),
        blocks=(
            units_note(ruler),
            Prose(
                text=say(
                    "Tape each on with its left edge toward the end it names. A piece whose "
                    "ticket carries another revision is held, not used."
                )
            ),
            Tickets(tickets=tickets_of(shop.cuts, ruler)),
        ),
    )


_GOES_COLUMNS = (
    Column(head=say("Ticket"), share=2, bold=True),
    Column(head=say("For"), share=1.4),
    Column(head=say("Piece"), share=1),
    Column(head=say("Packed"), share=0.9, box=True),
)


def _goes_to(shop: ShopPlan, company: Company) -> Sheet:
    return Sheet(
        key="shop-goes-to",
        title=say("Goes to"),
        place=say("One bundle and one bag a job"),
        blocks=tuple(block for job in shop.jobs for block in _job(job, company)),
    )


def _job(job: ShopJob, company: Company) -> tuple[Block, ...]:
    comes = job.comes
    rows = tuple(
        Row(cells=(one.ticket, piece_name(one.bay), ready_words(one.rail), ""))
        for one in comes.rails
    )
    return (
        Heading(
            text=say("{job}, crew {crew}", job=job_words(job.job, job.revision), crew=job.crew)
        ),
        Table(columns=_GOES_COLUMNS, rows=rows),
        Prose(
            text=say(
                "In the bag: {bag}. Of its load-out stay in the yard: {kits}.",
                bag=row(row((str(count), company.called(key)), " ") for key, count in comes.bag)
                or say("nothing"),
                kits=row(row((str(count), company.called(key)), " ") for key, count in comes.kits)
                or say("nothing"),
            )
        ),
    )
