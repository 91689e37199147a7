"""Steps at the level bays: measure again, first section, cutting, fixing."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.bays import LevelBay, openings_cut
from schemas.cut_plan import Bar, Piece, SawSetUp
from schemas.layout import LaidLeg
from schemas.sequence import Step
from schemas.wording import Said, counted, row, say
from services.sequence.stages import key_of, listed
from services.sequence.work import Work
from services.wording.terms import long_points, piece_name, saw_setting, term


def sections(work: Work) -> tuple[Step, ...]:
    """From the measured openings to the finished level bays."""
    return (
        *_openings(work),
        *_first(work),
        *cutting(work, orientation="level", stage="Cutting"),
        *(step for leg in work.layout.legs for step in _leg(leg, work)),
    )


def _openings(work: Work) -> tuple[Step, ...]:
    legs = [leg for leg in work.layout.legs if work.level_of(leg)]
    places = [(leg.name, [_window(bay, work) for bay in work.level_of(leg)]) for leg in legs]
    for stair in work.job.stairs:
        rows = [
            say(
                "{side} {clear} ({window}), level",
                side=side.name, clear=work.mark(side.clear),
                window=work.span(*openings_cut(side.as_measured)),
            )
            for side in work.sides(stair.name)
        ]  # fmt: skip
        places += [(stair.name, rows)] if rows else []
    each = tuple(
        Step(
            number=0,
            key=key_of("openings", place),
            stage="Measure again",
            text=say(
                "{place}, clear between faces, planned (its table runs): {openings}. Read bottom "
                "and top; write both on the as-built sheet.",
                place=place, openings=row(rows, "; "),
            ),
            tool=say("Two rules or a tape that was checked"),
            slip=say("Copying the plan's figure instead of reading the tape"),
        )
        for place, rows in places
    )  # fmt: skip
    if not each:
        return ()
    return (
        *each,
        Step(
            number=0,
            key="openings-proved",
            stage="Measure again",
            hold="H5",
            text=say(
                "Every opening is written on the as-built sheet. Off plan: cut by its row of the "
                "as-measured table on its own sheet. Not in the table, or CALL, or bottom and top "
                "more than {apart} apart: call. These are the only figures to cut to.",
                apart=work.plain("1/4", "6"),
            ),
            slip=say("Cutting to the layout"),
            after=tuple(step.key for step in each),
        ),
    )


def _window(bay: LevelBay, work: Work) -> Said:
    """A bay's planned opening and the openings for which its table has a cut."""
    clear = work.mark(bay.clear)
    if bay.clear_top != bay.clear:
        clear = say("{bottom} / top {top}", bottom=clear, top=work.mark(bay.clear_top))
    window = work.span(*openings_cut(bay.as_measured))
    return say("{bay} {clear} ({window})", bay=bay.name, clear=clear, window=window)


def _first(work: Work) -> tuple[Step, ...]:
    """The first section proves pattern, saw and brackets before anything else is cut."""
    first = work.first_built()
    pieces = work.pieces_of(first) if first else ()
    if not pieces:
        return ()
    if all(piece.cut_in == "shop" for piece in pieces):
        return (_first_ready_cut(str(first), pieces),)
    bars = [
        _on_bar(bar, {piece.id for piece in pieces}, work)
        for bar in work.cuts.bars
        if any(placed.piece in {piece.id for piece in pieces} for placed in bar.pieces)
    ]
    return (
        Step(
            number=0,
            key="first-section",
            stage="First section",
            hold="H6",
            text=row(
                (
                    say(
                        "Cut {bay} alone: {saws}.",
                        bay=str(first), saws=row((_saw(piece) for piece in pieces), "; "),
                    ),
                    *bars,
                    say(
                        "Dry fit, try the ball at every kind of opening, look along the top. Only "
                        "then cut the rest."
                    ),
                ),
                " ",
            ),
            people=2,
            tool=say("Saw, fine blade; check balls"),
            slip=say("Wrong end cut: routed faces together, left end marked on both"),
            cautions=("saw", "plastic-dust", "electric"),
        ),
    )  # fmt: skip


def _first_ready_cut(bay: str, pieces: Sequence[Piece]) -> Step:
    """The first section of a job whose rails come ready cut: held to its opening, dry fitted."""
    return Step(
        number=0,
        key="first-section",
        stage="First section",
        hold="H6",
        text=say(
            "Take {bay} first: its rails come ready cut, tickets {tickets}. Hold each against the "
            "opening found, dry fit, try the ball at every kind of opening, look along the top. "
            "Only then fix the rest.",
            bay=bay, tickets=row(ticket for piece in pieces for ticket in piece.tickets),
        ),
        people=2,
        tool=say("Tape; check balls"),
        slip=say("A rail of another revision built in"),
    )  # fmt: skip


def cutting(work: Work, *, orientation: str, stage: str) -> tuple[Step, ...]:
    """A step for each saw setting, with its bars in order; the first section is cut already."""
    built = work.first_built()
    first = {piece.id for piece in work.pieces_of(built)} if built else set()
    ours = {p.id for p in work.pieces() if p.orientation == orientation and p.cut_in == "site"}
    ours -= first
    steps = (
        _set_up(set_up, ours & set(set_up.pieces), work, stage)
        for set_up in work.cuts.set_ups
        if ours & set(set_up.pieces)
    )
    return tuple(steps)


def _set_up(set_up: SawSetUp, ours: set[str], work: Work, stage: str) -> Step:
    bars = [_on_bar(bar, ours, work) for bar in work.cuts.bars if _holds(bar, ours)]
    return Step(
        number=0,
        key=key_of("saw", str(set_up.number), stage),
        stage=stage,
        text=row(
            (
                say(
                    "Set-up {number}, {saws}.",
                    number=set_up.number,
                    saws=row(
                        filter(
                            None,
                            (
                                saw_setting(set_up.saw_left_deg, set_up.saw_right_deg),
                                long_points(set_up.long_left, set_up.long_right),
                            ),
                        ),
                        "; ",
                    ),
                ),
                *bars,
            ),
            " ",
        ),
        tool=say("Saw, fine blade; stop block"),
        slip=say("Top and bottom of a pair cut from opposite ends"),
        cautions=("saw", "plastic-dust", "electric", "swarf"),
    )  # fmt: skip


def _holds(bar: Bar, ids: set[str]) -> bool:
    return any(placed.piece in ids for placed in bar.pieces)


def _on_bar(bar: Bar, ids: set[str], work: Work) -> Said:
    cuts = [
        say(
            "{piece} {length} from {start} (hole {hole} first)",
            piece=piece_name(placed.piece), length=work.mark(placed.end - placed.start),
            start=work.mark(placed.start), hole=placed.first_hole,
        )
        for placed in bar.pieces
        if placed.piece in ids
    ]  # fmt: skip
    stock = (
        say("kit {length}", length=work.mark(bar.stock.length))
        if bar.stock.kit
        else say("offcut {offcut}", offcut=bar.stock.id)
    )
    return say("Bar {bar}, {stock}: {cuts}.", bar=bar.number, stock=stock, cuts=listed(cuts))


def _saw(piece: Piece) -> Said:
    return say(
        "{rails}, {saws}",
        rails=term(piece.rails), saws=saw_setting(piece.saw_left_deg, piece.saw_right_deg),
    )  # fmt: skip


def _leg(leg: LaidLeg, work: Work) -> tuple[Step, ...]:
    bays = work.level_of(leg)
    if not bays:
        return ()
    brackets = _brackets(leg, bays, work)
    return (brackets, *(_bay(bay, brackets.key, work) for bay in bays))


def _brackets(leg: LaidLeg, bays: tuple[LevelBay, ...], work: Work) -> Step:
    groups: dict[Said, list[str]] = {}
    for bay in bays:
        for fit in bay.brackets:
            figure = say(
                "{rail} {height}, {kind}, {side}",
                rail=term(fit.rail), height=work.mark(fit.height), kind=term(fit.kind),
                side=term(fit.side),
            )  # fmt: skip
            where = say("{bay} {end}", bay=bay.name, end=term(fit.end))
            groups.setdefault(figure, []).append(where)
    system = work.job.system.level
    pilots = {
        bracket.pilot
        for bracket in (system.bracket, system.angle_bracket)
        if bracket is not None and bracket.pilot
    }
    pilot = say("pilot bit {bits}", bits=work.marks(sorted(pilots))) if pilots else say("no pilot")
    ends = 2 * len(bays)
    shown = row(
        (
            say(
                "{figure}: {ends}",
                figure=figure, ends=say("all ends") if len(where) == ends else listed(where),
            )
            for figure, where in groups.items()
        ),
        "; ",
    )  # fmt: skip
    return Step(
        number=0,
        key=key_of("brackets", leg.name),
        stage="Level bays",
        text=say(
            "Leg {leg}, brackets, underside of rail above the surface: {brackets}.",
            leg=leg.name, brackets=shown,
        ),
        tool=row((say("Template, driver, right-angle driver"), pilot), "; "),
        slip=say("Screws in the sleeve only, not in the core"),
        cautions=("open-edge", "overdriven"),
        after=tuple(key_of("lower", stair) for stair in work.waits_for(leg)),
    )  # fmt: skip


def _bay(bay: LevelBay, brackets: str, work: Work) -> Step:
    system = work.job.system
    bits = [say("drain bit {size}", size=work.mark(system.drain_hole))] if bay.drain_holes else []
    if bay.foot_blocks and system.foot_block.pilot:
        bits.append(say("foot-block bit {size}", size=work.mark(system.foot_block.pilot)))
    return Step(
        number=0,
        key=key_of("bay", bay.name),
        stage="Level bays",
        text=_bay_text(bay, work),
        people=bay.people,
        tool=row([say("Driver"), *bits, say("padded clamps")]),
        slip=say("Bottom rail upside down: holes up, drain holes down"),
        cautions=("open-edge", "overdriven", *(("lifting",) if bay.people > 1 else ())),
        after=(brackets,),
    )


def _bay_text(bay: LevelBay, work: Work) -> str:
    tops = say(
        "Top rail {cut}, first hole {margin}.",
        cut=work.mark(bay.top_cut), margin=work.mark(bay.top_margin_left),
    )  # fmt: skip
    low = say("{mark} at the low side", mark=work.mark(bay.sweep_low))
    sweep: tuple[str, ...] = (say("On the {sweep} block", sweep=work.mark(bay.sweep)),)
    build = (
        row((say("bottom rail"), _blocks(bay, work))),
        *(
            (say("drain holes at {marks}", marks=work.marks(bay.drain_holes)),)
            * bool(bay.drain_holes)
        ),
        counted("{count} baluster", "{count} balusters", count=bay.balusters),
        say("top rail to {top}", top=work.mark(bay.top)),
    )
    return row(
        (
            say(
                "{bay}: rail {cut}, first hole {left} from left, {right} from right.",
                bay=bay.name, cut=work.mark(bay.bottom_cut), left=work.mark(bay.margin_left),
                right=work.mark(bay.margin_right),
            ),
            *((tops,) if bay.marks != bay.top_marks or bay.top_cut != bay.bottom_cut else ()),
            say(
                "{sweep}: {build}.",
                sweep=row((*sweep, low) if bay.sweep_low != bay.sweep else sweep),
                build=row(build, "; "),
            ),
        ),
        " ",
    )  # fmt: skip


def _blocks(bay: LevelBay, work: Work) -> Said:
    if not bay.foot_blocks:
        return say("no foot block")
    return counted(
        "foot block at {marks}, mid-width", "foot blocks at {marks}, mid-width",
        count=len(bay.foot_blocks), marks=work.marks(bay.foot_blocks),
    )  # fmt: skip
