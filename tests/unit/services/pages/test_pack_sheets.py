"""What a pack must print, and must not."""

from __future__ import annotations

from functools import cache

import pytest

from schemas.bays import AsMeasured
from schemas.lengths import INCH
from schemas.pages import Column, Imprint, Message, Sheet, Table, Tickets, Ticks
from schemas.plan import Plan
from services.drawings import draw
from services.pages import pack_sheets
from services.pages.as_measured import as_measured
from services.pages.wording import Ruler
from services.paper.book import Part, set_book
from services.pipeline import make_plan, make_sheets
from services.tape import text
from tests import builders
from tests.planned import plan as planned
from tests.unit.services.pages.made_plan import GATE_CODE, PRICE, made_plan
from tests.unit.services.pages.sheet_text import words

PLANS = [("l-deck", 11), ("porch", 3), ("metric", 5)]


@cache
def sheets_of(name: str = "l-deck", seed: int = 11, replaces: str = "nothing") -> tuple[Sheet, ...]:
    """A pack's sheets."""
    plan = made_plan(name, seed)
    return pack_sheets(plan, drawings=draw(plan), replaces=replaces)


def sheet(key: str, replaces: str = "nothing") -> Sheet:
    """One sheet of the usual pack."""
    return next(s for s in sheets_of(replaces=replaces) if s.key == key)


def rows(table: Table) -> list[dict[str, str]]:
    """A table's rows by their heads; repeated heads keep the last."""
    return [
        {c.head: cell for c, cell in zip(table.columns, row.cells, strict=True)}
        for row in table.rows
    ]


def tables(found: Sheet, head: str) -> list[Table]:
    """Tables of a sheet that have such a column."""
    return [b for b in found.blocks if isinstance(b, Table) and head in {c.head for c in b.columns}]


WITHOUT_LENGTHS = {
    "job-card", "changes", "load-out", "cautions", "install", "homeowner", "open-edge",
}  # fmt: skip
"""Sheets that say their lengths with a unit each, or have none."""


def test_order_is_the_order_of_the_day() -> None:
    """Job card, what it replaces, plan, posts, strips, bays, stairs, cuts, then the rest."""
    kinds = list(dict.fromkeys(s.key.split("-")[0] for s in sheets_of()))

    assert kinds == [
        "job", "changes", "key", "post", "strips", "bay", "stair", "cut", "load", "install",
        "cautions", "findings", "as", "homeowner", "open",
    ]  # fmt: skip


@pytest.mark.parametrize(("name", "seed"), PLANS)
def test_every_bay_and_stair_side_is_drawn_once(name: str, seed: int) -> None:
    """Elevations name every level bay exactly once between them; each stair side has its sheet."""
    plan, sheets = made_plan(name, seed), sheets_of(name, seed)
    drawn = [
        bay
        for s in sheets
        if s.key.startswith("bay-")
        for bay in s.place.split(", seen")[0].split(": ")[-1].split(", ")
    ]

    assert sorted(drawn) == sorted(bay.name for bay in plan.bays.level)
    sides = [
        bay
        for s in sheets
        if s.key.startswith("stair-")
        for bay in s.title.removeprefix("Stair ").split(", ")
    ]
    assert sorted(sides) == sorted(bay.name for bay in plan.bays.stair)


@pytest.mark.parametrize(("name", "seed"), PLANS)
def test_no_price_and_no_claim(name: str, seed: int) -> None:
    """No sheet shows money, or says that anything is approved, engineered, safe or will pass."""
    said = "\n".join(map(words, sheets_of(name, seed))).lower()

    assert str(PRICE) not in said.replace(",", "").replace(".", "")
    for claim in ("$", "price", "code compliant", "engineered", "will pass", "load rated"):
        assert claim not in said


def test_crew_secrets_stay_on_the_job_card() -> None:
    """How to get in is on the job card only; the homeowner's card carries no name either."""
    carrying = [s.key for s in sheets_of() if GATE_CODE in words(s)]

    assert carrying == ["job-card"]
    assert made_plan().job.site.customer not in words(sheet("homeowner"))


def test_dangers_of_the_site_come_first_and_are_eight_at_most() -> None:
    """Eleven recorded dangers print as the first eight, before anything else on the card."""
    said = words(sheet("job-card"))

    assert "8. Danger 8" in said
    assert "Danger 9" not in said
    assert said.index("1. Danger 1") < said.index("What is corner.B?")


def test_open_holds_are_to_be_initialled_and_answers_carry_who_and_why() -> None:
    """An open hold is a hold point, a note is none, an answered question shows its answer."""
    card = sheet("job-card")
    ticks = [t for b in card.blocks if isinstance(b, Ticks) for t in b.ticks]

    assert [t.hold for t in ticks if t.text == "What is corner.B?"] == [True]
    assert [t.hold for t in ticks if t.text == "wall.A was not measured"] == [False]
    (answered,) = tables(card, "Decided")
    assert rows(answered)[0]["By"] == "J. Marsh"
    assert rows(answered)[0]["Why"] == "seen again"


def test_a_count_that_differs_shouts() -> None:
    """A count on the sheets that is not the job head's is set off and says call."""
    (counted,) = tables(sheet("job-card"), "Equal")

    assert [row.strong for row in counted.rows] == [False, True]
    assert "NOT EQUAL" in counted.rows[1].cells[3]


def test_every_rail_piece_names_bar_hole_start_and_end() -> None:
    """The cut list's rows repeat the cut plan's own figures, each piece once."""
    plan = made_plan()
    (rails,) = tables(sheet("cut-list"), "First hole")
    placed = {p.piece: (bar, p) for bar in plan.cuts.bars for p in bar.pieces}

    found = {row["Piece"]: row for row in rows(rails)}

    assert found.keys() == placed.keys()
    for name, (bar, p) in placed.items():
        step = plan.job.step
        assert found[name]["Bar"] == str(bar.number)
        assert found[name]["First hole"] == str(p.first_hole)
        assert (found[name]["Starts"], found[name]["Ends"]) == (
            text(p.start, step),
            text(p.end, step),
        )


def test_a_ticket_for_each_rail_with_its_revision() -> None:
    """A pair gives two: top with holes down, bottom with holes up, both with the revision."""
    plan = made_plan()
    (tickets,) = [b for b in sheet("cut-tickets").blocks if isinstance(b, Tickets)]

    assert len(tickets.tickets) == 2 * len(plan.cuts.pieces)
    for ticket in tickets.tickets:
        rail = ticket.piece.split()[-2]
        assert f"holes face {'down' if rail == 'top' else 'up'}" in ticket.lines[0]
        assert ticket.head.endswith(f"rev {plan.job.revision}")


def test_a_gap_between_openings_says_call_from_end_to_end() -> None:
    """No opening inside the table is passed over; beyond it the legend says: call."""
    rows = [
        AsMeasured(opening=at * INCH, cut=None, margin=None, balusters=None)
        if at in {10, 14, 15, 16, 18, 20}
        else AsMeasured(opening=at * INCH, cut=(at - 1) * INCH, margin=INCH, balusters=9)
        for at in range(10, 21)
    ]

    blocks = as_measured(
        rows, planned=12 * INCH, count=9, low=11 * INCH, high=19 * INCH,
        ruler=Ruler(step=INCH // 16), margin="margin", fresh=(),
    )  # fmt: skip

    (legend, table) = blocks
    assert isinstance(table, Table)
    cells = [cell for row in table.rows for cell in row.cells]
    shown = {cells[i].lstrip("*"): cells[i + 1] for i in range(0, len(cells), 3) if cells[i]}
    assert {at for at, cut in shown.items() if cut == "CALL"} == {"14", "18"}
    assert list(shown) == ["11", "12", "13", "14", "17", "18", "19"]
    assert cells[cells.index("14") + 2] == "to 16"
    assert cells[cells.index("18") + 2] == ""
    assert "CALL, to: no legal bay" in str(legend)
    assert "not in the table: call." in str(legend)


def test_load_goes_in_by_its_place() -> None:
    """What lies at the bottom, by its load number, is the first line; each has three boxes."""
    (load,) = tables(sheet("load-out"), "Loaded")

    assert [row.cells[0] for row in load.rows] == ["Level kit, 96 in", "Temporary guard rail"]
    assert [c.head for c in load.columns if c.box] == ["Picked", "Loaded", "Back"]


@pytest.mark.parametrize("name", sorted(set(builders.JOBS) - {"held", "refused"}))
def test_steps_are_numbered_through_with_their_hold_points(name: str) -> None:
    """No number is missing, with a gate or without, and none could be a post's name."""
    (found,) = [s for s in make_sheets(planned(name)) if s.key == "install"]
    marks = [t.mark for b in found.blocks if isinstance(b, Ticks) for t in b.ticks]

    assert marks == [str(number) for number in range(1, len(marks) + 1)]


def test_hold_points_stand_in_the_sequence() -> None:
    """A hold's number is its mark; below stand people, tool, wait, slip, caution, and the end."""
    ticks = [t for b in sheet("install").blocks if isinstance(b, Ticks) for t in b.ticks]

    assert (ticks[0].mark, ticks[0].hold) == ("1", True)
    assert ticks[1].under == (
        (
            "2 people; level; Wait: 24 h. Usual slip: skirt forgotten. WARNING: guard the edge. "
            "List complete."
        ),
    )


def test_cautions_stand_in_full_with_their_source() -> None:
    """Hazard, consequence, how to avoid it; at the end from which publication each comes."""
    (message,) = [b for b in sheet("cautions").blocks if isinstance(b, Message)]

    assert message.signal == "WARNING"
    assert "29 CFR 1926.501: Open edge" in words(sheet("cautions"))


def test_findings_are_worst_first_and_alike_ones_share_a_row() -> None:
    """A breach is the first row and strong; two bays with the same figures make one row."""
    (found,) = tables(sheet("findings"), "Verdict")
    read = rows(found)

    assert [row["Verdict"] for row in read] == ["breaks", "for the authority", "meets"]
    assert found.rows[0].strong
    assert read[0]["Margin"] == "outside by 1"
    assert read[2]["Place"] == "A1-A2, A2-A3"


def test_first_issue_and_replacement_say_what_to_do() -> None:
    """A first issue says so; a replacement names the old paper and what was cut to it."""
    old = "rev 1, code 7K2M-Q9DX"

    assert "replaces nothing" in words(sheet("changes"))
    said = words(sheet("changes", old))
    assert old in said
    assert "laid aside" in said


@pytest.mark.parametrize(("name", "seed"), PLANS)
def test_every_sheet_of_figures_says_its_unit_once(name: str, seed: int) -> None:
    """Sheets with lengths name inches or millimetres in one line, never both."""
    unit, other = ("millimetres", "inches") if name == "metric" else ("inches", "millimetres")
    for s in sheets_of(name, seed):
        said = words(s)
        if s.key not in WITHOUT_LENGTHS:
            assert said.lower().count(unit) == 1, s.key
        assert other not in said.lower(), s.key


@pytest.mark.parametrize(("name", "seed"), [("l-deck", 11), ("metric", 5)])
def test_a_job_with_a_stair_makes_ten_pages_or_more(name: str, seed: int) -> None:
    """Set on paper, on both sizes, a pack with a stair has at least ten pages."""
    imprint = Imprint(
        job="P-1", revision="rev 1", site="14 Lane", crew="Crew A", code="7K2M-Q9DX",
        issued="today", replaces="nothing", check_at="P-1 rev 1", notes=("A note.",),
    )  # fmt: skip
    for size in ("letter", "a4"):
        part = Part(imprint=imprint, sheets=sheets_of(name, seed))

        assert set_book(parts=(part,), size=size).pages >= 10


def test_same_plan_same_sheets() -> None:
    """Two makings of one plan are equal to the last letter."""
    plan: Plan = made_plan()

    again = pack_sheets(plan, drawings=draw(plan), replaces="nothing")

    assert again == sheets_of()


def test_boxes_for_the_pencil_are_empty() -> None:
    """No cell of a column to write in carries text that would be ignored."""
    for s in sheets_of():
        for block in s.blocks:
            if isinstance(block, Table):
                boxes: list[Column] = [c for c in block.columns if c.box]
                heads = {c.head for c in boxes}
                assert all(not row[h] for row in rows(block) for h in heads)


def test_a_leaning_end_tells_the_top_rail_beside_the_table() -> None:
    """The table gives the bottom rail; how the top one differs stands over it, or nothing does."""
    sheets = {s.key: words(s) for s in make_sheets(planned("porch"))}

    assert (
        "the top rail is cut 1/8 longer than the row says, its margin at the left end 1/8 more, "
        "for an opening 1/8 wider at the top"
    ) in sheets["bay-W-A1"]
    assert "longer than the row says" not in sheets["bay-A1-A2"]


def test_walls_that_lean_alike_shift_the_top_rails_holes() -> None:
    """Two walls out of plumb one way leave both rails as long, and the holes not alike."""
    tree = builders.document("porch")
    line = tree["lines"][0]
    line["start"]["out_of_plumb"], line["end"]["out_of_plumb"] = "1/4", "-1/4"
    line["legs"] = [{"name": "A", "length": "84", "drop": "33"}]
    plan = make_plan(builders.submission(tree), library=builders.library()).plan
    assert plan is not None

    sheet = next(words(s) for s in make_sheets(plan) if s.key == "bay-W-A-W")
    step = next(s for s in plan.sequence.steps if "W-A-W: rail" in s.text)

    assert "the top rail is cut as the row says, its margin at the left end 1/4 more" in sheet
    assert "left 3 13/16, right 3 5/16" in sheet
    assert "first hole 3 13/16" in step.text


@pytest.mark.parametrize(
    ("margin", "printed"),
    [
        (INCH // 4, "1/4"),
        (INCH // 4 - 1, "3/16"),
        (-INCH // 8, "outside by 1/8"),
        (-INCH // 8 - 1, "outside by 3/16"),
    ],
)
def test_a_margin_is_never_printed_better_than_it_is(*, margin: int, printed: str) -> None:
    """Inside it is rounded down, outside up."""
    whole = planned("l-deck")
    first, *others = whole.compliance.findings
    changed = first.model_copy(update={"margin": margin, "place": "here"})
    findings = whole.compliance.model_copy(update={"findings": (changed, *others)})
    sheets = make_sheets(whole.model_copy(update={"compliance": findings}))

    (table,) = tables(next(s for s in sheets if s.key == "findings"), "Verdict")

    assert next(row["Margin"] for row in rows(table) if row["Place"] == "here") == printed


def test_an_opening_is_never_printed_smaller_than_it_is() -> None:
    """The level gaps of a stair lie between two marks: the wider one stands on the sheet."""
    whole = planned("l-deck")
    side = whole.bays.stair[0]
    sheets = make_sheets(whole)

    said = words(next(s for s in sheets if s.key.startswith("stair-")))

    assert side.level_gap % whole.job.step
    wider = side.level_gap // whole.job.step * whole.job.step + whole.job.step
    assert f"Baluster to baluster, level\n{text(wider, whole.job.step)}\n" in said
    assert "rounded up, for the ball" in said
