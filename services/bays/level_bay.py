"""A level bay, from the opening between its faces to the finished record."""

from __future__ import annotations

from dataclasses import dataclass, replace

from schemas.bays import LevelBay
from schemas.job import Job
from schemas.layout import Bay, BayEnd, Layout
from schemas.rail_system import Bracket
from schemas.site import Question
from services import tape
from services.bays import questions
from services.bays.brackets import EndHeights, brackets
from services.bays.foot_blocks import DrainRoom, block_count, drain_holes, level_blocks
from services.bays.heights import fall_within, level_heights
from services.bays.level_rail import Leans, LevelRule
from services.bays.lifting import people_to_lift, section_grams
from services.bays.limits import level_opening
from services.bays.margins import Fit, bracket_of
from services.bays.movement import movement
from services.bays.rules import level_rule, nearest_legal
from services.bays.running_marks import running_marks
from services.bays.window import as_measured, valid_window


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeLevel:
    """A level bay, or why there is none, and what it leaves open."""

    bay: LevelBay | None
    questions: tuple[Question, ...]


def make_level(job: Job, layout: Layout, bay: Bay) -> MadeLevel:
    """Choose the count and work out every number of one level bay."""
    if asked := _bracket_questions(job, bay):
        return MadeLevel(bay=None, questions=asked)
    opening = tape.down(bay.clear, job.step)
    rule = level_rule(
        job,
        left=bay.left.bracket,
        right=bay.right.bracket,
        top_more=tape.down(bay.clear_top, job.step) - opening,
        leans=_leaning_end(job, layout, bay),
    )
    assert rule is not None, bay.name
    fits = rule.fits(opening=opening)
    if not fits:
        return MadeLevel(bay=None, questions=(_why_none(job, layout, bay, rule),))
    made = _built(job, layout, bay, rule, fits)
    return MadeLevel(bay=made, questions=_sweep_questions(job, made))


def _bracket_questions(job: Job, bay: Bay) -> tuple[Question, ...]:
    asked = []
    for end, name in ((bay.left, "left"), (bay.right, "right")):
        bracket = bracket_of(job.system.level, end.bracket)
        if bracket is None or not _takes(bracket, end):
            takes = (
                "the system has no angle bracket"
                if bracket is None
                else f"bracket {bracket.key} takes {bracket.least_deg:g} to "
                f"{bracket.greatest_deg:g}"
            )
            asked.append(
                questions.bracket_missing(
                    bay=bay.name, end=name, mitre_deg=end.mitre_deg, takes=takes
                )
            )
    return tuple(asked[:1])


def _takes(bracket: Bracket, end: BayEnd) -> bool:
    return bracket.least_deg <= abs(end.mitre_deg) <= bracket.greatest_deg


def _leaning_end(job: Job, layout: Layout, bay: Bay) -> Leans:
    """Which end is out of plumb: the wall, where there is one; else half is taken at each."""
    walls = (bay.left.post is None, bay.right.post is None)
    if walls == (True, True):
        line = job.lines[next(leg.line for leg in layout.legs if leg.name == bay.leg)]
        if not line.end.out_of_plumb:
            return "left"
        return "both" if line.start.out_of_plumb else "right"
    if walls == (False, False):
        return "both"
    return "left" if walls[0] else "right"


def _why_none(job: Job, layout: Layout, bay: Bay, rule: LevelRule) -> Question:
    opening = tape.down(bay.clear, job.step)
    widest = max(opening, opening + rule.top_more)
    if widest > rule.longest:
        return questions.too_long(
            bay=bay.name, found=widest, longest=rule.longest, step=job.step, along="level"
        )
    if replace(rule, kits=None).fits(opening=opening):
        longest_stock = max(kit.length for kit in job.system.level.kits)
        return questions.no_stock(
            bay=bay.name, opening=opening, longest_stock=longest_stock, step=job.step
        )
    return questions.dead_band(
        bay=bay.name,
        opening=opening,
        nearest=nearest_legal(rule, opening=opening, longest=rule.longest, reach=2 * rule.pitch),
        step=job.step,
        pointer=_pointer(job, layout, bay) if bay.measured else None,
    )


def _pointer(job: Job, layout: Layout, bay: Bay) -> str | None:
    """Where the submission gives this opening."""
    on_leg = sorted(
        (other.left.face, other.name)
        for other in layout.bays
        if other.leg == bay.leg and other.kind != "stair"
    )
    at = [name for _, name in on_leg].index(bay.name)
    for i, line in enumerate(job.lines):
        for j, leg in enumerate(line.legs):
            if leg.name == bay.leg and at < len(leg.clears):
                return f"/lines/{i}/legs/{j}/clears/{at}/bottom"
    return None


def _sweep_questions(job: Job, bay: LevelBay) -> tuple[Question, ...]:
    limit, reach = level_opening(job), job.system.foot_block.reach
    if bay.sweep_low >= limit:
        why, found = "it must be under", limit
    elif bay.foot_blocks and bay.sweep_low > reach:
        why, found = "a foot block spans at most", reach
    else:
        return ()
    return (
        questions.sweep_too_high(
            bay=bay.name, sweep=bay.sweep_low, limit=found, why=why, step=job.step
        ),
    )


def _built(job: Job, layout: Layout, bay: Bay, rule: LevelRule, fits: tuple[Fit, ...]) -> LevelBay:
    system, rail = job.system, job.system.level
    opening = tape.down(bay.clear, job.step)
    fit = fits[0]
    heights = level_heights(rail=rail, section=job.level_height, spacer=system.spacer_block)
    leg = next(leg for leg in layout.legs if leg.name == bay.leg)
    fall = fall_within(
        fall=leg.fall, span=bay.right.face - bay.left.face, length=leg.length, step=job.step
    )
    marks, top_marks = (
        running_marks(margin=margins.left, pitch=rule.pitch, balusters=fit.balusters)
        for margins in (fit.margins, fit.top_margins)
    )
    blocks = level_blocks(
        cut=fit.cut, marks=marks, count=block_count(rules=rail.foot_blocks, clear=opening)
    )
    window = valid_window(rule=rule, opening=opening, balusters=fit.balusters)
    grams = section_grams(cut=max(fit.cut, fit.top_cut), grams_per_m=system.rail_grams_per_m)
    gaps = _end_gaps(rule, opening, fit)
    return LevelBay(
        name=bay.name,
        leg=bay.leg,
        clear=opening,
        clear_top=opening + rule.top_more,
        bottom_cut=fit.cut,
        top_cut=fit.top_cut,
        mitre_left_deg=bay.left.mitre_deg,
        mitre_right_deg=bay.right.mitre_deg,
        balusters=fit.balusters,
        pitch=rule.pitch,
        margin_left=fit.margins.left,
        margin_right=fit.margins.right,
        top_margin_left=fit.top_margins.left,
        top_margin_right=fit.top_margins.right,
        parity="hole at mid-length" if fit.balusters % 2 else "gap at mid-length",
        gap_between=rule.pitch - rule.width,
        gap_left=gaps[0],
        gap_right=gaps[1],
        sweep=heights.sweep,
        sweep_low=heights.sweep + fall,
        top=heights.top,
        marks=marks,
        top_marks=top_marks,
        window_low=window.low,
        window_high=window.high,
        as_measured=as_measured(rule=rule, opening=opening, balusters=fit.balusters),
        foot_blocks=blocks,
        drain_holes=drain_holes(blocks=blocks, room=_drain_room(job, rule, fit, marks)),
        brackets=brackets(
            EndHeights(
                end="left",
                kind=bay.left.bracket,
                bottom=heights.sweep,
                top=heights.top_underside,
            ),
            EndHeights(
                end="right",
                kind=bay.right.bracket,
                bottom=heights.sweep + fall,
                top=heights.top_underside + fall,
            ),
        ),
        movement=movement(
            system=system,
            cut=max(fit.cut, fit.top_cut),
            room=min(opening - fit.cut, opening + rule.top_more - fit.top_cut),
            step=job.step,
        ),
        weight=grams,
        people=people_to_lift(company=job.company, grams=grams, cut=max(fit.cut, fit.top_cut)),
        others=tuple(sorted(other.balusters for other in fits[1:])),
    )


def _end_gaps(rule: LevelRule, opening: int, fit: Fit) -> tuple[int, int]:
    """Face to first baluster, the wider of both rails; what rounding left over is at the right."""
    rails = (
        (opening, fit.cut, fit.margins),
        (opening + rule.top_more, fit.top_cut, fit.top_margins),
    )
    left = max(2 * (rule.clearance + margins.left) for _, _, margins in rails)
    right = max(2 * (clear - cut - rule.clearance + margins.right) for clear, cut, margins in rails)
    return -((rule.width - left) // 2), -((rule.width - right) // 2)


def _drain_room(job: Job, rule: LevelRule, fit: Fit, marks: tuple[int, ...]) -> DrainRoom:
    return DrainRoom(
        cut=fit.cut,
        marks=marks,
        hole_width=rule.width,
        drain=job.system.drain_hole,
        block_width=job.system.foot_block.width,
        from_block=job.system.drain_from_block,
        bracket_left=rule.left_least - rule.width // 2,
        bracket_right=rule.right_least - rule.width // 2,
        step=job.step,
    )
