"""The cut list: in the order of the saw, with the stock bars drawn."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet

from schemas.cut_plan import Bar, CutPlan, PlacedPiece, SawSetUp
from schemas.lengths import Length
from schemas.pages import Block, Column, Heading, Prose, Row, Sheet, Table
from schemas.plan import Plan
from schemas.wording import row, say
from services.pages.cut_from import pieces_on, rails_words, stock_words
from services.pages.figures import Figures
from services.pages.wording import Ruler, units_note
from services.tape import angle
from services.wording.terms import long_points, piece_name, saw_setting, term


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
            *squared_ends(plan.job.company.end_trim, ruler),
            *_angled(plan.cuts),
            *_rails(plan, ruler),
            *_ready(plan, ruler),
            *_plain(plan, ruler),
            *offcuts_to_keep(plan.cuts, ruler),
            Prose(text=stock_words_of(plan.cuts), role="small"),
            *figures.starting("bars"),
            *figures.starting("plain"),
        ),
    )


def squared_ends(trim: Length, ruler: Ruler) -> tuple[Block, ...]:
    """What the saw does first, where the company squares the ends of its stock."""
    if not trim:
        return ()
    says = say(
        "Square both ends of every stock rail and stick first: up to {trim} off each, the blade "
        "within it. What is as long as its stick goes along uncut.",
        trim=ruler.mark(trim),
    )
    return (Prose(text=says),)


def _angled(cuts: CutPlan) -> tuple[Block, ...]:
    """From where the lengths of a rail run whose ends are not square."""
    level = any(piece.long_left or piece.long_right for piece in cuts.pieces)
    stair = any(piece.orientation == "stair" for piece in cuts.pieces)
    texts = (
        say(
            "Mitred rails: cut, starts and ends are read along the line of the holes, at "
            "mid-width; deck side and yard side as the rail is built in. Top and bottom rail "
            "clamped with their holes facing are mitred together."
        )
        if level
        else "",
        say(
            "Stair rails: read along the face with the holes; the blade runs plumb, the long "
            "point of the bottom rail stands out beyond its start, that of the top rail beyond its "
            "end."
        )
        if stair
        else "",
    )
    said = row(filter(None, texts), " ")
    return (Prose(text=said, role="strong"),) if said else ()


_RAIL_COLUMNS = (
    Column(head=say("Piece"), share=1.4, bold=True),
    Column(head=say("Rails"), share=1.2),
    Column(head=say("Cut"), share=1.15, align="right", bold=True),
    Column(head=say("Bar"), share=0.75, align="centre"),
    Column(head=say("Stock"), share=1.75),
    Column(head=say("First hole"), share=1.0, align="right"),
    Column(head=say("Starts"), share=1.15, align="right"),
    Column(head=say("Ends"), share=1.2, align="right"),
    Column(head=say("Done"), share=0.8, box=True),
)


def _rails(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    places = {placed.piece: (bar, placed) for bar in plan.cuts.bars for placed in bar.pieces}
    rows = tuple(
        _rail(name, places[name], set_up, plan, ruler)
        for set_up in plan.cuts.set_ups
        for name in set_up.pieces
        if plan.cuts.piece(name).cut_in == "site"
    )
    return (Heading(text=say("Rails")), Table(columns=_RAIL_COLUMNS, rows=rows)) if rows else ()


def _rail(
    name: str, place: tuple[Bar, PlacedPiece], set_up: SawSetUp, plan: Plan, ruler: Ruler
) -> Row:
    bar, placed = place
    piece = plan.cuts.piece(name)
    cells = (
        piece_name(name), rails_words(piece.rails), ruler.mark(piece.length), str(bar.number),
        _kit(bar, ruler), str(placed.first_hole), ruler.mark(placed.start),
        ruler.mark(placed.end), "",
    )  # fmt: skip
    return Row(cells=cells, group=set_up_words(set_up, plan.cuts))


def _kit(bar: Bar, ruler: Ruler) -> str:
    """What a bar is cut from: the drawing of the bar has its name."""
    if bar.stock.kit is None:
        return stock_words(bar)
    return say("kit {length}", length=ruler.mark(bar.stock.length))


_READY_COLUMNS = (
    Column(head=say("For"), share=1.3, bold=True),
    Column(head=say("Piece"), share=1.5),
    Column(head=say("Cut"), share=1.2, align="right", bold=True),
    Column(head=say("Tickets"), share=2.7, bold=True),
    Column(head=say("Bar"), share=0.8),
    Column(head=say("First hole"), share=0.8, align="right"),
    Column(head=say("Starts"), share=1.1, align="right"),
    Column(head=say("Here"), share=0.8, box=True),
)


def _ready(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    """What comes cut from the shop, with the bar it is cut from if it does not."""
    rails = tuple(
        Row(
            cells=(
                piece.bay,
                rails_words(piece.rails),
                ruler.mark(piece.length),
                row(piece.tickets),
                str(bar.number),
                str(placed.first_hole),
                ruler.mark(placed.start),
                "",
            )
        )
        for bar in plan.cuts.bars
        for placed, piece in pieces_on(bar, plan.cuts)
        if piece.cut_in == "shop"
    )
    rows = (*rails, *_ready_sticks(plan, ruler))
    if not rows:
        return ()
    return (
        Heading(text=say("Come ready cut from the shop")),
        Prose(
            text=say(
                "Hold each against its opening before it is fixed; trim a sleeve that is long once "
                "its post stands. A ticket of another revision is held. Bar, hole and start are "
                "for a piece that must be cut again."
            )
        ),
        Table(columns=_READY_COLUMNS, rows=rows),
    )


def _ready_sticks(plan: Plan, ruler: Ruler) -> Iterator[Row]:
    """Sleeves and cores; a sleeve is left long, and cut to its post's sheet once that stands."""
    pieces = {piece.id: piece for piece in plan.cuts.plain_pieces}
    for bar in plan.cuts.plain:
        for name, start, _ in bar.pieces if bar.cut_in == "shop" else ():
            piece = pieces[name]
            what: str = term(piece.what)
            if piece.over:
                what = say("{what}, {over} long", what=what, over=ruler.mark(piece.over))
            post = piece_name(name.removesuffix(f" {piece.what}"))
            ticket, stick = piece.ticket or "", say("stick {number}", number=bar.number)
            cells = (post, what, ruler.mark(piece.length), ticket, stick, "", ruler.mark(start), "")
            yield Row(cells=cells)


def stock_words_of(cuts: CutPlan) -> str:
    """How near the plan is to the least stock there can be; no prices."""
    parts = (
        (say("rails"), cuts.cents, cuts.gap),
        (say("sticks"), cuts.plain_cents, cuts.plain_gap),
    )
    said = [_gap_words(what, gap) for what, cents, gap in parts if cents]
    return say("Stock taken: {parts}.", parts=row(said, "; ")) if said else say("Offcuts only.")


def _gap_words(what: str, gap: float) -> str:
    if gap <= 0:
        return say("{what} proven the least", what=what)
    return say("{what} within {share} % of the proven least", what=what, share=f"{100 * gap:.2f}")


def set_up_words(set_up: SawSetUp, cuts: CutPlan) -> str:
    """A saw set-up in words.

    Args:
        set_up: One of the plan's.
        cuts: The plan; it says whether stair rails are cut so.
    """
    left, right = angle(set_up.saw_left_deg), angle(set_up.saw_right_deg)
    if left == right and all(cuts.piece(p).orientation == "stair" for p in set_up.pieces):
        return say(
            "Set-up {number}: saw {angle} off square for lower and upper ends, both cuts parallel",
            number=set_up.number,
            angle=left,
        )
    if not (round(set_up.saw_left_deg, 1) or round(set_up.saw_right_deg, 1)):
        return say("Set-up {number}: saw square, both ends", number=set_up.number)
    saws = (
        say(
            "Set-up {number}: {saws}",
            number=set_up.number,
            saws=saw_setting(set_up.saw_left_deg, set_up.saw_right_deg),
        ),
        long_points(set_up.long_left, set_up.long_right),
    )
    return row(filter(None, saws), "; ")


def offcuts_to_keep(cuts: CutPlan, ruler: Ruler) -> tuple[Block, ...]:
    """What goes to the rack, to be tagged there."""
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
        for bar in cuts.bars
        for offcut in bar.offcuts
    )
    rests = tuple(
        Row(
            cells=(
                say("stick {number}", number=bar.number),
                ruler.mark(bar.length - bar.left),
                ruler.mark(bar.left),
                say("none"),
                "0",
                "",
            )
        )
        for bar in cuts.plain
        if bar.racked
    )
    rows = (*rows, *rests)
    return (Heading(text=say("Offcuts to keep")), Table(columns=columns, rows=rows)) if rows else ()


def _plain(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    columns = (
        Column(head=say("Pieces"), share=2.4, bold=True),
        Column(head=say("Cut"), share=1.05, align="right", bold=True),
        Column(head=say("Off"), share=0.75, align="right"),
        Column(head=say("Stock"), share=1.6),
        Column(head=say("Sticks"), share=1.4),
        Column(head=say("Starts"), share=1.05, align="right"),
        Column(head=say("Ends"), share=1.1, align="right"),
        Column(head=say("Done"), share=0.85, box=True),
    )
    alike: dict[tuple[str, str, Length, Length], list[tuple[str, int]]] = {}
    for bar in (one for one in plan.cuts.plain if one.cut_in == "site"):
        for name, start, end in bar.pieces:
            stock = say("rest {tag}", tag=bar.tag) if bar.tag else ruler.mark(bar.length)
            alike.setdefault((bar.what, stock, start, end), []).append((name, bar.number))
    lower = {bay.lower_post for bay in plan.bays.stair}
    over = {piece.id: piece.over for piece in plan.cuts.plain_pieces}
    rows = tuple(_plain_row(key, pieces, ruler, lower, over) for key, pieces in alike.items())
    if not rows:
        return ()
    return (Heading(text=say("Sleeves, cores, handrail")), Table(columns=columns, rows=rows))


def _left_long(post: str, by: str) -> str:
    """What ends a flight: cut so much longer, or not at all before the stair's line is proved."""
    if by:
        return say(
            "{post}, {by} long: cut its top once the line is proved", post=piece_name(post), by=by
        )
    return say(
        "{post}, leave long: do not cut to the figure before the line is proved",
        post=piece_name(post),
    )


def _plain_row(
    key: tuple[str, str, Length, Length],
    pieces: Sequence[tuple[str, int]],
    ruler: Ruler,
    lower: AbstractSet[str],
    over: Mapping[str, Length],
) -> Row:
    """All pieces cut alike, in one row."""
    what, stock, start, end = key
    group = {
        "sleeve": say("Sleeves"),
        "core": say("Cores"),
        "handrail": say("Handrail"),
        "stiffener": say("Stiffeners"),
    }[what]
    posts = [name.removesuffix(f" {what}") for name, _ in pieces]
    longer = [ruler.mark(over[name]) if over.get(name) else "" for name, _ in pieces]
    long = what in {"sleeve", "core"}
    names = row(
        _left_long(post, by) if long and post in lower else piece_name(post)
        for post, by in zip(posts, longer, strict=True)
    )
    sticks = row(str(number) for _, number in pieces)
    size, off = ruler.mark(end - start), str(len(pieces))
    cells = (
        names,
        size,
        off,
        say("{length} stick", length=stock),
        sticks,
        ruler.mark(start),
        ruler.mark(end),
        "",
    )
    return Row(cells=cells, group=group)
