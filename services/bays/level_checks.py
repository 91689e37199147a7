"""What a level bay asks: no bracket, no legal count, too high a sweep."""

from __future__ import annotations

from dataclasses import replace
from math import isqrt

from schemas.bays import LevelBay
from schemas.job import Job
from schemas.layout import Bay, Layout
from schemas.site import Option, Question
from schemas.wording import say
from services import tape
from services.bays import level_questions, opening_questions
from services.bays.boards import board_gaps
from services.bays.level_rail import LevelRule
from services.bays.limits import level_opening, most_fall
from services.bays.margins import bracket_of, takes
from services.bays.rules import bears, nearest_with_room


def bracket_questions(job: Job, bay: Bay) -> tuple[Question, ...]:
    """The first end whose angle no bracket of the system takes."""
    asked = []
    for end, name in ((bay.left, "left"), (bay.right, "right")):
        bracket = bracket_of(job.system.level, end.bracket)
        if bracket is None or not takes(bracket, end.mitre_deg):
            why = (
                say("the system has no angle bracket")
                if bracket is None
                else say(
                    "bracket {bracket} takes {least_deg} to {greatest_deg}",
                    bracket=bracket.key,
                    least_deg=f"{bracket.least_deg:g}",
                    greatest_deg=f"{bracket.greatest_deg:g}",
                )
            )
            asked.append(
                level_questions.bracket_missing(
                    bay=bay.name, end=name, mitre_deg=end.mitre_deg, takes=why
                )
            )
    return tuple(asked[:1])


def why_no_level(job: Job, layout: Layout, bay: Bay, rule: LevelRule) -> Question:
    """Why an opening has no legal count: its length, the stock, or a dead band."""
    opening = tape.down(bay.clear, job.step)
    widest = max(opening, opening + rule.top_more)
    if widest > rule.longest:
        return opening_questions.too_long(
            bay=bay.name, found=widest, longest=rule.longest, step=job.step, along=say("level")
        )
    if replace(rule, kits=None).fits(opening=opening):
        longest_stock = max(kit.length for kit in job.system.level.kits)
        return opening_questions.no_stock(
            bay=bay.name, opening=opening, longest_stock=longest_stock, step=job.step
        )
    spare = job.company.post_error
    near = nearest_with_room(
        rule, opening=opening, longest=rule.longest, reach=2 * rule.pitch, off=spare
    )
    roomy = all(bears(rule, opening=size, off=spare) for size in near if size)
    return opening_questions.dead_band(
        bay=bay.name,
        opening=opening,
        nearest=near,
        spare=spare if roomy else 0,
        step=job.step,
        pointers=_pointers(job, layout, bay) if bay.measured else {},
    )


def _pointers(job: Job, layout: Layout, bay: Bay) -> dict[str, int]:
    """Where the submission gives this opening, and how much wider it is there."""
    on_leg = sorted(
        (other.left.face, other.name)
        for other in layout.bays
        if other.leg == bay.leg and other.kind != "stair"
    )
    at = [name for _, name in on_leg].index(bay.name)
    for i, line in enumerate(job.lines):
        for j, leg in enumerate(line.legs):
            if leg.name == bay.leg and at < len(leg.clears):
                stem = f"/lines/{i}/legs/{j}/clears/{at}"
                top = {f"{stem}/top": bay.clear_top - bay.clear} if leg.clears[at].top else {}
                return {f"{stem}/bottom": 0, **top}
    return {}


def gap_questions(
    job: Job, layout: Layout, bay: Bay, made: LevelBay, *, clearance: int
) -> tuple[Question, ...]:
    """Foot blocks that come to stand over a gap between deck boards."""
    leg = next(leg for leg in layout.legs if leg.name == bay.leg)
    gaps = board_gaps(job, leg, rail_start=bay.left.face + clearance)
    over = [mark for mark in made.foot_blocks if gaps and gaps.meets(mark)]
    if not over:
        return ()
    return (level_questions.block_over_gap(bay=made.name, at=tuple(over), step=job.step),)


def sweep_questions(job: Job, layout: Layout, bay: LevelBay) -> tuple[Question, ...]:
    """Whether the low side lets the sphere under or is out of a foot block's reach."""
    limit, reach = level_opening(job), job.system.foot_block.reach
    if bay.sweep_low < limit <= bay.under:
        return (_open_at_edge(job, layout, bay, limit=limit),)
    if bay.sweep_low >= limit:
        why, found = say("it must be under"), limit
    elif bay.foot_blocks and bay.sweep_low > reach:
        why, found = say("a foot block spans at most"), reach
    else:
        return ()
    return (
        level_questions.sweep_too_high(
            bay=bay.name, sweep=bay.sweep_low, limit=found, why=why, step=job.step,
            options=_level_it(job, layout, bay),
        ),
    )  # fmt: skip


def _open_at_edge(job: Job, layout: Layout, bay: LevelBay, *, limit: int) -> Question:
    """The farthest out that the posts may stand is offered, where that is outside at all."""
    line = next(leg.line for leg in layout.legs if leg.name == bay.leg)
    out = isqrt(max(0, (limit - 1) ** 2 - bay.sweep_low**2)) + job.system.level.bottom_width // 2
    return level_questions.open_at_edge(
        bay=bay, limit=limit, step=job.step, pointer=f"/lines/{line}/inset",
        inset=-tape.down(out, job.step),
    )  # fmt: skip


def _level_it(job: Job, layout: Layout, bay: LevelBay) -> tuple[Option, ...]:
    """The greatest fall along the leg that leaves every bay of this length closed below."""
    laid = next(one for one in layout.bays if one.name == bay.name)
    leg = next(one for one in layout.legs if one.name == bay.leg)
    most, span = most_fall(job), laid.right.face - laid.left.face
    if most is None or span <= 0:
        return ()
    fall = tape.down(most * leg.length // span, job.step)
    pointer = next(
        f"/lines/{i}/legs/{j}/fall"
        for i, line in enumerate(job.lines)
        for j, one in enumerate(line.legs)
        if one.name == bay.leg
    )
    return (level_questions.mended_fall(leg=bay.leg, fall=fall, pointer=pointer, step=job.step),)
