"""Steps at the posts: framing, setting, proving, cores, skirts, sleeves."""

from __future__ import annotations

from collections.abc import Iterable

from schemas.layout import LaidLeg, Post
from schemas.sequence import Step
from services.sequence.hazards import may_hold_lead
from services.sequence.stages import key_of, listed
from services.sequence.work import Work

_FIRST = ("end", "corner", "stair-upper", "gate")
_ON_STAIR = ("stair-mid", "stair-lower")
_RIM = ("inside-rim", "outside-rim")
_OTHER_FOOT = ": the detail is for a rim; the office names the fixing before they are set."
_BELOW = {
    "inside-rim": "rim, joists, blocking, rot, wires, pipes",
    "outside-rim": "rim and what ties it to the joists, rot, wires, pipes",
    "surface": "solid blocking under each plate, rot, wires, pipes",
    "concrete": "edge distance, cracks, old repairs, pipes",
}


def posts(work: Work) -> tuple[Step, ...]:
    """Posts to be set from framing to sleeve; posts in place are only proved."""
    walls = _walls(work)
    if not work.layout.posts:
        return walls
    new = work.new_posts()
    if not new:
        looked_at = _in_place(work.layout.posts)
        return (*walls, looked_at, _proved(work, after=(looked_at.key,)))
    standing = tuple(post for post in work.layout.posts if post.in_place)
    ends = tuple(post for post in new if post.where in _FIRST)
    between = tuple(post for post in new if post.where == "line")
    lower = tuple(post for post in new if post.where in _ON_STAIR)
    setting = (
        *((_in_place(standing),) if standing else ()),
        *_marks(work),
        *_set("set-ends", "Ends, corners and openings first", ends, work),
        *_set("set-between", "Line posts, to both strings", between, work),
        *_set("set-lower", "Lower stair posts, left long", lower, work),
    )
    done = tuple(step.key for step in setting)
    return (
        *walls,
        _framing(new, work),
        *setting,
        _proved(work, after=done),
        *_dressing(work),
    )


def _in_place(standing: Iterable[Post]) -> Step:
    names = listed(post.name for post in standing)
    return Step(
        number=0,
        key="posts-in-place",
        stage="Posts",
        text=f"Posts that stand: {names}. Push, plumb both ways, look for rot at the foot. Loose "
        "or soft: photo, call; no rail on it.",
        tool="Level, awl",
        slip="A twisted core pulls the rails apart months later",
        cautions=("open-edge",),
    )


def _framing(new: tuple[Post, ...], work: Work) -> Step:
    detail = work.job.detail
    below = _BELOW[detail.mount] if detail else _BELOW["inside-rim"]
    fits = (
        f"Detail {detail.key} ({detail.says}) fits as found? If not: do not drill; photo; call."
        if detail
        else "No approved fixing is recorded: no post is set before the office names one."
    )
    lower = any(post.where in _ON_STAIR for post in new)
    stands = [
        f"{stair.name} lower posts stand on {stair.landing or 'a foot that is not recorded'}"
        f"{_OTHER_FOOT if detail and detail.mount in _RIM else '.'}"
        for stair in work.job.stairs
        if lower
    ]
    return Step(
        number=0,
        key="framing",
        stage="Framing",
        hold="H3",
        text=" ".join(
            (f"Under each post ({listed(post.name for post in new)}): {below}. {fits}", *stands)
        ),
        people=2,
        tool="Lamp, awl, detector, camera",
        slip="A rim that only its end nails hold",
        cautions=("hidden-services", "ladder"),
    )


def _walls(work: Work) -> tuple[Step, ...]:
    """Wall ends: what the bracket must reach."""
    ends = [
        (leg.name, "zero" if end is line.start else "end", end)
        for line in work.job.lines
        if not line.closed
        for leg, end in ((line.legs[0], line.start), (line.legs[-1], line.end))
        if end.kind == "wall"
    ]
    if not ends:
        return ()
    shown = "; ".join(
        f"{leg} {where}: {end.substrate or 'not recorded, find out first'}"
        for leg, where, end in ends
    )
    return (
        Step(
            number=0,
            key="walls",
            stage="Framing",
            text=f"Wall ends. {shown}. Find solid wood or the block behind before any bracket.",
            tool="Detector, awl, level",
            slip="A bracket that only the siding holds",
            cautions=("hidden-services", *(("old-paint",) if may_hold_lead(work.job) else ())),
        ),
    )


def _marks(work: Work) -> tuple[Step, ...]:
    return tuple(
        _mark_leg(leg, work)
        for leg in work.layout.legs
        if any(not work.layout.post(name).in_place for name in leg.posts)
    )


def _mark_leg(leg: LaidLeg, work: Work) -> Step:
    zero = "the wall" if leg.zero_is == "wall" else f"centre of {leg.posts[0]}"
    last = f"; wall at {work.mark(leg.length)}" if leg.end_is == "wall" else ""
    at = listed(f"{name} {work.mark(_along(leg, name, work))}" for name in leg.posts)
    turned = [
        f"{post.name} turned {abs(post.turned_deg):g} degrees"
        for name in leg.posts
        if (post := work.layout.post(name)).turned_deg
    ]
    return Step(
        number=0,
        key=key_of("mark", leg.name),
        stage="Posts",
        text=f"Leg {leg.name}, post centres from zero ({zero}): {at}{last}."
        + (f" {'; '.join(turned)}." if turned else ""),
        people=2,
        tool="Tape, string, pencil",
        slip="Stepping bay by bay: mark all from one zero",
        cautions=("open-edge",),
    )


def _along(leg: LaidLeg, name: str, work: Work) -> int:
    """Centre of a post along a leg; the corner at its end is named after the next leg."""
    post = work.layout.post(name)
    return post.at if post.leg == leg.name else leg.length


def _set(key: str, says: str, which: tuple[Post, ...], work: Work) -> tuple[Step, ...]:
    if not which:
        return ()
    detail = work.job.detail
    concrete = detail is not None and detail.mount == "concrete"
    foot = key == "set-lower" and detail is not None and detail.mount in _RIM
    marks = tuple(step.key for step in _marks(work))
    before = ("set-ends",) if key == "set-between" and _has_ends(work) else ()
    return (
        Step(
            number=0,
            key=key,
            stage="Posts",
            text=f"{says}: {listed(post.name for post in which)}. "
            + (
                f"Detail {detail.key}. "
                if detail and not foot
                else "Fixing as the office names it. "
            )
            + "Plumb both ways, then tighten.",
            people=2,
            tool="Rotary hammer with shroud, torque wrench"
            if concrete
            else "Drill and long bit for the bolts, sockets, two levels, clamps",
            wait="Chemical anchors: the cartridge's table; no load, no torque before"
            if concrete
            else "",
            slip="Bolted tight before it is plumb",
            cautions=("open-edge", "rust", "concrete-dust" if concrete else "hidden-services"),
            after=(*marks, *before),
        ),
    )


def _has_ends(work: Work) -> bool:
    return any(post.where in _FIRST for post in work.new_posts())


def _proved(work: Work, *, after: tuple[str, ...]) -> Step:
    return Step(
        number=0,
        key="posts-proved",
        stage="Posts",
        hold="H4",
        text="Push every post: no give, no rattle. Plumb "
        f"{work.plain('1/8 in 4 ft', '3 in 1.2 m')}, in line {work.plain('1/8', '3')}, centres "
        f"{work.plain('1/8', '3')}. Photo of each connection before it is covered.",
        tool="Level, string, camera",
        slip="Covered before the photo or the inspection",
        after=after,
    )


def _dressing(work: Work) -> tuple[Step, ...]:
    """Cores to height, skirts, sleeves: what ends a flight keeps its length for now."""
    lower = set(work.left_long())
    now = {post.name for post in work.new_posts()} - lower
    heights = [height for height in work.bays.posts if height.post in now]
    cores = _grouped(
        (f"{work.mark(h.core_least)} to {work.mark(h.core_most)}", h.post) for h in heights
    )
    sleeves = _grouped((work.mark(h.sleeve), h.post) for h in heights)
    long = f" {listed(sorted(lower))}: left long, cut when the line is proved." if lower else ""
    names = listed(post.name for post in work.new_posts())
    return (
        Step(
            number=0,
            key="cores",
            stage="Dress posts",
            text=f"Cores, top above the surface, by laser from one mark: {cores}.{long}",
            tool="Laser, saw",
            wait="Cut ends treated, and dry before the sleeve",
            slip="Measured up from the boards at each post",
            cautions=("saw", "treated-wood"),
        ),
        Step(
            number=0,
            key="skirts",
            stage="Dress posts",
            text=f"Skirt on first: {names}.",
            slip="Skirt forgotten: sleeve and brackets have to come off again",
            after=("cores",),
        ),
        Step(
            number=0,
            key="sleeves",
            stage="Dress posts",
            text=f"Then the sleeve, cut to: {sleeves}.{long} Low side of the foot left open to "
            "drain.",
            tool="Saw, fine blade",
            slip="Sleeve wedged on a core that is not plumb",
            cautions=("saw", "plastic-dust"),
            after=("skirts",),
        ),
    )


def _grouped(pairs: Iterable[tuple[str, str]]) -> str:
    """Posts under the figure that they share."""
    groups: dict[str, list[str]] = {}
    for figure, post in pairs:
        groups.setdefault(figure, []).append(post)
    return "; ".join(f"{figure}: {listed(names)}" for figure, names in groups.items())
