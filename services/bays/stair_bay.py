"""A stair bay on one side of a flight, from its opening to the finished record."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from schemas.bays import StairBay
from schemas.job import Job
from schemas.layout import Bay
from schemas.lengths import INCH, Length
from schemas.rail_system import RoutedRail, SectionHeight
from schemas.site import Question, Stair
from services import tape
from services.bays import questions
from services.bays.brackets import EndHeights, brackets
from services.bays.foot_blocks import block_count
from services.bays.handrail import handrail_brackets, handrail_length
from services.bays.lifting import people_to_lift, section_grams
from services.bays.limits import (
    level_opening,
    needs_handrail,
    stair_height,
    triangle_sphere,
)
from services.bays.margins import Fit
from services.bays.movement import movement
from services.bays.rules import nearest_legal, stair_rule
from services.bays.running_marks import running_marks
from services.bays.stair_blocks import stair_blocks
from services.bays.stair_line import (
    Flight,
    Room,
    Section,
    at_lower,
    at_upper,
    flight,
    nose_heights,
    room_over_nosings,
    stair_section,
    triangle_limit,
)
from services.bays.stair_rail import StairRule
from services.bays.window import as_measured, valid_window
from services.geometry.slope import Slope

UNDER_TRIANGLE = INCH // 8
"""The rail is planned at least this far under the triangle's limit. Common practice: a
sphere that just touches is a doubt at the inspection."""
WIDEST_NOSING = INCH * 5 // 4
"""Taken where a nosing is unknown: the widest has the lowest limit.

Source: International Residential Code 2021, R311.7.5.3: nosing of 3/4 to 1 1/4 in.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeStair:
    """A stair bay, or why there is none, and what it leaves open."""

    bay: StairBay | None
    questions: tuple[Question, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Parts:
    """What the drawing of one stair bay starts from."""

    job: Job
    bay: Bay
    stair: Stair
    rail: RoutedRail
    rule: StairRule
    opening: Length
    flight: Flight
    section: Section
    room: Room
    limit: Length | None
    """The triangle's, rounded down."""


def make_stair(job: Job, bay: Bay) -> MadeStair:
    """Choose the count, place the line and work out every number of one stair bay."""
    stair = next(stair for stair in job.stairs if stair.name == bay.leg)
    rail, section = job.stair_system.stair, job.stair_height
    if rail is None or section is None:
        asked = questions.no_stair_rail(
            stair=stair.name, system=job.stair_system.key, height_missing=rail is not None
        )
        return MadeStair(bay=None, questions=(asked,))
    rule = stair_rule(job, rail=rail, slope=Slope(rise=stair.riser, run=stair.tread))
    opening = tape.down(bay.clear, job.step)
    parts = _parts(job, bay, stair, rail, section, rule)
    stops = (
        *_slope_questions(stair, rail, rule, job.step),
        *_height_questions(job, parts, section),
    )
    fits = rule.fits(opening=opening)
    if not fits and not stops:
        stops = (_why_none(job, bay, rule),)
    if stops:
        return MadeStair(bay=None, questions=stops)
    made = _built(parts, fits)
    return MadeStair(bay=made, questions=_open_questions(parts, made))


def _parts(
    job: Job,
    bay: Bay,
    stair: Stair,
    rail: RoutedRail,
    section: SectionHeight,
    rule: StairRule,
) -> _Parts:
    opening = tape.down(bay.clear, job.step)
    run = flight(stair=stair, clear=opening, sleeve=job.system.sleeve.outside)
    assembled = stair_section(rail=rail, section=section, slope=rule.slope)
    sphere = triangle_sphere(job)
    known = _limit_for(stair, sphere)
    as_handrail = not stair.handrail and needs_handrail(job, risers=stair.risers)
    return _Parts(
        job=job,
        bay=bay,
        stair=stair,
        rail=rail,
        rule=rule,
        opening=opening,
        flight=run,
        section=assembled,
        room=room_over_nosings(
            flight=run,
            section=assembled,
            window=stair_height(job, as_handrail=as_handrail),
            under_triangle=_under_triangle(job, stair, known),
            step=job.step,
        ),
        limit=None if known is None else tape.down(known, job.step),
    )


def _limit_for(stair: Stair, sphere: int) -> float | None:
    return triangle_limit(
        rise=stair.riser,
        run=stair.tread,
        projection=stair.nosing,
        open_risers=stair.open_risers,
        sphere=sphere,
    )


def _under_triangle(job: Job, stair: Stair, known: float | None) -> float:
    """Most for the planned rail: 1/8 in under the limit, and under the company's own sphere."""
    sphere = triangle_sphere(job)
    taken = known
    if taken is None:
        stair = stair.model_copy(update={"nosing": WIDEST_NOSING, "open_risers": False})
        taken = _limit_for(stair, sphere)
    working = _limit_for(stair, sphere - job.company.sphere_margin)
    if taken is None or working is None:
        return 0
    planned = min(taken - UNDER_TRIANGLE, working - 1)
    return planned if known is not None else max(0, planned)


def _slope_questions(
    stair: Stair, rail: RoutedRail, rule: StairRule, step: int
) -> tuple[Question, ...]:
    found = rule.slope.degrees
    bracket = rail.bracket
    asked = []
    if not (
        rail.slot_least_deg <= found <= rail.slot_greatest_deg
        and bracket.least_deg <= found <= bracket.greatest_deg
    ):
        asked.append(
            questions.slope_out(
                stair=stair.name,
                slope_deg=found,
                slots=f"{rail.slot_least_deg:g} to {rail.slot_greatest_deg:g}",
                bracket=f"{bracket.least_deg:g} to {bracket.greatest_deg:g}",
            )
        )
    if rule.level_gap() >= rule.limit:
        asked.append(
            questions.slots_too_open(
                stair=stair.name, gap=rule.level_gap(), limit=rule.limit, step=step
            )
        )
    return tuple(asked)


def _height_questions(job: Job, parts: _Parts, section: SectionHeight) -> tuple[Question, ...]:
    room = parts.room
    if room.lowest <= room.highest:
        return ()
    return (
        questions.stair_height_out(
            stair=parts.stair.name,
            highest=tape.text_with_unit(room.highest, job.step),
            lowest=tape.text_with_unit(room.lowest, job.step),
            section=section.name,
            built=parts.section.most,
            step=job.step,
        ),
    )


def _why_none(job: Job, bay: Bay, rule: StairRule) -> Question:
    opening = tape.down(bay.clear, job.step)
    along = rule.slope.ceil_along(opening)
    if along > rule.longest:
        return questions.too_long(
            bay=bay.name, found=along, longest=rule.longest, step=job.step, along="along the slope"
        )
    if replace(rule, kits=None).fits(opening=opening):
        assert rule.kits is not None
        return questions.no_stock(
            bay=bay.name,
            opening=opening,
            longest_stock=max(kit.length for kit in rule.kits),
            step=job.step,
        )
    return questions.dead_band(
        bay=bay.name,
        opening=opening,
        nearest=nearest_legal(
            rule,
            opening=opening,
            longest=rule.slope.floor_level(rule.longest),
            reach=2 * rule.pitch,
        ),
        step=job.step,
    )


def _built(parts: _Parts, fits: tuple[Fit, ...]) -> StairBay:
    job, bay, stair, rule, fit = parts.job, parts.bay, parts.stair, parts.rule, fits[0]
    system, rail, run = job.stair_system, parts.rail, parts.flight
    underside = parts.room.highest
    top = underside + (parts.section.least + parts.section.most) // 2
    side = _side(bay)
    marks = running_marks(margin=fit.margins.left, pitch=rule.pitch, balusters=fit.balusters)
    gaps = rule.end_gaps(opening=parts.opening, fit=fit)
    window = valid_window(rule=rule, opening=parts.opening, balusters=fit.balusters)
    grams = section_grams(cut=fit.cut, grams_per_m=system.rail_grams_per_m)
    top_points, bottom_points = (
        tape.nearest(depth * rule.slope.tan, job.step)
        for depth in (rail.top_depth, rail.bottom_depth)
    )
    grip = _handrail(parts, side)
    return StairBay(
        name=bay.name,
        stair=stair.name,
        side=side,
        slope_deg=rule.slope.degrees,
        saw_deg=rule.slope.degrees,
        riser=stair.riser,
        tread=stair.tread,
        clear=parts.opening,
        cut=fit.cut,
        top_long_to_short=top_points,
        bottom_long_to_short=bottom_points,
        balusters=fit.balusters,
        pitch=rule.pitch,
        level_gap=rule.level_gap(),
        margin_lower=fit.margins.left,
        margin_upper=fit.margins.right,
        gap_lower=gaps.left,
        gap_upper=gaps.right,
        top_first_hole_to_long=fit.margins.left,
        bottom_first_hole_to_long=fit.margins.left + bottom_points,
        marks=marks,
        window_low=window.low,
        window_high=window.high,
        as_measured=as_measured(rule=rule, opening=parts.opening, balusters=fit.balusters),
        triangle_limit=parts.limit,
        rail_over_nosing=underside,
        top_over_nosing=top,
        heights=nose_heights(flight=run, underside=underside, top=top),
        upper_post=bay.right.post or "W",
        lower_post=bay.left.post or "W",
        top_at_upper=at_upper(flight=run, over_nosing=top, step=job.step),
        top_at_lower=at_lower(flight=run, over_nosing=top, step=job.step),
        bottom_at_upper=at_upper(flight=run, over_nosing=underside, step=job.step),
        bottom_at_lower=at_lower(flight=run, over_nosing=underside, step=job.step),
        foot_blocks=stair_blocks(
            flight=run,
            underside=underside,
            marks=marks,
            clearance=rule.clearance,
            cut=fit.cut,
            count=_blocks_wanted(parts),
            width=system.foot_block.width,
            reach=system.foot_block.reach,
        ),
        brackets=brackets(
            *(
                EndHeights(
                    end=end,
                    kind="stair",
                    bottom=underside,
                    top=underside + parts.section.top_underside,
                )
                for end in _ENDS
            )
        ),
        movement=movement(
            system=system,
            cut=fit.cut,
            room=rule.slope.floor_along(parts.opening) - fit.cut,
            step=job.step,
        ),
        weight=grams,
        people=people_to_lift(company=job.company, grams=grams, cut=fit.cut),
        handrail=grip[0],
        handrail_brackets=grip[1],
        others=tuple(sorted(other.balusters for other in fits[1:])),
    )


_ENDS: tuple[Literal["left"], Literal["right"]] = ("left", "right")


def _side(bay: Bay) -> Literal["left", "right"]:
    """S1-L is the left side, S1-R the right one, as seen going up."""
    return "left" if bay.name.removeprefix(f"{bay.leg}-").startswith("L") else "right"


def _handrail(parts: _Parts, side: Literal["left", "right"]) -> tuple[int | None, int]:
    grip = parts.job.stair_system.handrail
    if side not in parts.stair.handrail or grip is None:
        return None, 0
    length = handrail_length(slope=parts.rule.slope, risers=parts.stair.risers, step=parts.job.step)
    return length, handrail_brackets(length=length, apart=grip.bracket_apart)


def _blocks_wanted(parts: _Parts) -> int:
    along = parts.rule.slope.ceil_along(parts.opening)
    return block_count(rules=parts.rail.foot_blocks, clear=along)


def _open_questions(parts: _Parts, bay: StairBay) -> tuple[Question, ...]:
    job, stair = parts.job, parts.stair
    asked = []
    if parts.limit is None:
        asked.append(questions.triangle_unknown(stair=stair.name, why=_why_unknown(stair)))
    if parts.flight.upper_face < 0 and bay.bottom_at_upper >= level_opening(job):
        asked.append(
            questions.gap_at_upper(
                bay=bay.name, gap=bay.bottom_at_upper, limit=level_opening(job), step=job.step
            )
        )
    wanted = _blocks_wanted(parts)
    if len(bay.foot_blocks) < wanted:
        asked.append(
            questions.block_out_of_reach(
                bay=bay.name,
                wanted=wanted,
                placed=len(bay.foot_blocks),
                reach=job.stair_system.foot_block.reach,
                step=job.step,
            )
        )
    if stair.handrail and job.stair_system.handrail is None:
        asked.append(questions.no_handrail(stair=stair.name, system=job.stair_system.key))
    return tuple(asked)


def _why_unknown(stair: Stair) -> str:
    if stair.open_risers is None:
        return "it is not known whether its risers are open"
    if stair.open_risers:
        return "its risers are open and do not close the triangle"
    return "its nosing is not known" if stair.nosing is None else "its risers are very low"
