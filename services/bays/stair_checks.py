"""What a stair bay asks: slope, height, length, triangle, blocks, handrail."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from schemas.bays import StairBay
from schemas.code_profile import Rule
from schemas.job import Job
from schemas.site import Option, Question, Stair
from schemas.wording import row, say
from services import tape
from services.bays import opening_questions, stair_questions
from services.bays.limits import level_opening, stair_height, triangle_rule
from services.bays.posts_back import further_back, stands_outside
from services.bays.rules import bears, nearest_with_room
from services.bays.stair_parts import StairParts, blocks_wanted, is_lowest


def stop_questions(parts: StairParts) -> Iterator[Question]:
    """Why no bay can be made on this stair, whatever its length."""
    yield from _slope(parts)
    yield from _level_gap(parts)
    yield from _height(parts)


def why_no_stair(parts: StairParts) -> Question:
    """Why an opening has no legal count: its length, the stock, or a dead band."""
    rule, opening, step = parts.rule, parts.opening, parts.job.step
    along = rule.slope.ceil_along(opening)
    if along > rule.longest:
        return opening_questions.too_long(
            bay=parts.bay.name,
            found=along,
            longest=rule.longest,
            step=step,
            along=say("along the slope"),
        )
    if replace(rule, kits=None).fits(opening=opening):
        return opening_questions.no_stock(
            bay=parts.bay.name,
            opening=opening,
            longest_stock=max(kit.length for kit in parts.rail.kits),
            step=step,
        )
    longest = rule.slope.floor_level(rule.longest)
    spare = parts.job.company.post_error
    near = nearest_with_room(
        rule, opening=opening, longest=longest, reach=2 * rule.pitch, off=spare
    )
    roomy = all(bears(rule, opening=size, off=spare) for size in near if size)
    return opening_questions.dead_band(
        bay=parts.bay.name,
        opening=opening,
        nearest=near,
        spare=spare if roomy else 0,
        step=step,
        pointers=_foot(parts, least=min((size for size in near if size), default=0)),
    )


def _foot(parts: StairParts, *, least: int) -> dict[str, int]:
    """Where the submission gives the lower post of a flight in one bay, and what is off by there.

    None where the nearest opening would bring that post back over the lowest nosing.
    """
    stair = parts.stair
    off = stair.lower_post.from_last_nose - parts.opening
    if parts.bay.name.removeprefix(f"{stair.name}-") not in {"L", "R"} or least + off < 0:
        return {}
    number = [one.name for one in parts.job.stairs].index(stair.name)
    return {f"/stairs/{number}/lower_post/from_last_nose": off}


def open_questions(parts: StairParts, bay: StairBay) -> Iterator[Question]:
    """What a made bay leaves to the office."""
    yield from _triangle(parts)
    yield from _set_aside(parts)
    yield from _gap_at_upper(parts, bay)
    yield from _at_lower(parts, bay)
    yield from _foot_blocks(parts, bay)
    system = parts.job.stair_system
    if parts.stair.handrail and system.handrail is None:
        yield stair_questions.no_handrail(stair=parts.stair.name, system=system.key)


def _slope(parts: StairParts) -> Iterator[Question]:
    found, rail = parts.rule.slope.degrees, parts.rail
    slots = (rail.slot_least_deg, rail.slot_greatest_deg)
    bracket = (rail.bracket.least_deg, rail.bracket.greatest_deg)
    if any(found < least or found > greatest for least, greatest in (slots, bracket)):
        yield stair_questions.slope_out(
            stair=parts.stair.name,
            slope_deg=found,
            slots=say("{low} to {high}", low=f"{slots[0]:g}", high=f"{slots[1]:g}"),
            bracket=say("{low} to {high}", low=f"{bracket[0]:g}", high=f"{bracket[1]:g}"),
        )


def _level_gap(parts: StairParts) -> Iterator[Question]:
    gap, limit = parts.rule.level_gap(), parts.rule.limit
    if gap >= limit:
        yield stair_questions.slots_too_open(
            stair=parts.stair.name, gap=gap, limit=limit, step=parts.job.step
        )


def _height(parts: StairParts) -> Iterator[Question]:
    room, step = parts.room, parts.job.step
    if room.lowest > room.highest:
        rule = triangle_rule(parts.job)
        by_triangle = parts.limit is not None and not parts.bounds.closable
        yield stair_questions.stair_height_out(
            stair=parts.stair.name,
            highest=tape.text_with_unit(room.highest, step),
            lowest=tape.text_with_unit(room.lowest, step),
            section=parts.section_height.name,
            built=parts.section.most,
            step=step,
            triangle=_named(rule, parts.job) if by_triangle and rule else None,
        )


def _set_aside(parts: StairParts) -> Iterator[Question]:
    """A triangle that no rail of this section closes; its finding holds the pack."""
    rule = triangle_rule(parts.job)
    if parts.bounds.triangle_aside and parts.limit is not None and rule is not None:
        yield stair_questions.triangle_set_aside(
            stair=parts.stair.name,
            triangle=_named(rule, parts.job),
            planned=tape.text_with_unit(parts.room.highest, parts.job.step),
            doubtful=rule.confidence != "quoted",
            uneven=parts.bounds.closable,
        )


def _named(rule: Rule, job: Job) -> str:
    """A rule's figure and where it comes from, as culprit."""
    assert rule.limit is not None, rule.id
    said = say(
        "{limit} of {clause}", limit=tape.text_with_unit(rule.limit, job.step), clause=rule.clause
    )
    by = next((one.authority for one in job.local_changes if one.rule == rule.id), None)
    if by is not None:
        said = say("{figure}, changed by {authority}", figure=said, authority=by)
    return row((said, _DOUBT[rule.confidence]), ", ") if rule.confidence in _DOUBT else said


_DOUBT = {
    "secondary": say("read at second hand"),
    "from memory": say("from memory"),
}


def _triangle(parts: StairParts) -> Iterator[Question]:
    if parts.limit is None:
        yield stair_questions.triangle_unknown(
            stair=parts.stair.name, why=_why_unknown(parts.stair)
        )


def _why_unknown(stair: Stair) -> str:
    if stair.open_risers is None:
        return say("it is not known whether its risers are open")
    if stair.open_risers:
        return say("its risers are open and do not close the triangle")
    return (
        say("its nosing is not known") if stair.nosing is None else say("its risers are very low")
    )


def _gap_at_upper(parts: StairParts, bay: StairBay) -> Iterator[Question]:
    limit = level_opening(parts.job)
    if bay.bottom_at_upper <= 0:
        step, stair = parts.job.step, parts.stair
        nearer = tape.up(-(-(step - bay.bottom_at_upper) * stair.tread // stair.riser), step)
        yield stair_questions.buried_at_upper(
            bay=bay.name,
            mark=bay.bottom_at_upper,
            face=parts.flight.upper_face,
            nearer=nearer,
            step=step,
            back=further_back(parts.job, stair=stair, by=nearer),
            outside=stands_outside(parts.job, stair=stair),
        )
    if parts.flight.upper_face < 0 and bay.bottom_at_upper >= limit:
        yield stair_questions.gap_at_upper(
            bay=bay.name, gap=bay.bottom_at_upper, limit=limit, step=parts.job.step
        )


def _at_lower(parts: StairParts, bay: StairBay) -> Iterator[Question]:
    """Far beyond the lowest nosing the rail comes down to what the lower post stands on."""
    if not is_lowest(parts):
        return
    least = stair_height(parts.job, as_handrail=False).least
    buried = bay.bottom_at_lower <= 0
    if buried or (least is not None and bay.top_at_lower < least):
        yield stair_questions.low_at_lower(
            bay=bay.name,
            top=bay.top_at_lower,
            least=None if buried else least,
            beyond=parts.stair.lower_post.from_last_nose,
            step=parts.job.step,
            nearer=_nearer(parts, bay, least=least),
        )


def _nearer(parts: StairParts, bay: StairBay, *, least: int | None) -> Option | None:
    """The post brought in until its rails stand a mark clear of the ground, and high enough.

    The line rises by riser / tread for what the post comes nearer.
    """
    stair, step = parts.stair, parts.job.step
    short = max(step - bay.bottom_at_lower, (least or 0) - bay.top_at_lower)
    by = -(-(short + step) * stair.tread // stair.riser)
    beyond = tape.down(stair.lower_post.from_last_nose - by, step)
    if beyond < 0:
        return None
    number = [one.name for one in parts.job.stairs].index(stair.name)
    return stair_questions.lower_post_nearer(number=number, beyond=beyond, step=step)


def _foot_blocks(parts: StairParts, bay: StairBay) -> Iterator[Question]:
    wanted, placed = blocks_wanted(parts), len(bay.foot_blocks)
    if placed < wanted:
        yield stair_questions.block_out_of_reach(
            bay=bay.name,
            wanted=wanted,
            placed=placed,
            reach=parts.job.stair_system.foot_block.reach,
            step=parts.job.step,
        )
