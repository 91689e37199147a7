"""The sheet of a stair bay, one for all that are built the same but for their hand."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.bays import StairBay
from schemas.pages import Block, Break, Column, Fact, Facts, Prose, Row, Sheet, Table
from schemas.plan import Plan
from services.pages.as_measured import as_measured
from services.pages.figures import Figures
from services.pages.wording import Ruler, count_words, joined, movement_words, units_words
from services.tape import angle


def stair_sheets(plan: Plan, figures: Figures) -> tuple[Sheet, ...]:
    """A sheet for each different stair bay: a side of a flight, or its parts between mid posts.

    Args:
        plan: The finished plan.
        figures: Its drawings.
    """
    return tuple(_sheet(group, plan, figures) for group in plan.bays.alike_stair)


def _sheet(group: Sequence[StairBay], plan: Plan, figures: Figures) -> Sheet:
    bay, ruler = group[0], Ruler(step=plan.job.step)
    name = bay.name
    return Sheet(
        key=f"stair-{name}",
        title=f"Stair {joined(b.name for b in group)}",
        place=_place(group, ruler),
        blocks=(
            Facts(facts=_first(bay, ruler), columns=4),
            *_triangle(bay, ruler),
            *figures.untitled(f"stair-{name}"),
            *_noses(bay, ruler),
            _posts(group, plan, ruler),
            Prose(text=_more(group, ruler)),
            *as_measured(
                bay.as_measured, planned=bay.clear, count=bay.balusters, low=bay.window_low,
                high=bay.window_high, ruler=ruler, margin="margin at the lower end",
            ),
            Break(),
            *figures.named(f"plumb-cuts-{name}"),
            *figures.named(f"bench-{name}"),
            Prose(text=_marks(bay, ruler)),
        ),
    )  # fmt: skip


def _place(group: Sequence[StairBay], ruler: Ruler) -> str:
    """How many, on which sides, and how it is looked at."""
    units = f"{units_words(ruler)}, the lower end drawn at the left"
    if len(group) == 1:
        return f"{group[0].side.capitalize()} side going up. {units}"
    return f"{len(group)} off, handed: {_sides(group)}. {units}"


def _sides(group: Sequence[StairBay]) -> str:
    return joined(f"{bay.name} {bay.side}" for bay in group)


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


def _posts(group: Sequence[StairBay], plan: Plan, ruler: Ruler) -> Table:
    """The posts at both ends of every bay, each once."""
    heights = {height.post: height for height in plan.bays.posts}
    ends = {bay.lower_post: "lower end" for bay in group}
    ends |= {bay.upper_post: "upper end" for bay in group}
    columns = (
        Column(head="Post", bold=True), Column(head="Stands at"),
        Column(head="Sleeve, cut", align="right", bold=True),
        Column(head="Core ends, least", align="right"),
        Column(head="Core ends, most", align="right"),
    )  # fmt: skip
    rows = tuple(
        Row(
            cells=(
                name, where, ruler.mark(heights[name].sleeve), ruler.mark(heights[name].core_least),
                ruler.mark(heights[name].core_most),
            )
        )
        for name, where in ends.items()
        if name in heights
    )  # fmt: skip
    return Table(columns=columns, rows=rows)


def _more(group: Sequence[StairBay], ruler: Ruler) -> str:
    """What else the crew must know of the bay, in running words."""
    bay = group[0]
    handrails = "; ".join(f"{b.name} {_handrail(b, ruler)}" for b in group)
    return (
        f"Foot blocks on the slope from the lower end {ruler.marks(bay.foot_blocks)}. Handrail: "
        f"{handrails}. Lift {ruler.weight(bay.weight)}, {count_words(bay.people, 'person')}. "
        f"Moves with heat {movement_words(bay.movement, ruler)}."
    )


def _handrail(bay: StairBay, ruler: Ruler) -> str:
    if bay.handrail is None:
        return "none"
    brackets = count_words(bay.handrail_brackets, "bracket")
    high = f", top {ruler.mark(bay.handrail_height)} up" if bay.handrail_height else ""
    return f"{ruler.mark(bay.handrail)} along the slope{high}, {brackets}, ends returned"


def _marks(bay: StairBay, ruler: Ruler) -> str:
    """What the rail on the bench does not say of itself."""
    return (
        f"Lower end to first hole {ruler.mark(bay.margin_lower)}, last hole to upper end "
        f"{ruler.mark(bay.margin_upper)}, pitch {ruler.mark(bay.pitch)}, all along the slope on "
        "the rail's axis. At the upper end the last hole is "
        f"{ruler.mark(bay.top_last_hole_to_long)} from the top rail's long point and "
        f"{ruler.mark(bay.bottom_last_hole_to_long)} from the bottom rail's; a long point lies on "
        "the underside at the lower end and on the upper side at the upper one."
    )


def _noses(bay: StairBay, ruler: Ruler) -> tuple[Block, ...]:
    columns = (
        Column(head="Nosing, from the top", share=1.2, bold=True),
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
    return (Table(columns=columns, rows=rows),)
