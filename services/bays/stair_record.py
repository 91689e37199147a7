"""The finished record of a stair bay, every number from its chosen fit and its line."""

from __future__ import annotations

from typing import Literal

from schemas.bays import StairBay
from schemas.layout import Bay
from services import tape
from services.bays.brackets import EndHeights, brackets
from services.bays.handrail import Grip, grip
from services.bays.lifting import people_to_lift, section_grams
from services.bays.margins import Fit
from services.bays.movement import movement
from services.bays.running_marks import running_marks
from services.bays.stair_blocks import stair_blocks
from services.bays.stair_line import at_lower, at_upper, nose_heights
from services.bays.stair_parts import StairParts, blocks_wanted, is_lowest
from services.bays.window import as_measured, valid_window

_ENDS: tuple[Literal["left"], Literal["right"]] = ("left", "right")


def stair_record(parts: StairParts, fits: tuple[Fit, ...]) -> StairBay:
    """Write out a stair bay; of its legal counts the first one is chosen."""
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
    held = _handrail(parts, side, top)
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
        top_last_hole_to_long=fit.margins.right + top_points,
        bottom_last_hole_to_long=fit.margins.right,
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
            count=blocks_wanted(parts),
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
        handrail=held.length if held else None,
        handrail_level=held.level if held else 0,
        handrail_treads=held.treads if held else 0,
        handrail_height=held.height if held else None,
        handrail_brackets=held.brackets if held else 0,
        handrail_marks=held.marks if held else (),
        handrail_elbows=1 if held and held.level else 0,
        others=tuple(sorted(other.balusters for other in fits[1:])),
    )


def _side(bay: Bay) -> Literal["left", "right"]:
    """S1-L is the left side, S1-R the right one, as seen going up."""
    return "left" if bay.name.removeprefix(f"{bay.leg}-").startswith("L") else "right"


def _handrail(parts: StairParts, side: Literal["left", "right"], top: int) -> Grip | None:
    sold = parts.job.stair_system.handrail
    if side not in parts.stair.handrail or sold is None or not is_lowest(parts):
        return None
    return grip(
        job=parts.job,
        slope=parts.rule.slope,
        run=parts.stair.run,
        apart=sold.bracket_apart,
        stick=parts.job.company.squared(sold.stock),
        top=top,
    )
