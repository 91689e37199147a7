"""Figures of the site plan, laid beside the measure and the coordinates they stand for."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import cos, hypot, radians, sin

from schemas.layout import Bay, LaidLeg, Post
from schemas.plan import Plan
from schemas.site import Leg, Stair, StandingPost
from services.recheck.ground import NEAR, Stood, arrives, measured_from, row_of
from services.recheck.limits import inches

HERE = 2
"""Rounding of one coordinate and of one printed figure. [1/320 mm]"""


def recheck_plan_marks(plan: Plan) -> Iterator[str]:
    """Every figure in plan that neither the tape nor the coordinates have."""
    for leg in plan.layout.legs:
        taken = _taken(plan, leg)
        row = row_of(plan, leg)
        for says in (*_leg(plan, leg, taken), *_ends(plan, leg, taken, row)):
            yield f"leg {leg.name}: {says}"
    for post in plan.layout.posts:
        for says in (*_post(plan, post), *_size(plan, post)):
            yield f"{post.name}: {says}"
    for bay in plan.layout.bays:
        for says in _brackets(plan, bay):
            yield f"{bay.name}: {says}"
        if bay.kind == "stair":
            yield from _flight(plan, bay)


def _taken(plan: Plan, leg: LaidLeg) -> Leg:
    return next(one for line in plan.job.lines for one in line.legs if one.name == leg.name)


def _leg(plan: Plan, leg: LaidLeg, taken: Leg) -> Iterator[str]:
    """What the tape read of it, and from where to where it runs."""
    if plan.job.lines[leg.line].legs.count(taken) != 1:
        yield f"is not a leg of line {leg.line + 1}"
        return
    if (leg.measured, leg.drop, leg.fall) != (taken.length, taken.drop, taken.fall):
        yield "length, drop or fall are not those measured"
    if abs(leg.zero - measured_from(plan, leg)) > 1:
        yield f"its zero is {inches(leg.zero)} from its measured start"
    long = taken.length - leg.zero - _taken_off_end(plan, leg)
    if abs(leg.length - long) > (NEAR + HERE if taken.clears else HERE):
        yield f"{inches(long)} long by the measure, {inches(leg.length)} printed"
    drawn = hypot(leg.end.x - leg.start.x, leg.end.y - leg.start.y)
    if abs(drawn - leg.length) > HERE:
        yield f"drawn {inches(drawn)} long, {inches(leg.length)} printed"
    way = radians(leg.heading_deg)
    if abs((leg.end.y - leg.start.y) * cos(way) - (leg.end.x - leg.start.x) * sin(way)) > HERE:
        yield "drawn in another direction than printed"


def _taken_off_end(plan: Plan, leg: LaidLeg) -> float:
    """From the leg's end to where the tape was held there; negative where the tape was short.

    Beyond the end both deck edges are met where a point of the leg's own edge is the inset away
    from the next leg too, to its right.
    """
    guard = plan.job.lines[leg.line]
    legs = [one for one in plan.layout.legs if one.line == leg.line]
    inset = guard.inset if guard.measured == "deck-edge" else 0
    number = legs.index(leg)
    if number == len(legs) - 1 and not guard.closed:
        own = max(inset, 0) if guard.end.inset is None else guard.end.inset
        return 0.0 if guard.end.kind == "wall" else float(own)
    following = legs[(number + 1) % len(legs)]
    a, b = arrives(plan, leg), radians(following.heading_deg)
    right_of_a, right_of_b = (sin(a), -cos(a)), (sin(b), -cos(b))
    along = cos(a) * right_of_b[0] + sin(a) * right_of_b[1]
    across = right_of_a[0] * right_of_b[0] + right_of_a[1] * right_of_b[1]
    return (inset - inset * across) / along


def _ends(plan: Plan, leg: LaidLeg, taken: Leg, row: list[Stood]) -> Iterator[str]:
    """Faces and openings between neighbours, along the leg."""
    bays = {(b.left.post, b.right.post): b for b in plan.layout.bays if b.leg == leg.name}
    for number, (one, other) in enumerate(pairwise(row)):
        bay = bays.get((one.name, other.name))
        if bay is None:
            continue
        faces = (one.at + one.half, other.at - other.half)
        if max(abs(bay.left.face - faces[0]), abs(bay.right.face - faces[1])) > HERE:
            yield f"{bay.name} lies from {inches(faces[0])} to {inches(faces[1])}"
        stood = [(name, s) for name, s in ((one.name, one), (other.name, other)) if s.post]
        replaced = any(_goes(plan, name) for name, _ in stood)
        if bay.measured != (bool(taken.clears) and not replaced):
            yield f"{bay.name} is measured, or is not, otherwise than printed"
        bottom, top = float(faces[1] - faces[0]), None
        if bay.measured and number < len(taken.clears):
            bottom, top = float(taken.clears[number].bottom), taken.clears[number].top
        elif taken.clears and number < len(taken.clears) and taken.clears[number].top is not None:
            found = taken.clears[number]
            top = round(bottom) + (found.top or 0) - found.bottom
        wider = _wider(plan, leg, one) + _wider(plan, leg, other)
        high = bottom + wider if top is None else float(top)
        for what, size, printed in (
            ("at the bottom", bottom, bay.clear),
            ("at the top", high, bay.clear_top),
        ):
            if not -plan.job.step - HERE < printed - size <= HERE:
                yield f"{bay.name} is {inches(size)} clear {what}, {inches(printed)} printed"
    yield from _top_openings(plan, leg)


def _wider(plan: Plan, leg: LaidLeg, stood: Stood) -> int:
    """How much a wall's lean widens the opening beside it at top-rail height."""
    if stood.post is not None:
        return 0
    line = plan.job.lines[leg.line]
    end = line.start if stood.at < leg.length / 2 else line.end
    return end.out_of_plumb or 0


def _top_openings(plan: Plan, leg: LaidLeg) -> Iterator[str]:
    """A bay's sheet has the opening of the plan, both at the bottom and at the top."""
    laid = {bay.name: bay for bay in plan.layout.bays}
    for bay in plan.bays.level:
        if bay.leg != leg.name or bay.name not in laid:
            continue
        on_plan = laid[bay.name]
        for what, clear, printed in (
            ("at the bottom", on_plan.clear, bay.clear),
            ("at the top", on_plan.clear_top, bay.clear_top),
        ):
            if not 0 <= clear - printed < plan.job.step:
                yield f"{bay.name}: {inches(clear)} clear {what} in plan, {inches(printed)} cut to"


def _number(leg: LaidLeg, name: str | None) -> int | None:
    """Which post of its own leg it is; none: it belongs to another one."""
    tail = (name or "").removeprefix(leg.name)
    return int(tail) if tail.isdigit() else None


def _goes(plan: Plan, name: str | None) -> bool:
    """Whether the tech noted on the post's own leg that it is to be replaced."""
    for leg in plan.layout.legs:
        number = _number(leg, name)
        if number is not None and name in leg.posts:
            notes = _taken(plan, leg).standing
            if any(note.number == number and note.keep is False for note in notes):
                return True
    return False


def _noted(plan: Plan, post: Post) -> StandingPost | None:
    """What the tech wrote of a post that stays, if it is unlike the others."""
    for leg in plan.layout.legs:
        if leg.name == post.leg:
            number = _number(leg, post.name)
            notes = (n for n in _taken(plan, leg).standing if n.number == number)
            return next((note for note in notes if note.keep is not False), None)
    return None


def _size(plan: Plan, post: Post) -> Iterator[str]:
    """Sleeve and core, the system's and the job's or as they stand."""
    noted, own = _noted(plan, post), (plan.job.system.sleeve.outside, plan.job.post.core)
    sleeve = (noted.sleeve or noted.core or own[0]) if noted else own[0]
    core = (noted.core or own[1]) if noted else own[1]
    if (post.sleeve, post.core) != (sleeve, core):
        yield f"sleeve {inches(post.sleeve)} and core {inches(post.core)} are not its own"


def _post(plan: Plan, post: Post) -> Iterator[str]:
    """Where it is printed to stand along its leg, how it is turned and what it does there."""
    leg = next((one for one in plan.layout.legs if one.name == post.leg), None)
    if leg is not None:
        way = radians(leg.heading_deg)
        x, y = post.point.x - leg.start.x, post.point.y - leg.start.y
        if abs(post.at - (x * cos(way) + y * sin(way))) > HERE:
            yield f"stands {inches(x * cos(way) + y * sin(way))} along, {inches(post.at)} printed"
    elif post.at != _down_the_flight(plan, post):
        yield f"does not stand {inches(post.at)} down its flight"
    if post.where != "corner" and post.turned_deg:
        yield "turned, and at no corner"
    duties = _duties(plan, post)
    if post.where not in duties:
        yield f"is printed as {post.where}, not {' or '.join(sorted(duties))}"


def _down_the_flight(plan: Plan, post: Post) -> int | None:
    """A mid post's centre from the top nosing, by the face it shows uphill; a foot has nothing."""
    above = next(
        (b for b in plan.layout.bays if b.kind == "stair" and b.left.post == post.name), None
    )
    stair = next((one for one in plan.job.stairs if one.name == post.leg), None)
    if above is None or stair is None:
        return None
    if not above.left.face:
        return 0
    return _foot(stair) + post.sleeve // 2 - above.left.face


def _foot(stair: Stair) -> int:
    """The lower post's uphill face from the top nosing, level."""
    run = sum(stair.each_tread) or (stair.risers - 1) * stair.tread
    return run + stair.lower_post.from_last_nose


def _duties(plan: Plan, post: Post) -> set[str]:
    """What a post may be called: by the legs that meet in it and the openings beside it."""
    beside = [b for b in plan.layout.bays if post.name in {b.left.post, b.right.post}]
    if post.leg in {stair.name for stair in plan.job.stairs}:
        below = any(b.kind == "stair" and b.right.post == post.name for b in beside)
        return {"stair-mid" if below else "stair-lower"}
    legs = [leg for leg in plan.layout.legs if post.name in leg.posts]
    if len(legs) == 2:
        return {"corner"}
    kinds = {b.kind for b in beside}
    if "stair-opening" in kinds:
        return {"stair-upper"}
    if "gate-opening" in kinds:
        return {"gate"}
    ends = {(leg.posts[0], leg.zero_is, leg.posts[-1], leg.end_is) for leg in legs if leg.posts}
    at_end = any(
        (first == post.name and zero == "post") or (last == post.name and end == "post")
        for first, zero, last, end in ends
    )
    return {"end"} if at_end else {"line"}


def _brackets(plan: Plan, bay: Bay) -> Iterator[str]:
    """Each end's kind of bracket, by the angle it has to take."""
    rail = plan.job.system.level
    for end in (bay.left, bay.right):
        if bay.kind == "stair":
            fits = end.bracket == "stair" and not end.mitre_deg
        else:
            plain = rail.bracket.least_deg <= abs(end.mitre_deg) <= rail.bracket.greatest_deg
            fits = end.bracket == ("line" if plain else "angle")
        if not fits:
            yield f"a {end.bracket} bracket at {end.post or 'the wall'}"
    if bay.kind in {"stair-opening", "gate-opening"}:
        named = (
            {stair.leg for stair in plan.job.stairs}
            if bay.kind == "stair-opening"
            else {gate.leg for gate in plan.job.gates}
        )
        if bay.leg not in named:
            yield "an opening for what was not measured on its leg"


def _flight(plan: Plan, bay: Bay) -> Iterator[str]:
    """A stair bay in plan: level, from the lower post's uphill face."""
    sheet = next((one for one in plan.bays.stair if one.name == bay.name), None)
    free = bay.right.face - bay.left.face
    if bay.measured:
        yield f"{bay.name}: a stair bay is not measured before its lower post stands"
    for clear in (bay.clear, bay.clear_top, sheet.clear if sheet else bay.clear):
        if not 0 <= free - clear < plan.job.step:
            yield f"{bay.name}: {inches(free)} from face to face, {inches(clear)} printed"
