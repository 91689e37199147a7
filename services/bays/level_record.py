"""The finished record of a level bay, every number from its chosen fit."""

from __future__ import annotations

from schemas.bays import LevelBay
from schemas.job import Job
from schemas.layout import Bay, Layout
from services.bays.boards import board_gaps
from services.bays.brackets import EndHeights, brackets
from services.bays.foot_blocks import DrainRoom, block_count, drain_holes, level_blocks
from services.bays.heights import fall_within, level_heights
from services.bays.level_rail import LevelRule
from services.bays.lifting import people_to_lift, section_grams
from services.bays.margins import Fit
from services.bays.movement import movement
from services.bays.running_marks import running_marks
from services.bays.window import as_measured, valid_window


def level_record(
    job: Job,
    layout: Layout,
    bay: Bay,
    *,
    rule: LevelRule,
    opening: int,
    fits: tuple[Fit, ...],
) -> LevelBay:
    """Write out a level bay.

    Args:
        job: With its rail system.
        layout: For the leg's fall.
        bay: As laid out.
        rule: What it keeps to.
        opening: Clear at bottom-rail height, on a tape mark. [length]
        fits: Legal counts, the chosen one first.
    """
    system, rail = job.system, job.system.level
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
        cut=fit.cut,
        marks=marks,
        count=block_count(rules=rail.foot_blocks, clear=opening),
        gaps=board_gaps(job, leg, rail_start=bay.left.face + rule.clearance),
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
        long_left=bay.left.long_side,
        long_right=bay.right.long_side,
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
        edge_gap=_beyond_edge(job, line=leg.line),
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


def _beyond_edge(job: Job, *, line: int) -> int:
    """How far the bottom rail's near side stands outside the deck edge."""
    measured = job.lines[line]
    if measured.measured != "deck-edge":
        return 0
    return max(0, -measured.inset - job.system.level.bottom_width // 2)


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
