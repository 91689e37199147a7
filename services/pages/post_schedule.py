"""The post schedule: every post, its sleeve and core, and what its faces carry."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.bays import FaceMark, PostHeight
from schemas.layout import Post
from schemas.pages import Block, Column, Fact, Facts, Heading, Prose, Row, Sheet, Table
from schemas.plan import Plan
from services.pages.figures import Figures
from services.pages.wording import Ruler, joined, post_words, units_note
from services.tape import angle


def post_schedule(plan: Plan, figures: Figures) -> Sheet:
    """The sheet from which posts are set, cut and sleeved.

    Args:
        plan: The finished plan.
        figures: Its drawings.
    """
    ruler = Ruler(step=plan.job.step)
    heights = {height.post: height for height in plan.bays.posts}
    rows = tuple(_post(post, heights.get(post.name), ruler) for post in plan.layout.posts)
    return Sheet(
        key="post-schedule",
        title="Post schedule",
        place="All posts",
        blocks=(
            units_note(ruler),
            *_fixing(plan, ruler),
            Table(columns=_COLUMNS, rows=rows),
            Prose(text="Heights are over what the post stands on. The core ends between the two "
                  "figures: above the top bracket's screws, under the cap's inner tab."),
            *_faces(plan, ruler),
            *figures.starting("posts"),
            *figures.starting("corner"),
        ),
    )  # fmt: skip


_COLUMNS = (
    Column(head="Post", share=0.9, bold=True), Column(head="Kind", share=1.8),
    Column(head="Centre from leg's zero", share=1.5, align="right"),
    Column(head="Turned", share=1.3),
    Column(head="Sleeve, cut", share=1.3, align="right", bold=True),
    Column(head="Core, least", share=1.2, align="right"),
    Column(head="Core, most", share=1.2, align="right"),
    Column(head="Set", share=0.7, box=True),
)  # fmt: skip


def _post(post: Post, height: PostHeight | None, ruler: Ruler) -> Row:
    turned = _turned_words(post.turned_deg)
    at = (
        "see stair"
        if post.where in {"stair-lower", "stair-mid"}
        else f"{post.leg} {ruler.mark(post.at)}"
    )
    cells = (post.name, post_words(post), at, turned)
    if height is None:
        return Row(cells=(*cells, "", "", "", ""))
    core = (ruler.mark(height.core_least), ruler.mark(height.core_most))
    return Row(cells=(*cells, ruler.mark(height.sleeve), *core, ""))


def _turned_words(degrees: float) -> str:
    """How far a post is turned out of square to its leg, seen from above."""
    if not degrees:
        return "square"
    return f"{angle(abs(degrees))} {'anticlockwise' if degrees > 0 else 'clockwise'}"


def _fixing(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    job = plan.job
    facts = [
        Fact(label="Core, measured", value=ruler.mark(job.post.core)),
        Fact(label="Wood", value=job.post.species or "not known"),
        Fact(label="Sleeve, outside", value=ruler.mark(job.system.sleeve.outside)),
        Fact(label="Reveal over the rail", value=ruler.mark(job.system.sleeve.reveal)),
    ]
    if job.detail is None:
        stop = Prose(
            text="No approved fixing detail is recorded. Do not fix a post; call.", role="lead"
        )
        return (stop, Facts(facts=tuple(facts), columns=4))
    detail = job.detail
    says = Prose(
        text=f"Fix by detail {detail.key}: {detail.says}. Recorded as approved by "
        f"{detail.approved_by}. If the framing is not as the detail shows it: do not set the "
        "post, take a photo, call."
    )
    if detail.bolt_apart:
        facts += [
            Fact(label="Top bolt, below surface", value=ruler.mark(detail.bolt_below)),
            Fact(label="Bolts apart", value=ruler.mark(detail.bolt_apart)),
        ]
    return (says, Facts(facts=tuple(facts), columns=3))


def _faces(plan: Plan, ruler: Ruler) -> tuple[Block, ...]:
    """Heights of both rails on every face, faces alike in one row."""
    columns = (
        Column(head="Post, all faces or face to", share=3, bold=True), Column(head="Bracket"),
        Column(head="Bottom rail, under", align="right"),
        Column(head="Bottom rail, over", align="right"),
        Column(head="Top rail, under", align="right"),
        Column(head="Top rail, over", align="right"),
    )  # fmt: skip
    brackets = _brackets(plan)
    alike: dict[tuple[str, ...], list[tuple[str, str]]] = {}
    for post in plan.bays.posts:
        for bay in dict.fromkeys(mark.bay for mark in post.faces):
            heights = _heights([m for m in post.faces if m.bay == bay], ruler)
            kind = brackets.get((bay, post.post), "")
            alike.setdefault((kind, *heights), []).append((post.post, bay))
    rows = tuple(Row(cells=(_places(faces, plan), *cells)) for cells, faces in alike.items())
    return (Heading(text="Rails on the posts' faces"), Table(columns=columns, rows=rows))


def _places(faces: Sequence[tuple[str, str]], plan: Plan) -> str:
    """Posts all of whose faces are alike by name alone, others with the bay they face."""
    every = {post.post: len({mark.bay for mark in post.faces}) for post in plan.bays.posts}
    bays: dict[str, list[str]] = {}
    for post, bay in faces:
        bays.setdefault(post, []).append(bay)
    return joined(
        post if len(to) == every[post] else f"{post} to {' and '.join(to)}"
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
        (bay.name, end.post): end.bracket
        for bay in plan.layout.bays
        for end in (bay.left, bay.right)
        if end.post is not None
    }
