"""The post schedule: every post, its sleeve and core, and what its faces carry."""

from __future__ import annotations

from schemas.bays import FaceMark, PostHeight
from schemas.layout import Post
from schemas.pages import Block, Column, Fact, Facts, Heading, Prose, Row, Sheet, Table
from schemas.plan import Plan
from services.pages.figures import Figures
from services.pages.wording import Ruler, post_words, units_note
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
    Column(head="Turned", share=1), Column(head="Sleeve, cut", share=1.3, align="right", bold=True),
    Column(head="Core, least", share=1.2, align="right"),
    Column(head="Core, most", share=1.2, align="right"),
    Column(head="Set", share=0.7, box=True),
)  # fmt: skip


def _post(post: Post, height: PostHeight | None, ruler: Ruler) -> Row:
    turned = angle(post.turned_deg) if post.turned_deg else "square"
    at = "see stair" if post.where == "stair-lower" else f"{post.leg} {ruler.mark(post.at)}"
    cells = (post.name, post_words(post), at, turned)
    if height is None:
        return Row(cells=(*cells, "", "", "", ""))
    core = (ruler.mark(height.core_least), ruler.mark(height.core_most))
    return Row(cells=(*cells, ruler.mark(height.sleeve), *core, ""))


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
    columns = (
        Column(head="Post", bold=True), Column(head="Face to", share=1.4), Column(head="Rail"),
        Column(head="Underside", align="right"), Column(head="Top side", align="right"),
        Column(head="Bracket", share=1.2),
    )  # fmt: skip
    brackets = _brackets(plan)
    rows = tuple(
        _face(post.post, mark, ruler, brackets) for post in plan.bays.posts for mark in post.faces
    )
    return (Heading(text="Rails on the posts' faces"), Table(columns=columns, rows=rows))


def _face(post: str, mark: FaceMark, ruler: Ruler, brackets: dict[tuple[str, str], str]) -> Row:
    under, over = ruler.mark(mark.underside), ruler.mark(mark.topside)
    kind = brackets.get((mark.bay, post), "")
    return Row(cells=(post, mark.bay, mark.rail, under, over, kind), group="")


def _brackets(plan: Plan) -> dict[tuple[str, str], str]:
    """Kind of bracket, by bay and post."""
    return {
        (bay.name, end.post): end.bracket
        for bay in plan.layout.bays
        for end in (bay.left, bay.right)
        if end.post is not None
    }
