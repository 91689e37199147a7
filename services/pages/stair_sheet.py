"""The sheet of a stair bay, one for all that are built the same but for their hand."""

from __future__ import annotations

from collections.abc import Sequence

from schemas.bays import StairBay
from schemas.pages import Block, Break, Column, Fact, Facts, Prose, Row, Sheet, Table
from schemas.plan import Plan
from schemas.wording import counted, row, say
from services.pages.as_measured import as_measured
from services.pages.figures import Figures
from services.pages.fresh_kit import off_plan
from services.pages.post_schedule import cut_heights
from services.pages.wording import Ruler, movement_words, people, units_words
from services.tape import angle, up
from services.wording.terms import term


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
        title=say("Stair {bays}", bays=row(b.name for b in group)),
        place=_place(group, ruler),
        blocks=(
            Facts(facts=_first(bay, ruler), columns=4),
            Prose(text=_ROUNDED, role="small"),
            *_triangle(bay, ruler),
            *figures.untitled(f"stair-{name}"),
            Break(),
            *_noses(bay, ruler),
            _posts(group, plan, ruler),
            Prose(text=_more(group, ruler)),
            *as_measured(
                bay.as_measured, planned=bay.clear, count=bay.balusters, low=bay.window_low,
                high=bay.window_high, ruler=ruler,
                margin=say("margin at the lower end, along the face with the holes"),
                fresh=off_plan(group, plan.cuts),
            ),
            *(figures.named(f"template-{name}") or figures.named(f"plumb-cuts-{name}")),
            *figures.named(f"bench-{name}"),
            Prose(text=_marks(bay, ruler)),
        ),
    )  # fmt: skip


_ROUNDED = say("Gaps from post to baluster and between balusters are rounded up, for the ball.")


def _place(group: Sequence[StairBay], ruler: Ruler) -> str:
    """How many, on which sides, and how it is looked at."""
    units = say("{units}, the lower end drawn at the left", units=units_words(ruler))
    if len(group) == 1:
        if group[0].side == "left":
            return say("Left side going up. {units}", units=units)
        return say("Right side going up. {units}", units=units)
    return say(
        "{count} off, handed: {sides}. {units}",
        count=len(group), sides=_sides(group), units=units_words(ruler),
    )  # fmt: skip


def _sides(group: Sequence[StairBay]) -> str:
    return row(row((bay.name, term(bay.side)), " ") for bay in group)


def _first(bay: StairBay, ruler: Ruler) -> tuple[Fact, ...]:
    return (
        Fact(label=say("Both rails, on the slope"), value=ruler.mark(bay.cut), big=True),
        Fact(label=say("Saw, both ends plumb"), value=angle(bay.saw_deg), big=True),
        Fact(label=say("Balusters"), value=str(bay.balusters), big=True),
        Fact(label=say("Clear opening, level"), value=ruler.mark(bay.clear), big=True),
        Fact(
            label=say("Riser and tread"),
            value=say(
                "{riser} and {tread}", riser=ruler.mark(bay.riser), tread=ruler.mark(bay.tread)
            ),
        ),
        Fact(label=say("Slope"), value=angle(bay.slope_deg)),
        Fact(
            label=say("Baluster to baluster, level"),
            value=ruler.mark(up(bay.level_gap, ruler.step)),
        ),
        Fact(
            label=say("Post to baluster, level"),
            value=say(
                "lower {lower}, upper {upper}",
                lower=ruler.mark(up(bay.gap_lower, ruler.step)),
                upper=ruler.mark(up(bay.gap_upper, ruler.step)),
            ),
        ),
    )


def _triangle(bay: StairBay, ruler: Ruler) -> tuple[Block, ...]:
    """How high the bottom rail may stand over the nosing line."""
    planned = ruler.mark(bay.rail_over_nosing)
    if bay.triangle_limit is None:
        says = say(
            "Bottom rail's underside {planned} plumb over the nosing line. The triangle "
            "of tread, riser and rail could not be checked: open risers, or the nosing "
            "was not measured. Measure, and ask the office before fixing.",
            planned=planned,
        )
        return (Prose(text=says, role="lead"),)
    if bay.rail_over_nosing > bay.triangle_limit:
        says = say(
            "Bottom rail's underside {planned} plumb over the nosing line. The ball of the "
            "triangle check passes under it: see the findings, and close it as the authority says.",
            planned=planned,
        )
        return (Prose(text=says, role="lead"),)
    limit = ruler.mark(bay.triangle_limit)
    says = say(
        "Under the bottom rail: {planned} plumb over the nosing line, {limit} at the most. A mark "
        "higher the ball of the triangle check touches or passes, and touching fails.",
        planned=planned,
        limit=limit,
    )
    return (Prose(text=says, role="lead"),)


def _posts(group: Sequence[StairBay], plan: Plan, ruler: Ruler) -> Table:
    """The posts at both ends of every bay, each once."""
    heights = {height.post: height for height in plan.bays.posts}
    ends = {bay.lower_post: say("lower end") for bay in group}
    ends |= {bay.upper_post: say("upper end") for bay in group}
    columns = (
        Column(head=say("Post"), bold=True), Column(head=say("Stands at")),
        Column(head=say("Sleeve, cut"), align="right", bold=True),
        Column(head=say("Core ends, least"), align="right"),
        Column(head=say("Core ends, most"), align="right"),
    )  # fmt: skip
    rows = tuple(
        Row(cells=(name, where, *cut_heights(heights[name], ruler)))
        for name, where in ends.items()
        if name in heights
    )  # fmt: skip
    return Table(columns=columns, rows=rows, size="dense")


def _more(group: Sequence[StairBay], ruler: Ruler) -> str:
    """What else the crew must know of the bay, in running words."""
    bay = group[0]
    handrails = row((row((b.name, _handrail(b, ruler)), " ") for b in group), "; ")
    return say(
        "Foot blocks on the slope from the lower end {blocks}. Handrail: "
        "{handrails}. Lift {weight}, {people}. Moves with heat {movement}.",
        blocks=ruler.marks(bay.foot_blocks),
        handrails=handrails,
        weight=ruler.weight(bay.weight),
        people=people(bay.people),
        movement=movement_words(bay.movement, ruler),
    )


def _handrail(bay: StairBay, ruler: Ruler) -> str:
    if bay.handrail is None:
        return say("none")
    brackets = counted("{count} bracket", "{count} brackets", count=bay.handrail_brackets)
    high = (
        (say("top {height} up", height=ruler.mark(bay.handrail_height)),)
        if bay.handrail_height
        else ()
    )
    along = say("{length} along the slope", length=ruler.mark(bay.handrail))
    at = say("at {marks} from its lower end", marks=ruler.marks(bay.handrail_marks))
    return row((along, *high, row((brackets, at), " "), say("ends returned")))


def _marks(bay: StairBay, ruler: Ruler) -> str:
    """What the rail on the bench does not say of itself."""
    return say(
        "Lower end to first hole {lower}, last hole to upper end {upper}, pitch {pitch}, along the "
        "face with the holes: the top rail's underside, the bottom rail's upper side. Last hole to "
        "the long point of the upper end, on the upper side: top rail {top}, bottom rail "
        "{bottom}.",
        lower=ruler.mark(bay.margin_lower),
        upper=ruler.mark(bay.margin_upper),
        pitch=ruler.mark(bay.pitch),
        top=ruler.mark(bay.top_last_hole_to_long),
        bottom=ruler.mark(bay.bottom_last_hole_to_long),
    )


def _noses(bay: StairBay, ruler: Ruler) -> tuple[Block, ...]:
    columns = (
        Column(head=say("Nosing, from the top"), share=1.2, bold=True),
        Column(head=say("Level, from the upper post's face"), share=1.6, align="right"),
        Column(head=say("To top of top rail, plumb"), share=1.5, align="right", bold=True),
        Column(head=say("To underside of bottom rail"), share=1.5, align="right"),
        Column(head=say("Found"), box=True),
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
