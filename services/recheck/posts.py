"""Sleeves and cores measured again, from what the rails mark on each post."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from schemas.bays import FaceMark, PostHeight
from schemas.company import FixingDetail
from schemas.lengths import INCH
from schemas.plan import Plan
from services.recheck.limits import inches
from services.recheck.rake import rake_edges

_ASSUMED_BOLT = INCH // 2
"""Where a detail does not say how thick its bolts are."""
_UNDER_BOLT = 7
"""Bolt diameters. National Design Specification for Wood Construction, table 12.5.1A (from memory):
softwood loaded toward its end."""
_READ = 1.5
"""A plumb depth is read to a whole unit before it is marked. [1/320 mm]"""


_AT_RIM = ("inside-rim", "outside-rim")


def recheck_posts(plan: Plan) -> Iterator[str]:
    """Every sleeve and core that the rails at its post do not fit."""
    stays = {post.name for post in plan.layout.posts if post.in_place}
    for height in plan.bays.posts:
        if height.in_place != (height.post in stays):
            yield f"{height.post}: cut although it stays, or not cut although it is set"
        for says in (*_marks(plan, height), *_covered(plan, height)):
            yield f"{height.post}: {says}"
    yield from _cut(plan)


def _marks(plan: Plan, height: PostHeight) -> Iterator[str]:
    """Each rail that meets the post marks its two edges, each on the mark nearest to it."""
    edges = {(bay, rail): (low, high) for bay, rail, low, high in _edges(plan, height.post)}
    marked = Counter((mark.bay, mark.rail) for mark in height.faces)
    if marked != Counter(edges.keys()):
        yield "not one mark for each rail that meets it"
        return
    rakes = {side.name for side in plan.bays.stair}
    for mark in height.faces:
        low, high = edges[mark.bay, mark.rail]
        off = plan.job.step / 2 + _READ if mark.bay in rakes else 0
        if max(abs(mark.underside - low), abs(mark.topside - high)) > off:
            yield f"{mark.bay}'s {mark.rail} rail meets it from {inches(low)} to {inches(high)}"


def _edges(plan: Plan, post: str) -> Iterator[tuple[str, str, float, float]]:
    """Bay, rail, underside and topside there; level at the high side, its end at the low one."""
    levels = {bay.name: bay for bay in plan.bays.level}
    sold = plan.job.system.level
    for laid in plan.layout.bays:
        bay = levels.get(laid.name)
        if bay is None:
            continue
        for end, under in ((laid.left, bay.sweep), (laid.right, bay.sweep_low)):
            if end.post == post:
                top = under + bay.top - bay.sweep
                yield bay.name, "bottom", under, under + sold.bottom_depth
                yield bay.name, "top", top - sold.top_depth, top
    for side in plan.bays.stair:
        if post in {side.upper_post, side.lower_post}:
            yield from rake_edges(plan, side, post)


def _covered(plan: Plan, height: PostHeight) -> Iterator[str]:
    """Reveal and cap stand over the highest rail; the core ends between bracket and tab."""
    sleeve = plan.job.system.sleeve
    bare = plan.job.system.spacer_block + _section(plan)
    highest = max((mark.topside for mark in height.faces), default=bare)
    if height.rail_top != highest:
        yield f"its highest rail is {inches(highest)} up, not {inches(height.rail_top)}"
    seen = height.sleeve - sleeve.cap_depth - highest
    if not 0 <= seen - sleeve.reveal < plan.job.step:
        yield f"a sleeve of {inches(height.sleeve)} shows {inches(seen)}, not the reveal"
    if height.reveal != seen:
        yield f"prints {inches(height.reveal)} of reveal and shows {inches(seen)}"
    sold, trim = [length for _, length in sleeve.stock], plan.job.company.end_trim
    if height.sleeve > max(sold) - 2 * trim and height.sleeve not in sold:
        yield f"no sleeve of {inches(height.sleeve)} is sold"
    if height.core_most > height.sleeve - sleeve.cap_tab:
        yield "its core may reach the cap's tab"
    if height.core_most <= _most(plan, height) - plan.job.step:
        yield f"its core may not end {inches(height.core_most)} up only"
    brackets = max((_bracket_top(mark) for mark in height.faces), default=0)
    if not brackets <= height.core_least <= height.core_most:
        yield "its core may end under the top bracket"
    if height.core_least - highest >= plan.job.step:
        yield f"its core may end {inches(highest)} up, not only {inches(height.core_least)}"


def _most(plan: Plan, height: PostHeight) -> int:
    """Under the cap's tab, or as high as the longest stick reaches where the post is set."""
    under_tab = height.sleeve - plan.job.system.sleeve.cap_tab
    company = plan.job.company
    sticks = [s.length for s in company.cores if s.core == plan.job.post.core]
    detail = fixings(plan).get(height.post)
    if detail is None or not sticks:
        return under_tab
    reach = max(sticks) - 2 * company.end_trim - _foot(detail)
    return under_tab if reach < height.core_least else min(under_tab, reach)


def _section(plan: Plan) -> int:
    """Both level rails and what is seen of the balusters between them."""
    rail = plan.job.system.level
    return rail.top_depth + plan.job.level_height.visible + rail.bottom_depth


def _bracket_top(mark: FaceMark) -> int:
    """A bracket sits under its rail, within the rail's own height on the face."""
    return mark.topside


def _of_legs(plan: Plan) -> set[str]:
    return {name for leg in plan.layout.legs for name in leg.posts}


def fixings(plan: Plan) -> dict[str, FixingDetail | None]:
    """The detail of each post to set, told by its rails: what no leg has is a flight's foot.

    The foot of a side carries no rail uphill of another bay of its flight; a mid post is the
    lower end of one bay and the upper end of another.
    """
    details = {detail.key: detail for detail in plan.job.company.details}
    flights = {flight.name: flight for flight in plan.job.stairs}
    of_legs = _of_legs(plan)
    uppers = {(bay.stair, bay.upper_post) for bay in plan.bays.stair}
    found = {
        post.name: plan.job.detail
        for post in plan.layout.posts
        if not post.in_place and post.name in of_legs
    }
    for bay in plan.bays.stair:
        if bay.lower_post not in of_legs:
            flight = flights[bay.stair]
            is_mid = (bay.stair, bay.lower_post) in uppers
            number = flight.mid_detail if is_mid else flight.lower_post.detail
            found[bay.lower_post] = details.get(number or "")
    return found


def _foot(detail: FixingDetail | None) -> int:
    """Foot of a core under the surface: by the detail, and with wood under its lowest bolt."""
    if detail is None:
        return 0
    bolts = detail.bolt_below + detail.bolt_apart
    thick = _ASSUMED_BOLT if detail.bolt_diameter is None else detail.bolt_diameter
    wood = detail.bolt_end if detail.bolt_end is not None else _UNDER_BOLT * thick
    return max(detail.core_below, bolts + wood if bolts else 0)


def _cut(plan: Plan) -> Iterator[str]:
    """Sleeves and cores on the cut list, one for each post to set, at its own length."""
    pieces = {
        (bar.what, name): end - start for bar in plan.cuts.plain for name, start, end in bar.pieces
    }
    heights = {height.post: height for height in plan.bays.posts}
    to_set = {post.name for post in plan.layout.posts if not post.in_place}
    ahead = {name for bar in plan.cuts.plain if bar.cut_in == "shop" for name, _, _ in bar.pieces}
    overs = {piece.id: piece.over for piece in plan.cuts.plain_pieces}
    ends = {bay.lower_post for bay in plan.bays.stair}
    details = fixings(plan)
    for name in sorted(to_set):
        detail = details.get(name)
        foot = _foot(detail)
        over = pieces.get(("sleeve", f"{name} sleeve"), 0) - heights[name].sleeve
        if over and not (f"{name} sleeve" in ahead and 0 < over <= plan.job.company.shop_leaves):
            yield f"{name}: its sleeve is not on the cut list at {inches(heights[name].sleeve)}"
        longer = overs.get(f"{name} core", 0)
        if longer and not (name in ends and 0 < longer <= plan.job.company.shop_leaves):
            yield f"{name}: its core is left {inches(longer)} long, and ends no flight or is more"
        core = pieces.get(("core", f"{name} core"), 0) - longer
        above = core - foot
        if detail and detail.mount in _AT_RIM and name not in _of_legs(plan):
            yield f"{name}: stands on no rim, and is fixed by {detail.key}, which is for one"
        if above < heights[name].core_least:
            yield f"{name}: its core ends {inches(above)} up, under the top bracket"
        if detail and above > heights[name].core_most:
            yield f"{name}: its core ends {inches(above)} up, in the cap"
        if detail and core - heights[name].core_most < foot:
            reach = core - heights[name].core_most
            yield (
                f"{name}: its core reaches {inches(reach)} below the surface where its top is "
                f"marked highest; the lowest bolt asks for {inches(foot)}"
            )
    listed = {name.rpartition(" ")[0] for what, name in pieces if what in {"sleeve", "core"}}
    if extra := sorted(listed - to_set):
        yield f"sleeves or cores cut for posts that stand: {', '.join(extra)}"
