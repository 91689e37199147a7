"""The post schedule: every post, its sleeve and core, and what its faces carry."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from schemas.bays import FaceMark, PostHeight
from schemas.company import FixingDetail
from schemas.layout import Post
from schemas.lengths import INCH, PER_MM
from schemas.pages import Block, Column, Fact, Facts, Heading, Prose, Row, Sheet, Table
from schemas.plan import Plan
from schemas.rail_system import Sleeve
from schemas.wording import row, say, shipped
from services.pages.figures import Figures
from services.pages.wording import Ruler, post_words, units_note
from services.tape import text_with_unit
from services.wording.terms import term, turned_from


def post_schedule(plan: Plan, figures: Figures) -> Sheet:
    """The sheet from which posts are set, cut and sleeved.

    Args:
        plan: The finished plan.
        figures: Its drawings.
    """
    ruler = Ruler(step=plan.job.step)
    heights = {height.post: height for height in plan.bays.posts}
    feet = _feet(plan, ruler)
    rows = tuple(_post(post, heights.get(post.name), feet, ruler) for post in plan.layout.posts)
    return Sheet(
        key="post-schedule",
        title=say("Post schedule"),
        place=say("All posts"),
        blocks=(
            units_note(ruler),
            *_fixing(plan, ruler),
            *_standing(plan, ruler),
            Table(columns=_COLUMNS, rows=rows),
            Prose(
                text=say(
                    "Heights are over what the post stands on. The core ends between the two "
                    "figures: above the top bracket's screws, under the cap's inner tab. A post "
                    "beside a flight stands in line with the one above it, level from face to face."
                )
            ),
            *_faces(plan, ruler),
            *figures.starting("posts"),
            *figures.starting("corner"),
        ),
    )


_COLUMNS = (
    Column(head=say("Post"), share=0.9, bold=True), Column(head=say("Kind"), share=1.4),
    Column(head=say("Centre from leg's zero"), share=1.9, align="right"),
    Column(head=say("Turned"), share=1.35),
    Column(head=say("Sleeve, cut"), share=1.3, align="right", bold=True),
    Column(head=say("Core, least"), share=1.1, align="right"),
    Column(head=say("Core, most"), share=1.1, align="right"),
    Column(head=say("Set"), share=0.9, box=True),
)  # fmt: skip


def _post(post: Post, height: PostHeight | None, feet: Mapping[str, str], ruler: Ruler) -> Row:
    turned = _turned_words(post)
    at = feet.get(post.name) or f"{post.leg} {ruler.mark(post.at)}"
    cells = (post.name, post_words(post), at, turned)
    if height is None:
        return Row(cells=(*cells, "", "", "", ""))
    return Row(cells=(*cells, *cut_heights(height, ruler), ""))


def cut_heights(height: PostHeight, ruler: Ruler) -> tuple[str, str, str]:
    """A sleeve's cut and where its core may end; of a post in place neither is cut."""
    if height.in_place:
        return say("not cut"), "", ""
    return ruler.mark(height.sleeve), ruler.mark(height.core_least), ruler.mark(height.core_most)


def _standing(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    """Posts that stay as they stand, by their own outside."""
    outside: dict[str, list[str]] = {}
    for post in plan.layout.posts:
        if post.in_place:
            outside.setdefault(ruler.mark(post.sleeve), []).append(post.name)
    if not outside:
        return ()
    sizes = row(
        (
            say("{posts} {outside} outside", posts=row(names), outside=size)
            for size, names in outside.items()
        ),
        "; ",
    )
    return (
        Prose(
            text=say(
                "In place: {sizes}, as measured. They may carry a roof: do not cut, shorten or "
                "loosen them, and put no cap on them.",
                sizes=sizes,
            ),
            role="lead",
        ),
    )


def _feet(plan: Plan, ruler: Ruler) -> dict[str, str]:
    """Where posts beside a flight stand: in line with the post above, so far from its face."""
    beside = {post.name for post in plan.layout.posts if post.where in {"stair-lower", "stair-mid"}}
    return {
        bay.lower_post: say(
            "{clear} clear of {post}", clear=ruler.mark(bay.clear), post=bay.upper_post
        )
        for bay in plan.bays.stair
        if bay.lower_post in beside
    }


def _turned_words(post: Post) -> str:
    """How far a post is turned out of square to its leg, seen from above."""
    if not post.turned_deg:
        return say("square")
    return turned_from(post)


def _fixing(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    facts = [*(_ours(plan, ruler) if _to_set(plan) else ()), *_inset(plan, ruler)]
    blocks: list[Block] = [Facts(facts=tuple(facts), columns=4)] if facts else []
    for detail, names in _by_fixing(plan):
        blocks += _by_detail(detail, names, ruler) if detail else [_unfixed(names)]
    return tuple(blocks)


def _to_set(plan: Plan) -> bool:
    return any(not post.in_place for post in plan.layout.posts)


def _ours(plan: Plan, ruler: Ruler) -> tuple[Fact, ...]:
    """Core and sleeve of the posts that are set."""
    job = plan.job
    return (
        Fact(
            label=say("Core, measured"),
            value=row(
                (
                    ruler.mark(job.post.core),
                    shipped(job.post.species) if job.post.species else say("wood not known"),
                )
            ),
        ),
        Fact(label=say("Sleeve, outside"), value=ruler.mark(job.system.sleeve.outside)),
        Fact(
            label=say("Sleeve, over the highest rail"), value=_over_rail(job.system.sleeve, ruler)
        ),
    )


def _over_rail(sleeve: Sleeve, ruler: Ruler) -> str:
    """What is seen of it, and what the cap takes in."""
    return say(
        "{whole}: {seen} seen, {cap} in the cap",
        whole=ruler.mark(sleeve.reveal + sleeve.cap_depth),
        seen=ruler.mark(sleeve.reveal),
        cap=ruler.mark(sleeve.cap_depth),
    )


def _inset(plan: Plan, ruler: Ruler) -> tuple[Fact, ...]:
    """How far post centres stand from the deck edge that was measured."""
    lines = [line for line in plan.job.lines if line.measured == "deck-edge"]
    label = say("Post centres, in from the deck edge")
    return tuple(
        Fact(
            label=label,
            value=ruler.mark(line.inset)
            if line.inset >= 0
            else say("{out} outside it", out=ruler.mark(-line.inset)),
        )
        for line in {line.inset: line for line in lines}.values()
    )


def _by_fixing(plan: Plan) -> tuple[tuple[FixingDetail | None, tuple[str, ...]], ...]:
    """Posts to be set with one detail together; first those whose detail is not known."""
    names: dict[str, list[str]] = {}
    details: dict[str, FixingDetail | None] = {}
    for post in plan.layout.posts:
        if not post.in_place:
            detail = plan.job.fixing_of(post)
            number = detail.key if detail else ""
            details[number] = detail
            names.setdefault(number, []).append(post.name)
    return tuple((details[number], tuple(names[number])) for number in sorted(names))


def _unfixed(names: Sequence[str]) -> Block:
    return Prose(
        text=say(
            "{posts}: no approved fixing detail is recorded. Do not fix them; call.",
            posts=row(names),
        ),
        role="lead",
    )


def _by_detail(detail: FixingDetail, names: Sequence[str], ruler: Ruler) -> list[Block]:
    says = Prose(
        text=say(
            "Fix {posts} by detail {detail}: {says}. Recorded as approved by {by}. If "
            "what is there is not as the detail shows it: do not set the post, take a "
            "photo, call.",
            posts=row(names),
            detail=detail.key,
            says=shipped(detail.says),
            by=shipped(detail.approved_by),
        )
    )
    facts = []
    if detail.bolt_apart:
        facts += [
            Fact(label=say("Top bolt, below surface"), value=ruler.mark(detail.bolt_below)),
            Fact(
                label=say("Lower bolt, below surface"),
                value=say(
                    "{below} ({apart} apart)",
                    below=ruler.mark(detail.lowest_bolt),
                    apart=ruler.mark(detail.bolt_apart),
                ),
            ),
        ]
    if detail.lowest_bolt:
        end, bolt = ruler.mark(detail.end_distance), bolt_words(detail)
        by_rule = (
            say("{end} (7 x the {bolt} bolt)", end=end, bolt=bolt)
            if detail.bolt_diameter
            else say("{end} (assumed: 7 x a {bolt} bolt)", end=end, bolt=bolt)
        )
        facts += [
            Fact(
                label=say("Core's foot, below surface, at least"),
                value=ruler.mark(detail.core_foot),
            ),
            Fact(
                label=say("Lowest bolt to the core's foot, at least"),
                value=end if detail.bolt_end else by_rule,
            ),
        ]
    return [says, *([Facts(facts=tuple(facts), columns=4)] if facts else [])]


def bolt_words(detail: FixingDetail) -> str:
    """A bolt as it is sold: in sixteenths of an inch, or in millimetres."""
    in_inches = detail.bolt % (INCH // 16) == 0
    return text_with_unit(detail.bolt, INCH // 16 if in_inches else PER_MM)


def _faces(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    """Heights of both rails on every face, faces alike in one row."""
    columns = (
        Column(head=say("Post, all faces or face to"), share=3, bold=True),
        Column(head=say("Bracket")),
        Column(head=say("Bottom rail, under"), align="right"),
        Column(head=say("Bottom rail, over"), align="right"),
        Column(head=say("Top rail, under"), align="right"),
        Column(head=say("Top rail, over"), align="right"),
    )
    brackets = _brackets(plan)
    alike: dict[tuple[str, ...], list[tuple[str, str]]] = {}
    for post in plan.bays.posts:
        for bay in dict.fromkeys(mark.bay for mark in post.faces):
            heights = _heights([m for m in post.faces if m.bay == bay], ruler)
            kind = brackets.get((bay, post.post), "")
            alike.setdefault((kind, *heights), []).append((post.post, bay))
    rows = tuple(Row(cells=(_places(faces, plan), *cells)) for cells, faces in alike.items())
    return (Heading(text=say("Rails on the posts' faces")), Table(columns=columns, rows=rows))


def _places(faces: Sequence[tuple[str, str]], plan: Plan) -> str:
    """Posts all of whose faces are alike by name alone, others with the bay they face."""
    every = {post.post: len({mark.bay for mark in post.faces}) for post in plan.bays.posts}
    bays: dict[str, list[str]] = {}
    for post, bay in faces:
        bays.setdefault(post, []).append(bay)
    return row(
        post if len(to) == every[post] else say("{post} to {bays}", post=post, bays=row(to))
        for post, to in bays.items()
    )


def _heights(marks: Sequence[FaceMark], ruler: Ruler) -> tuple[str, str, str, str]:
    under = {mark.rail: ruler.mark(mark.underside) for mark in marks}
    over = {mark.rail: ruler.mark(mark.topside) for mark in marks}
    return (
        under.get("bottom", ""), over.get("bottom", ""), under.get("top", ""), over.get("top", ""),
    )  # fmt: skip


def _brackets(plan: Plan) -> dict[tuple[str, str], str]:
    """Kind of bracket, by bay and post."""
    return {
        (bay.name, end.post): term(end.bracket)
        for bay in plan.layout.bays
        for end in (bay.left, bay.right)
        if end.post is not None
    }
