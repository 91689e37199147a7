"""Steps at the posts: framing, setting, proving, cores, skirts, sleeves."""

from __future__ import annotations

from collections.abc import Iterable

from schemas.company import FixingDetail
from schemas.layout import LaidLeg, Post
from schemas.sequence import Step
from schemas.site import Stair
from schemas.wording import Said, row, say, shipped
from services.sequence.stages import key_of, listed
from services.sequence.work import Work
from services.wording.terms import turned_from

_FIRST = ("end", "corner", "stair-upper", "gate")
_ON_STAIR = ("stair-mid", "stair-lower")
_BELOW = {
    "inside-rim": say("rim, joists, blocking, rot, wires, pipes"),
    "outside-rim": say("rim and what ties it to the joists, rot, wires, pipes"),
    "surface": say("solid blocking under each plate, rot, wires, pipes"),
    "concrete": say("edge distance, cracks, old repairs, pipes"),
}
_UNKNOWN_BELOW = say("what it is, rot, cracks, wires, pipes; photo for the office")


def posts(work: Work) -> tuple[Step, ...]:
    """Posts to be set from framing to sleeve; posts in place are only proved."""
    walls = _walls(work)
    if not work.layout.posts:
        return walls
    new = work.new_posts()
    if not new:
        looked_at = _in_place(work.layout.posts)
        return (*walls, looked_at, _proved_in_place(after=(looked_at.key,)))
    standing = tuple(post for post in work.layout.posts if post.in_place)
    ends = tuple(post for post in new if post.where in _FIRST)
    between = tuple(post for post in new if post.where == "line")
    lower = tuple(post for post in new if post.where in _ON_STAIR)
    setting = (
        *((_in_place(standing),) if standing else ()),
        *_marks(work),
        *_set("set-ends", say("Ends, corners and openings first"), ends, work),
        *_set("set-between", say("Line posts, to both strings"), between, work),
        *_set("set-lower", say("Lower stair posts, left long"), lower, work),
    )
    done = tuple(step.key for step in setting)
    return (
        *walls,
        *_framing(new, work),
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
        text=say(
            "Posts that stand: {posts}. Push, plumb both ways, look for rot at the foot. Loose or "
            "soft: photo, call; no rail on it.",
            posts=names,
        ),
        tool=say("Level, awl"),
        slip=say("A twisted core pulls the rails apart months later"),
        cautions=("open-edge",),
    )


def _framing(new: tuple[Post, ...], work: Work) -> tuple[Step, ...]:
    """What holds the posts along the legs is looked at, then what holds a flight's feet."""
    feet = tuple(post for post in new if post.where in _ON_STAIR)
    legs = tuple(post for post in new if post.where not in _ON_STAIR)
    both = (("framing", legs, False), ("framing-feet", feet, True))
    return tuple(_look(key, posts, work, feet=is_foot) for key, posts, is_foot in both if posts)


def _look(key: str, posts: tuple[Post, ...], work: Work, *, feet: bool) -> Step:
    under = [
        say(
            "Under each post ({posts}): {below}.",
            posts=listed(names),
            below=_BELOW[detail.mount] if detail else _UNKNOWN_BELOW,
        )
        for detail, names in _by_fixing(posts, work)
    ]
    fits = [
        say(
            "Detail {detail} ({says}) fits as found? If not: do not drill; photo; call.",
            detail=detail.key,
            says=shipped(detail.says),
        )
        if detail
        else say("{posts}: no approved fixing is recorded: not set before the office names one.",
                 posts=listed(names))
        for detail, names in _by_fixing(posts, work)
    ]  # fmt: skip
    lower = {post.leg for post in posts}
    stands = [_stands_on(stair) for stair in work.job.stairs if feet and stair.name in lower]
    return Step(
        number=0,
        key=key,
        stage="Framing",
        hold="H3",
        text=row((*stands, *under, *noted(work), *fits), " "),
        people=2,
        tool=say("Lamp, awl, detector, camera"),
        slip=say("A lower post that only the stringer holds")
        if feet
        else say("A rim that only its end nails hold"),
        cautions=("hidden-services", "ladder"),
    )


def _by_fixing(
    posts: Iterable[Post], work: Work
) -> tuple[tuple[FixingDetail | None, tuple[str, ...]], ...]:
    """Posts with one detail together, those of none too."""
    names: dict[str, list[str]] = {}
    details: dict[str, FixingDetail | None] = {}
    for post in posts:
        detail = work.job.fixing_of(post)
        number = detail.key if detail else ""
        details[number] = detail
        names.setdefault(number, []).append(post.name)
    return tuple((details[number], tuple(same)) for number, same in names.items())


def noted(work: Work) -> tuple[Said, ...]:
    """The measure's own hazards, said again where something is drilled or dug."""
    hazards = row(map(shipped, work.job.site.hazards), "; ")
    return (say("Noted here: {hazards}.", hazards=hazards),) if hazards else ()


def _stands_on(stair: Stair) -> Said:
    """What a stair's lower posts stand on."""
    on = shipped(stair.landing) if stair.landing else say("a foot that is not recorded")
    return say("{stair} lower posts stand on {on}.", stair=stair.name, on=on)


def _walls(work: Work) -> tuple[Step, ...]:
    """Wall ends: what the bracket must reach."""
    ends = [
        (leg.name, say("zero") if end is line.start else say("end"), end)
        for line in work.job.lines
        if not line.closed
        for leg, end in ((line.legs[0], line.start), (line.legs[-1], line.end))
        if end.kind == "wall"
    ]
    if not ends:
        return ()
    shown = row(
        (
            say("{leg} {where}: {wall}", leg=leg, where=where, wall=_wall(end.substrate))
            for leg, where, end in ends
        ),
        "; ",
    )
    return (
        Step(
            number=0,
            key="walls",
            stage="Framing",
            text=row(
                (
                    say(
                        "Wall ends. {ends}. Find solid wood or the block behind before any "
                        "bracket.",
                        ends=shown,
                    ),
                    *noted(work),
                ),
                " ",
            ),
            tool=say("Detector, awl, level"),
            slip=say("A bracket that only the siding holds"),
            cautions=("hidden-services", *(("old-paint",) if work.job.may_hold_lead else ())),
        ),
    )


def _wall(substrate: str | None) -> Said:
    return shipped(substrate) if substrate else say("not recorded, find out first")


def _marks(work: Work) -> tuple[Step, ...]:
    return tuple(
        _mark_leg(leg, work)
        for leg in work.layout.legs
        if any(not work.layout.post(name).in_place for name in leg.posts)
    )


def _mark_leg(leg: LaidLeg, work: Work) -> Step:
    zero = say("the wall") if leg.zero_is == "wall" else say("centre of {post}", post=leg.posts[0])
    last = [say("wall at {mark}", mark=work.mark(leg.length))] if leg.end_is == "wall" else []
    at = listed(f"{name} {work.mark(_along(leg, name, work))}" for name in leg.posts)
    turned = [
        say("{post} turned {turned}", post=name, turned=turned_from(post))
        for name in leg.posts
        if (post := work.layout.post(name)).turned_deg
    ]
    marks = say(
        "Leg {leg}, post centres from zero ({zero}): {marks}.",
        leg=leg.name, zero=zero, marks=row((at, *last), "; "),
    )  # fmt: skip
    return Step(
        number=0,
        key=key_of("mark", leg.name),
        stage="Posts",
        text=say("{marks} {turned}.", marks=marks, turned=row(turned, "; ")) if turned else marks,
        people=2,
        tool=say("Tape, string, pencil"),
        slip=say("Stepping bay by bay: mark all from one zero"),
        cautions=("open-edge",),
    )


def _along(leg: LaidLeg, name: str, work: Work) -> int:
    """Centre of a post along a leg; the corner at its end is named after the next leg."""
    post = work.layout.post(name)
    return post.at if post.leg == leg.name else leg.length


def _set(key: str, says: Said, which: tuple[Post, ...], work: Work) -> tuple[Step, ...]:
    if not which:
        return ()
    groups = _by_fixing(which, work)
    concrete = any(detail and detail.mount == "concrete" for detail, _ in groups)
    marks = tuple(step.key for step in _marks(work))
    before = ("set-ends",) if key == "set-between" and _has_ends(work) else ()
    fixing = row((_fixing(detail, names if len(groups) > 1 else ()) for detail, names in groups),
                 " ")  # fmt: skip
    text = say(
        "{what}: {posts}. {fixing} Plumb both ways, then tighten.",
        what=says, posts=listed(_stands(post, work) for post in which), fixing=fixing,
    )  # fmt: skip
    return (
        Step(
            number=0,
            key=key,
            stage="Posts",
            text=row((text, *noted(work)), " "),
            people=2,
            tool=say("Rotary hammer with shroud, torque wrench")
            if concrete
            else say("Drill and long bit for the bolts, sockets, two levels, clamps"),
            wait=say("Chemical anchors: the cartridge's table; no load, no torque before")
            if concrete
            else "",
            slip=say("Bolted tight before it is plumb"),
            cautions=(
                "open-edge",
                "rust",
                "hidden-services",
                *(("concrete-dust",) if concrete else ()),
            ),
            after=(*marks, *before),
        ),
    )


def _stands(post: Post, work: Work) -> str:
    """A post; beside a flight also how far from the one above it, face to face, level."""
    above = next((bay for bay in work.bays.stair if bay.lower_post == post.name), None)
    if above is None or post.where not in _ON_STAIR:
        return post.name
    return say(
        "{post} ({clear} clear of {above}, level)",
        post=post.name, clear=work.mark(above.clear), above=above.upper_post,
    )  # fmt: skip


def _fixing(detail: FixingDetail | None, names: tuple[str, ...]) -> Said:
    """By which detail; named where not all posts of a step have the same."""
    by = (
        say("Detail {detail}.", detail=detail.key)
        if detail
        else say("Fixing as the office names it.")
    )
    return say("{posts}: {fixing}", posts=listed(names), fixing=by) if names else by


def _has_ends(work: Work) -> bool:
    return any(post.where in _FIRST for post in work.new_posts())


def _stay(work: Work) -> tuple[Said, ...]:
    """Of posts beside those set today: they are pushed, not moved."""
    names = listed(post.name for post in work.layout.posts if post.in_place)
    said = say("{posts} stay where they stand: push only; out of line: call.", posts=names)
    return (said,) if names else ()


def _proved_in_place(*, after: tuple[str, ...]) -> Step:
    """Posts that all stand are not moved: what they are off, the openings show."""
    return Step(
        number=0,
        key="posts-proved",
        stage="Posts",
        hold="H4",
        text=say(
            "All posts stay where they stand: push every post, no give, no rattle; string along "
            "the faces. One that is loose, soft or out of line: no rail on it, photo, call. Photo "
            "of each foot as found."
        ),
        tool=say("Level, string, camera"),
        slip=say("A post straightened by its rail"),
        after=after,
    )


def _proved(work: Work, *, after: tuple[str, ...]) -> Step:
    return Step(
        number=0,
        key="posts-proved",
        stage="Posts",
        hold="H4",
        text=row((say(
            "Push every post: no give, no rattle. Plumb within {plumb} on a {level} level, in line "
            "{line}, centres {centres}. Photo of each connection before it is covered.",
            plumb=work.plain("1/8", "3"), level=work.plain("4 ft", "1.2 m"),
            line=work.plain("1/8", "3"), centres=work.plain("1/8", "3"),
        ), *_stay(work)), " "),
        tool=say("Level, string, camera"),
        slip=say("Covered before the photo or the inspection"),
        after=after,
    )  # fmt: skip


def _dressing(work: Work) -> tuple[Step, ...]:
    """Cores to height, skirts, sleeves: what ends a flight keeps its length for now."""
    lower = set(work.left_long())
    now = {post.name for post in work.new_posts()} - lower
    heights = [height for height in work.bays.posts if height.post in now]
    cores = _grouped((work.span(h.core_least, h.core_most), h.post) for h in heights)
    sleeves = _grouped((work.mark(h.sleeve), h.post) for h in heights)
    left = say("{posts}: left long, cut when the line is proved.", posts=listed(sorted(lower)))
    long = (left,) if lower else ()
    names = listed(post.name for post in work.new_posts())
    return (
        Step(
            number=0,
            key="cores",
            stage="Dress posts",
            text=row(
                (
                    say(
                        "Cores, top above the surface, by laser from one mark: {tops}.", tops=cores
                    ),
                    *long,
                ),
                " ",
            ),
            tool=say("Laser, saw"),
            wait=say("Cut ends treated, and dry before the sleeve"),
            slip=say("Measured up from the boards at each post"),
            cautions=("saw", "treated-wood"),
        ),
        Step(
            number=0,
            key="skirts",
            stage="Dress posts",
            text=say("Skirt on first: {posts}.", posts=names),
            slip=say("Skirt forgotten: sleeve and brackets have to come off again"),
            after=("cores",),
        ),
        Step(
            number=0,
            key="sleeves",
            stage="Dress posts",
            text=row(
                (
                    say("Then the sleeve, cut to: {cuts}.", cuts=sleeves),
                    *long,
                    say("Low side of the foot left open to drain."),
                ),
                " ",
            ),
            tool=say("Saw, fine blade"),
            slip=say("Sleeve wedged on a core that is not plumb"),
            cautions=("saw", "plastic-dust"),
            after=("skirts",),
        ),
    )


def _grouped(pairs: Iterable[tuple[str, str]]) -> str:
    """Posts under the figure that they share."""
    groups: dict[str, list[str]] = {}
    for figure, post in pairs:
        groups.setdefault(figure, []).append(post)
    each = (
        say("{figure}: {posts}", figure=figure, posts=listed(names))
        for figure, names in groups.items()
    )
    return row(each, "; ")
