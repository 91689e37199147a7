"""The sheet of one side of a stair."""

from __future__ import annotations

from schemas.bays import PostHeight, StairBay
from schemas.pages import Block, Break, Column, Fact, Facts, Heading, Prose, Row, Sheet, Table
from schemas.plan import Plan
from services.pages.as_measured import as_measured
from services.pages.cut_from import cut_from_lines
from services.pages.figures import Figures
from services.pages.wording import Ruler, count_words, movement_words, units_note
from services.tape import angle

_ABREAST = 4


def stair_sheets(plan: Plan, figures: Figures) -> tuple[Sheet, ...]:
    """A sheet for each stair bay: a side of a flight, or its parts between mid posts.

    Args:
        plan: The finished plan.
        figures: Its drawings.
    """
    return tuple(_sheet(bay, plan, figures) for bay in plan.bays.stair)


def _sheet(bay: StairBay, plan: Plan, figures: Figures) -> Sheet:
    ruler = Ruler(step=plan.job.step)
    name = bay.name
    return Sheet(
        key=f"stair-{name}",
        title=f"Stair bay {name}",
        place=f"Stair {bay.stair}, {bay.side} side going up",
        blocks=(
            units_note(ruler),
            *figures.named(f"stair-{name}"),
            Break(),
            Facts(facts=_first(bay, ruler), columns=4),
            *_triangle(bay, ruler),
            Facts(facts=_posts(bay, plan, ruler), columns=4),
            *_noses(bay, ruler),
            Break(),
            *figures.named(f"plumb-cuts-{name}"),
            *figures.named(f"bench-{name}"),
            Break(),
            *_marks(bay, ruler),
            *cut_from_lines(plan, [bay.name]),
            *as_measured(
                bay.as_measured, planned=bay.clear, count=bay.balusters, low=bay.window_low,
                high=bay.window_high, ruler=ruler, margin="Lower margin",
            ),
        ),
    )  # fmt: skip


def _first(bay: StairBay, ruler: Ruler) -> tuple[Fact, ...]:
    return (
        Fact(label="Both rails, on the slope", value=ruler.mark(bay.cut), big=True),
        Fact(label="Saw, both ends plumb", value=angle(bay.saw_deg), big=True),
        Fact(label="Balusters", value=str(bay.balusters), big=True),
        Fact(label="Clear opening, level", value=ruler.mark(bay.clear), big=True),
        Fact(label="Riser and tread", value=f"{ruler.mark(bay.riser)} and {ruler.mark(bay.tread)}"),
        Fact(label="Slope", value=angle(bay.slope_deg)),
        Fact(label="Baluster to baluster, level", value=ruler.mark(bay.level_gap)),
        Fact(
            label="Post to baluster, level",
            value=f"lower {ruler.mark(bay.gap_lower)}, upper {ruler.mark(bay.gap_upper)}",
        ),
    )


def _triangle(bay: StairBay, ruler: Ruler) -> tuple[Block, ...]:
    """How high the bottom rail may stand over the nosing line."""
    planned = ruler.mark(bay.rail_over_nosing)
    if bay.triangle_limit is None:
        says = (
            f"Bottom rail's underside {planned} plumb over the nosing line. The triangle of tread, "
            "riser and rail could not be checked: open risers, or the nosing was not measured. "
            "Measure, and ask the office before fixing."
        )
        return (Prose(text=says, role="lead"),)
    limit = ruler.mark(bay.triangle_limit)
    says = (
        f"Under the bottom rail: {planned} plumb over the nosing line, never over {limit}. At that "
        "height the ball of the triangle check touches, and touching fails."
    )
    return (Prose(text=says, role="lead"),)


def _posts(bay: StairBay, plan: Plan, ruler: Ruler) -> tuple[Fact, ...]:
    heights = {height.post: height for height in plan.bays.posts}
    posts = (("Foot", bay.lower_post), ("Top", bay.upper_post))
    facts = [
        fact
        for what, name in posts
        if name in heights
        for fact in _sleeve(heights[name], what, ruler)
    ]
    handrail = "none on this side"
    if bay.handrail is not None:
        brackets = count_words(bay.handrail_brackets, "bracket")
        high = f", top {ruler.mark(bay.handrail_height)} up" if bay.handrail_height else ""
        handrail = f"{ruler.mark(bay.handrail)} along the slope{high}, {brackets}, ends returned"
    return (
        *facts,
        Fact(label="Foot blocks, on the slope", value=ruler.marks(bay.foot_blocks)),
        Fact(label="Handrail", value=handrail),
        Fact(
            label="Lift", value=f"{ruler.weight(bay.weight)}, {count_words(bay.people, 'person')}"
        ),
        Fact(label="Moves with heat", value=movement_words(bay.movement, ruler)),
    )


def _sleeve(height: PostHeight, what: str, ruler: Ruler) -> tuple[Fact, Fact]:
    core = f"{ruler.mark(height.core_least)} to {ruler.mark(height.core_most)}"
    return (
        Fact(label=f"{what} {height.post}: sleeve", value=ruler.mark(height.sleeve), big=True),
        Fact(label=f"{what} {height.post}: core ends", value=core),
    )


def _marks(bay: StairBay, ruler: Ruler) -> tuple[Block, ...]:
    """Running marks along the slope, four abreast."""
    depth = -(-len(bay.marks) // _ABREAST)
    numbered = [(str(i), ruler.mark(mark)) for i, mark in enumerate(bay.marks, 1)]
    numbered += [("", "")] * (depth * _ABREAST - len(numbered))
    head = (Column(head="Hole", share=0.6, bold=True), Column(head="From lower end", align="right"))
    rows = tuple(
        Row(cells=tuple(c for k in range(_ABREAST) for c in numbered[i + k * depth]))
        for i in range(depth)
    )
    ends = (
        f"Lower end to first hole {ruler.mark(bay.margin_lower)}, last hole to upper end "
        f"{ruler.mark(bay.margin_upper)}, pitch {ruler.mark(bay.pitch)}, all along the slope on "
        "the rail's axis."
    )
    return (
        Heading(text="Hole centres along the slope"),
        Prose(text=ends),
        Table(columns=head * _ABREAST, rows=rows),
    )


def _noses(bay: StairBay, ruler: Ruler) -> tuple[Block, ...]:
    columns = (
        Column(head="Nosing, from the top", share=1.4, bold=True),
        Column(head="Level, from the upper post's face", share=1.6, align="right"),
        Column(head="To top of top rail, plumb", share=1.5, align="right", bold=True),
        Column(head="To underside of bottom rail", share=1.5, align="right"),
        Column(head="Found", box=True),
    )
    rows = tuple(
        Row(
            cells=(
                str(nose.nosing), ruler.mark(nose.from_upper_face), ruler.mark(nose.top),
                ruler.mark(nose.gap), "",
            )
        )
        for nose in bay.heights
    )  # fmt: skip
    return (Heading(text="Height over every nosing"), Table(columns=columns, rows=rows))
