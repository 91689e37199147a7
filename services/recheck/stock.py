"""What a cut plan takes, laid beside what the system and the company's file sell."""

from __future__ import annotations

from collections.abc import Iterator

from schemas.cut_plan import Bar, CutPlan, PlainBar
from schemas.plan import Plan
from services.recheck.limits import inches


def recheck_stock(plan: Plan) -> Iterator[str]:
    """Every bar that is not sold so, another blade than the company's, and sums that fail."""
    company, cuts = plan.job.company, plan.cuts
    if cuts.kerf != company.saw_kerf:
        yield f"cut with a kerf of {inches(cuts.kerf)}, the company's is {inches(company.saw_kerf)}"
    for bar in cuts.bars:
        if bar.stock.kit is not None and not _is_sold(plan, bar):
            yield f"bar {bar.number}: {bar.stock.id} is not sold so"
        if any(offcut.length < company.keep_offcut for offcut in bar.offcuts):
            yield f"bar {bar.number}: an offcut too short to keep"
    yield from _laid_out(plan)
    yield from _stiffened(plan)
    for stick in cuts.plain:
        if not stick.tag and (stick.stock, stick.length) not in _plain_sold(plan, stick):
            yield f"{stick.stock} {stick.number}: not sold {inches(stick.length)} long"
        yield from _squared(stick, trim=company.end_trim, keep=company.keep_offcut)


def _laid_out(plan: Plan) -> Iterator[str]:
    """What the layout says that its rails take at least is no more than what they take."""
    said, bars = plan.layout.stock, plan.cuts.bars
    if said is None:
        return
    if said.bound_cents > said.cents:
        yield f"layout: bound of {said.bound_cents} cents stands over {said.cents}"
    level = [bar.stock for bar in bars if bar.stock.orientation == "level"]
    taken = sum(max(0, stock.cents - stock.boxed_cents) for stock in level)
    if all(stock.kit is not None for stock in level) and taken < said.bound_cents:
        yield f"layout: its level rails take {taken} cents, under its bound {said.bound_cents}"


def _is_sold(plan: Plan, bar: Bar) -> bool:
    """Length, holes, phase, pitch, colour and trim of its kit."""
    job, stock = plan.job, bar.stock
    system = job.system if stock.orientation == "level" else job.stair_system
    rail = system.level if stock.orientation == "level" else system.stair
    kit = next((kit for kit in rail.kits if kit.key == stock.kit), None) if rail else None
    if rail is None or kit is None:
        return False
    trim = job.company.end_trim
    sold = (kit.length, kit.first_hole, kit.holes, rail.hole_pitch, trim, trim)
    taken = (
        stock.length, stock.first_hole, stock.holes, stock.pitch, stock.trim_left, stock.trim_right
    )  # fmt: skip
    return sold == taken and (stock.system, stock.colour) == (system.key, job.colour)


def _squared(stick: PlainBar, *, trim: int, keep: int) -> Iterator[str]:
    """Nothing is cut out of an end as it came, but for a stick that goes along whole."""
    first, last = stick.pieces[0][1], stick.pieces[-1][2]
    whole = first == 0 and last == stick.length and len(stick.pieces) == 1
    clean = 0 if stick.tag else trim
    if not whole and (first < clean or last > stick.length - trim):
        yield f"{stick.stock} {stick.number}: a piece is cut out of an end not squared"
    if stick.racked != (stick.left >= keep):
        yield f"{stick.stock} {stick.number}: its rest of {inches(stick.left)} is for the rack"


def _stiffened(plan: Plan) -> Iterator[str]:
    """Each rail that has metal inside has it, as long as the sheet says, and no other has."""
    level, stair = plan.job.system.level, plan.job.stair_system.stair
    wanted: dict[str, int] = {}
    for name, top, bottom, sold in (
        *((bay.name, bay.top_cut, bay.bottom_cut, level) for bay in plan.bays.level),
        *((bay.name, bay.cut, bay.cut, stair) for bay in plan.bays.stair),
    ):
        metal = sold.stiffener if sold else None
        for rail in metal.rails if metal else ():
            size = (top if rail == "top" else bottom) - metal.short - metal.short if metal else 0
            if size > 0:
                wanted[f"{name} {rail} stiffener"] = size
    found = {
        name: end - start
        for bar in plan.cuts.plain
        if bar.what == "stiffener"
        for name, start, end in bar.pieces
    }
    for name in sorted(wanted.keys() | found.keys()):
        if wanted.get(name) != found.get(name):
            yield f"{name}: {inches(found.get(name, 0))} cut, {inches(wanted.get(name, 0))} asked"


def _plain_sold(plan: Plan, stick: PlainBar) -> set[tuple[str, int]]:
    job, rail = plan.job, plan.job.stair_system.handrail
    return {
        "core": {(one.key, one.length) for one in job.company.cores if one.core == job.post.core},
        "sleeve": {(key, length) for key, length in job.system.sleeve.stock},
        "handrail": {(rail.key, rail.stock)} if rail else set(),
        "stiffener": {
            (sold.stiffener.key, sold.stiffener.stock)
            for sold in (job.system.level, job.stair_system.stair)
            if sold and sold.stiffener
        },
    }[stick.what]


def recheck_sums(cuts: CutPlan) -> Iterator[str]:
    """Prices added up again; a bound over the cost would be none."""
    rails = sum(max(0, bar.stock.cents - bar.stock.boxed_cents) for bar in cuts.bars)
    sticks = sum(bar.cents for bar in cuts.plain)
    proven = [sum(p.cents for p in proofs) for proofs in (cuts.proofs, cuts.plain_proofs)]
    for what, cents, bound, taken, sure in (
        ("rails", cuts.cents, cuts.bound_cents, rails, proven[0]),
        ("sticks", cuts.plain_cents, cuts.plain_bound_cents, sticks, proven[1]),
    ):
        if bound < sure:
            yield f"{what}: bound of {bound} cents printed, its proofs alone come to {sure}"
        if cents != taken:
            yield f"{what}: {cents} cents printed, its bars cost {taken}"
        if bound > cents:
            yield f"{what}: bound of {bound} cents stands over the cost of {cents}"
