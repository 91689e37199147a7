"""Steps at the stairs: prove the line, cut the lower posts, fix, check, handrail."""

from __future__ import annotations

from schemas.bays import PostHeight, StairBay
from schemas.sequence import Step
from schemas.site import Stair
from schemas.wording import Said, counted, row, say
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
    ends = row(
        (
            say(
                "{side}: {upper}, {lower}",
                side=side.name, upper=_at(side.top_at_upper, side.upper_post, work),
                lower=_at(side.top_at_lower, side.lower_post, work),
            )
            for side in sides
        ),
        "; ",
    )  # fmt: skip
    return Step(
        number=0,
        key=key_of("line", stair.name),
        stage="Stairs",
        text=say(
            "{stair}: straightedge or string at top-rail height, post face to post face: {ends}, "
            "each above what the post stands on. Plumb over the nosings {top}. Mark both rails on "
            "the lower posts.",
            stair=stair.name, ends=ends, top=work.mark(sides[0].top_over_nosing),
        ),
        people=2,
        tool=say("Long straightedge, digital level"),
        slip=say("Height read square to the slope, or from the tread instead of the nosing"),
        cautions=("stair-edge",),
        after=after,
    )  # fmt: skip


def _at(height: float, post: str, work: Work) -> Said:
    return say("{height} at {post}", height=work.mark(height), post=post)


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
            text=say(
                "{stair}, lower posts, above what they stand on: {posts}.",
                stair=stair.name, posts=row((_cut_post(h, work) for h in heights), "; "),
            ),
            tool=say("Saw, fine blade"),
            slip=say("Bottom post cut before its line was proved"),
            cautions=("saw", "stair-edge"),
            after=(key_of("line", stair.name),),
        ),
    )  # fmt: skip


def _cut_post(height: PostHeight, work: Work) -> Said:
    return say(
        "{post} core {core}, sleeve {sleeve}",
        post=height.post, core=work.span(height.core_least, height.core_most),
        sleeve=work.mark(height.sleeve),
    )  # fmt: skip


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
    blocks = say(
        "Foot block at {marks} along the rail, over a tread.", marks=work.marks(side.foot_blocks)
    )
    bits = (say("pilot bit {bits}", bits=work.mark(pilot)),) if pilot else ()
    return Step(
        number=0,
        key=key_of("stair", side.name),
        stage="Stairs",
        text=row((*_side_text(side, work), *((blocks,) if side.foot_blocks else ())), " "),
        people=max(2, side.people),
        tool=row((say("Driver, bevel gauge"), *bits)),
        slip=say("Bevels of the wrong hand: lay the bottom rail on the nosings and copy it"),
        cautions=("stair-edge", "lifting", "overdriven"),
        after=after,
    )


def _side_text(side: StairBay, work: Work) -> tuple[Said, ...]:
    return (
        say(
            "{side}: rails {cut} on the slope, both ends plumb at {saw}.",
            side=side.name, cut=work.mark(side.cut), saw=f"{side.saw_deg:.1f}",
        ),
        say(
            "First hole {lower} from the lower end, {upper} from the upper; to the long point top "
            "rail {top}, bottom rail {bottom}.",
            lower=work.mark(side.margin_lower), upper=work.mark(side.margin_upper),
            top=work.mark(side.top_first_hole_to_long),
            bottom=work.mark(side.bottom_first_hole_to_long),
        ),
        say(
            "Undersides of bottom rail: {upper}, {lower}.",
            upper=_at(side.bottom_at_upper, side.upper_post, work),
            lower=_at(side.bottom_at_lower, side.lower_post, work),
        ),
        counted("{count} baluster, plumb.", "{count} balusters, plumb.", count=side.balusters),
    )  # fmt: skip


def _check(stair: Stair, work: Work, *, after: tuple[str, ...]) -> Step:
    sides = work.sides(stair.name)
    heights = row(
        (say("{side} {tops}", side=side.name, tops=_tops(side, work)) for side in sides), "; "
    )
    limits = {side.triangle_limit for side in sides}
    known = [limit for limit in limits if limit is not None]
    passes = any(
        s.rail_over_nosing > s.triangle_limit for s in sides if s.triangle_limit is not None
    )
    triangle = (
        say("Under the bottom rail the large ball passes: closed as the authority says?")
        if passes
        else say(
            "Bottom rail {limit} over the nosing line at the most: a mark higher the large ball "
            "touches, and touching fails.",
            limit=work.mark(min(known)),
        )
        if known and len(known) == len(limits)
        else say("Triangle under the bottom rail: not known from the measure; try the large ball.")
    )
    return Step(
        number=0,
        key=key_of("check", stair.name),
        stage="Stairs",
        hold="H7",
        text=row(
            (
                say(
                    "{stair}: top over each nosing, from the top: {heights}.",
                    stair=stair.name, heights=heights,
                ),
                triangle,
                say(
                    "Small ball at both ends and between balusters. Push the lower posts. Photo "
                    "with ball and level."
                ),
            ),
            " ",
        ),
        people=2,
        tool=say("Check balls, level, camera"),
        slip=say("Lower post loose: the stringer moves, not the post"),
        after=after,
    )  # fmt: skip


def _tops(side: StairBay, work: Work) -> str:
    """Heights at the nosings, said once where they are all the same."""
    tops = [work.mark(height.top) for height in side.heights]
    if len(set(tops)) == 1:
        return say("{top} at all {count}", top=tops[0], count=len(tops))
    return ", ".join(tops) or work.mark(side.top_over_nosing)


def _handrail(stair: Stair, work: Work) -> tuple[Step, ...]:
    grip = work.job.stair_system.handrail or work.job.system.handrail
    if not stair.handrail or grip is None:
        return ()
    runs = [
        counted(
            "{side} {length}, {count} bracket", "{side} {length}, {count} brackets",
            side=_SIDES[side.side], length=work.mark(side.handrail),
            count=side.handrail_brackets,
        )
        for side in work.sides(stair.name)
        if side.handrail is not None
    ]  # fmt: skip
    fitted = say(
        "{stair}, along the slope, nosing to nosing: {runs}, no more than {apart} apart.",
        stair=stair.name, runs=listed(runs) if runs else say("as ordered"),
        apart=work.mark(grip.bracket_apart),
    )  # fmt: skip
    stick = work.job.company.squared(grip.stock)
    joined = any(
        (side.handrail or 0) - side.handrail_level > stick for side in work.sides(stair.name)
    )
    at_joints = (say("A bracket near each joint."),) if joined else ()
    clear = row(
        (*_height(work), say("{clearance} clear behind", clearance=work.mark(grip.clearance))), "; "
    )
    return (
        Step(
            number=0,
            key=key_of("handrail", stair.name),
            stage="Handrail",
            text=row((fitted, *at_joints, say("{clear}; both ends returned.", clear=clear)), " "),
            people=2,
            tool=say("Driver, level, hacksaw, file"),
            slip=say("Screw heads or joints on the grip side; broken by a post"),
            cautions=("stair-edge", "swarf"),
        ),
        Step(
            number=0,
            key=key_of("handrail-check", stair.name),
            stage="Handrail",
            hold="H8",
            text=say(
                "{stair}: run a hand from end to end without letting go. {clear}; ends returned; "
                "photo of both ends.",
                stair=stair.name, clear=clear,
            ),
            tool=say("Tape, camera"),
            after=(key_of("handrail", stair.name),),
        ),
    )  # fmt: skip


_SIDES = {"left": say("left side"), "right": say("right side")}


def _height(work: Work) -> tuple[Said, ...]:
    """The recorded window for the handrail's height, where there is one."""
    rules = work.job.profile.rules if work.job.profile else ()
    rule = next((rule for rule in rules if rule.measures == "handrail.height"), None)
    if rule is None or rule.limit is None:
        return ()
    height = (
        work.span(rule.limit, rule.upper)
        if rule.upper
        else say("{low} or more", low=work.mark(rule.limit))
    )
    planned = [side.handrail_height for side in work.bays.stair if side.handrail_height]
    if not planned:
        return (say("Top {height} plumb over the nosings", height=height),)
    at = work.mark(min(planned))
    return (say("Top {at} plumb over the nosings, recorded {height}", at=at, height=height),)
