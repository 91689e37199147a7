"""Steps at the stairs: prove the line, cut the lower posts, fix, check, handrail."""

from __future__ import annotations

from schemas.bays import PostHeight, StairBay
from schemas.sequence import Step
from schemas.site import Stair
from services.sequence.sections import cutting
from services.sequence.stages import key_of, listed
from services.sequence.work import Work


def stairs(work: Work) -> tuple[Step, ...]:
    """All stairs, after the level bays; each from its top post down."""
    flights = [stair for stair in work.job.stairs if work.sides(stair.name)]
    lines = tuple(_line(stair, work, after=_before_line(stair, work)) for stair in flights)
    cuts = cutting(work, orientation="stair", stage="Stairs")
    proved = tuple(step.key for step in lines)
    return (
        *lines,
        *(step for stair in flights for step in _lower(stair, work)),
        *(step.model_copy(update={"after": (*step.after, *proved)}) for step in cuts),
        *(
            step
            for stair in flights
            for step in _flight(stair, work, cuts=tuple(step.key for step in cuts))
        ),
        *(step for stair in flights for step in _handrail(stair, work)),
    )


def _before_line(stair: Stair, work: Work) -> tuple[str, ...]:
    """Level bays that hang on no post left long; from a landing, the flight above it too."""
    free = (leg for leg in work.layout.legs if not work.waits_for(leg))
    level = tuple(key_of("bay", bay.name) for leg in free for bay in work.level_of(leg))
    landing = stair.from_landing
    if landing is None or landing.stair not in work.left_long().values():
        return level
    return (*level, key_of("lower", landing.stair))


def _line(stair: Stair, work: Work, *, after: tuple[str, ...]) -> Step:
    sides = work.sides(stair.name)
    ends = "; ".join(
        f"{side.name}: {work.mark(side.top_at_upper)} at {side.upper_post}, "
        f"{work.mark(side.top_at_lower)} at {side.lower_post}"
        for side in sides
    )
    return Step(
        number=0,
        key=key_of("line", stair.name),
        stage="Stairs",
        text=f"{stair.name}: straightedge or string at top-rail height, post face to post face: "
        f"{ends}, each above what the post stands on. Plumb over the nosings "
        f"{work.mark(sides[0].top_over_nosing)}. Mark both rails on the lower posts.",
        people=2,
        tool="Long straightedge, digital level",
        slip="Height read square to the slope, or from the tread instead of the nosing",
        cautions=("stair-edge",),
        after=after,
    )


def _lower(stair: Stair, work: Work) -> tuple[Step, ...]:
    new = {post.name for post in work.new_posts()}
    names = {side.lower_post for side in work.sides(stair.name)} & new
    heights = [height for height in work.bays.posts if height.post in names]
    if not heights:
        return ()
    return (
        Step(
            number=0,
            key=key_of("lower", stair.name),
            stage="Stairs",
            text=f"{stair.name}, lower posts, above what they stand on: "
            + "; ".join(_cut_post(height, work) for height in heights)
            + ".",
            tool="Saw, fine blade",
            slip="Bottom post cut before its line was proved",
            cautions=("saw", "stair-edge"),
            after=(key_of("line", stair.name),),
        ),
    )


def _cut_post(height: PostHeight, work: Work) -> str:
    return (
        f"{height.post} core {work.mark(height.core_least)} to {work.mark(height.core_most)}, "
        f"sleeve {work.mark(height.sleeve)}"
    )


def _flight(stair: Stair, work: Work, *, cuts: tuple[str, ...]) -> tuple[Step, ...]:
    sides = work.sides(stair.name)
    before = (key_of("line", stair.name), *cuts)
    if any(step.key == key_of("lower", stair.name) for step in _lower(stair, work)):
        before = (*before, key_of("lower", stair.name))
    fixed = tuple(_side(side, work, after=before) for side in sides)
    return (*fixed, _check(stair, work, after=tuple(step.key for step in fixed)))


def _side(side: StairBay, work: Work, *, after: tuple[str, ...]) -> Step:
    system = work.job.stair_system
    pilot = system.stair.bracket.pilot if system.stair else 0
    blocks = (
        f" Foot block at {work.marks(side.foot_blocks)} along the rail, over a tread."
        if side.foot_blocks
        else ""
    )
    return Step(
        number=0,
        key=key_of("stair", side.name),
        stage="Stairs",
        text=f"{side.name}: rails {work.mark(side.cut)} on the slope, both ends plumb at "
        f"{side.saw_deg:.1f}. First hole {work.mark(side.margin_lower)} from the lower end, "
        f"{work.mark(side.margin_upper)} from the upper; to the long point top rail "
        f"{work.mark(side.top_first_hole_to_long)}, bottom rail "
        f"{work.mark(side.bottom_first_hole_to_long)}. Undersides of bottom rail: "
        f"{work.mark(side.bottom_at_upper)} at {side.upper_post}, "
        f"{work.mark(side.bottom_at_lower)} at {side.lower_post}. {side.balusters} balusters, "
        f"plumb.{blocks}",
        people=max(2, side.people),
        tool=f"Driver, bevel gauge{f', pilot bit {work.mark(pilot)}' if pilot else ''}",
        slip="Bevels of the wrong hand: lay the bottom rail on the nosings and copy it",
        cautions=("stair-edge", "lifting", "overdriven"),
        after=after,
    )


def _check(stair: Stair, work: Work, *, after: tuple[str, ...]) -> Step:
    sides = work.sides(stair.name)
    heights = "; ".join(f"{side.name} {_tops(side, work)}" for side in sides)
    limits = {side.triangle_limit for side in sides}
    known = [limit for limit in limits if limit is not None]
    triangle = (
        f"Bottom rail no more than {work.mark(min(known))} over the nosing line, under it the "
        "large ball stops."
        if known and len(known) == len(limits)
        else "Triangle under the bottom rail: not known from the measure; try the large ball."
    )
    return Step(
        number=0,
        key=key_of("check", stair.name),
        stage="Stairs",
        hold="H7",
        text=f"{stair.name}: top over each nosing, from the top: {heights}. {triangle} Small "
        "ball at both ends and between balusters. Push the lower posts. Photo with ball and level.",
        people=2,
        tool="Check balls, level, camera",
        slip="Lower post loose: the stringer moves, not the post",
        after=after,
    )


def _tops(side: StairBay, work: Work) -> str:
    """Heights at the nosings, said once where they are all the same."""
    tops = [work.mark(height.top) for height in side.heights]
    if len(set(tops)) == 1:
        return f"{tops[0]} at all {len(tops)}"
    return ", ".join(tops) or work.mark(side.top_over_nosing)


def _handrail(stair: Stair, work: Work) -> tuple[Step, ...]:
    grip = work.job.stair_system.handrail or work.job.system.handrail
    if not stair.handrail or grip is None:
        return ()
    runs = [
        f"{side.side} side {work.mark(side.handrail)}, {side.handrail_brackets} brackets"
        for side in work.sides(stair.name)
        if side.handrail is not None
    ]
    height = _height(work)
    return (
        Step(
            number=0,
            key=key_of("handrail", stair.name),
            stage="Handrail",
            text=f"{stair.name}, along the slope, nosing to nosing: "
            f"{listed(runs) or 'as ordered'}, no more than {work.mark(grip.bracket_apart)} apart. "
            f"{height}{work.mark(grip.clearance)} clear behind; both ends returned.",
            people=2,
            tool="Driver, level, hacksaw, file",
            slip="Screw heads or joints on the grip side; broken by a post",
            cautions=("stair-edge", "swarf"),
        ),
        Step(
            number=0,
            key=key_of("handrail-check", stair.name),
            stage="Handrail",
            hold="H8",
            text=f"{stair.name}: run a hand from end to end without letting go. {height}"
            f"{work.mark(grip.clearance)} clear behind; ends returned; photo of both ends.",
            tool="Tape, camera",
            after=(key_of("handrail", stair.name),),
        ),
    )


def _height(work: Work) -> str:
    """The recorded window for the handrail's height, where there is one."""
    rules = work.job.profile.rules if work.job.profile else ()
    rule = next((rule for rule in rules if rule.measures == "handrail.height"), None)
    if rule is None or rule.limit is None:
        return ""
    high = f" to {work.mark(rule.upper)}" if rule.upper else " or more"
    return f"Top {work.mark(rule.limit)}{high} plumb over the nosings; "
