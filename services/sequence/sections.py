"""Steps at the level bays: measure again, first section, cutting, fixing."""

from __future__ import annotations

from schemas.bays import LevelBay
from schemas.cut_plan import Bar, Piece, SawSetUp
from schemas.layout import LaidLeg
from schemas.sequence import Step
from services.sequence.stages import key_of, listed
from services.sequence.work import Work


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
            f"{side.name} {work.mark(side.clear)} "
            f"({work.mark(side.window_low)} to {work.mark(side.window_high)}), level"
            for side in work.sides(stair.name)
        ]
        places += [(stair.name, rows)] if rows else []
    each = tuple(
        Step(
            number=0,
            key=key_of("openings", place),
            stage="Measure again",
            text=f"{place}, clear between faces, planned (window): {'; '.join(rows)}. Read "
            "bottom and top; write both on the as-measured table.",
            tool="Two rules or a tape that was checked",
            slip="Copying the plan's figure instead of reading the tape",
        )
        for place, rows in places
    )
    if not each:
        return ()
    return (
        *each,
        Step(
            number=0,
            key="openings-proved",
            stage="Measure again",
            hold="H5",
            text="Every opening is written down. Off plan but in its window: cut by the "
            "as-measured table. Out of its window, or bottom and top more than "
            f"{work.plain('1/4', '6')} apart: call. These are the only figures to cut to.",
            slip="Cutting to the layout",
            after=tuple(step.key for step in each),
        ),
    )


def _window(bay: LevelBay, work: Work) -> str:
    clear = work.mark(bay.clear)
    if bay.clear_top != bay.clear:
        clear = f"{clear} / top {work.mark(bay.clear_top)}"
    return f"{bay.name} {clear} ({work.mark(bay.window_low)} to {work.mark(bay.window_high)})"


def _first(work: Work) -> tuple[Step, ...]:
    """The first section proves pattern, saw and brackets before anything else is cut."""
    first = work.first_built()
    pieces = work.pieces_of(first) if first else ()
    if not pieces:
        return ()
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
            text=f"Cut {first} alone: {'; '.join(_saw(piece) for piece in pieces)}. "
            f"{' '.join(bars)} Dry fit, try the ball at every kind of opening, look along the top. "
            "Only then cut the rest.",
            people=2,
            tool="Saw, fine blade; check balls",
            slip="Wrong end cut: routed faces together, left end marked on both",
            cautions=("saw", "plastic-dust", "electric"),
        ),
    )


def cutting(work: Work, *, orientation: str, stage: str) -> tuple[Step, ...]:
    """A step for each saw setting, with its bars in order; the first section is cut already."""
    built = work.first_built()
    first = {piece.id for piece in work.pieces_of(built)} if built else set()
    ours = {p.id for p in work.pieces() if p.orientation == orientation} - first
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
        text=f"Saw left {set_up.saw_left_deg:.1f}, right {set_up.saw_right_deg:.1f}, off square. "
        + " ".join(bars),
        tool="Saw, fine blade; stop block",
        slip="Top and bottom of a pair cut from opposite ends",
        cautions=("saw", "plastic-dust", "electric", "swarf"),
    )


def _holds(bar: Bar, ids: set[str]) -> bool:
    return any(placed.piece in ids for placed in bar.pieces)


def _on_bar(bar: Bar, ids: set[str], work: Work) -> str:
    cuts = [
        f"{placed.piece} {work.mark(placed.end - placed.start)} from {work.mark(placed.start)} "
        f"(hole {placed.first_hole} first)"
        for placed in bar.pieces
        if placed.piece in ids
    ]
    return f"Bar {bar.number}, {bar.stock.id}: {listed(cuts)}."


def _saw(piece: Piece) -> str:
    return f"{piece.rails}, saw {piece.saw_left_deg:.1f} / {piece.saw_right_deg:.1f}"


def _leg(leg: LaidLeg, work: Work) -> tuple[Step, ...]:
    bays = work.level_of(leg)
    if not bays:
        return ()
    brackets = _brackets(leg, bays, work)
    return (brackets, *(_bay(bay, brackets.key, work) for bay in bays))


def _brackets(leg: LaidLeg, bays: tuple[LevelBay, ...], work: Work) -> Step:
    groups: dict[str, list[str]] = {}
    for bay in bays:
        for fit in bay.brackets:
            figure = f"{fit.rail} {work.mark(fit.height)}, {fit.kind}, {fit.side}"
            groups.setdefault(figure, []).append(f"{bay.name} {fit.end}")
    system = work.job.system.level
    pilots = {
        bracket.pilot
        for bracket in (system.bracket, system.angle_bracket)
        if bracket is not None and bracket.pilot
    }
    pilot = f"; pilot bit {work.marks(sorted(pilots))}" if pilots else "; no pilot"
    ends = 2 * len(bays)
    shown = "; ".join(
        f"{figure}: {'all ends' if len(where) == ends else listed(where)}"
        for figure, where in groups.items()
    )
    return Step(
        number=0,
        key=key_of("brackets", leg.name),
        stage="Level bays",
        text=f"Leg {leg.name}, brackets, underside of rail above the surface: {shown}.",
        tool=f"Template, driver, right-angle driver{pilot}",
        slip="Screws in the sleeve only, not in the core",
        cautions=("open-edge", "overdriven"),
        after=tuple(key_of("lower", stair) for stair in work.waits_for(leg)),
    )


def _bay(bay: LevelBay, brackets: str, work: Work) -> Step:
    system = work.job.system
    word = "foot block" if len(bay.foot_blocks) == 1 else "foot blocks"
    blocks = f"{word} at {work.marks(bay.foot_blocks)}" if bay.foot_blocks else "no foot block"
    drains = f"; drain holes at {work.marks(bay.drain_holes)}" if bay.drain_holes else ""
    low = f", {work.mark(bay.sweep_low)} at the low side" if bay.sweep_low != bay.sweep else ""
    bits = [f"drain bit {work.mark(system.drain_hole)}"] if bay.drain_holes else []
    if bay.foot_blocks and system.foot_block.pilot:
        bits.append(f"foot-block bit {work.mark(system.foot_block.pilot)}")
    tops = (
        f" Top rail {work.mark(bay.top_cut)}, first hole {work.mark(bay.top_margin_left)}."
        if bay.top_cut != bay.bottom_cut
        else ""
    )
    return Step(
        number=0,
        key=key_of("bay", bay.name),
        stage="Level bays",
        text=f"{bay.name}: rail {work.mark(bay.bottom_cut)}, first hole "
        f"{work.mark(bay.margin_left)} from left, {work.mark(bay.margin_right)} from right.{tops} "
        f"On the {work.mark(bay.sweep)} block{low}: bottom rail, {blocks}{drains}; {bay.balusters} "
        f"balusters; top rail to {work.mark(bay.top)}.",
        people=bay.people,
        tool=", ".join(["Driver", *bits, "padded clamps"]),
        slip="Bottom rail upside down: holes up, drain holes down",
        cautions=("open-edge", "overdriven", *(("lifting",) if bay.people > 1 else ())),
        after=(brackets,),
    )
